#include <algorithm>
#include <map>
#include <set>
#include <variant>

#include "common/spans.hpp"
#include "oventide/replan.hpp"
#include "replan/announced.hpp"
#include "replan/gaps.hpp"
#include "replan/no_place.hpp"
#include "replan/reheating.hpp"
#include "replan/steps.hpp"

namespace oventide::replan {
namespace {

template <class Thing>
std::optional<std::size_t> find_name(const std::vector<Thing>& things, const std::string& name) {
    const auto found = std::ranges::find(things, name, &Thing::name);
    if (found == things.end()) return std::nullopt;
    return static_cast<std::size_t>(found - things.begin());
}

std::vector<Span> with(std::vector<Span> spans, Span more) {
    spans.push_back(more);
    return merged(std::move(spans));
}

std::vector<Span> without(const std::vector<Span>& spans, Span gap) {
    std::vector<Span> rest;
    for (const Span& span : spans) {
        const Span before{span.from, std::min(span.to, gap.from)};
        const Span after{std::max(span.from, gap.to), span.to};
        if (before.from < before.to) rest.push_back(before);
        if (after.from < after.to) rest.push_back(after);
    }
    return rest;
}

/// Goes through the journal, entry by entry.
class Reader {
public:
    Reader(const Plan& plan, const Expansion& expansion, Instant now, const Forecast& forecast)
        : plan_(plan),
          expansion_(expansion),
          forecast_(forecast),
          breaks_(plan.kitchen.equipment.size()),
          absences_(plan.kitchen.crew.size()) {
        situation_.now = now;
        situation_.today = plan;
        for (std::size_t id = 0; id < expansion.project.activities.size(); ++id)
            ids_[expansion.project.activities[id].name] = id;
        situation_.steps.resize(ids_.size());
        started_.resize(ids_.size());
        finished_.resize(ids_.size());
        will_end_.resize(ids_.size());
        told_ends_.resize(ids_.size());
        readings_.resize(ids_.size());
        probed_.resize(ids_.size());
        told_.resize(ids_.size());
        start_entry_.resize(ids_.size());
        finish_entry_.resize(ids_.size());
        uses_.resize(ids_.size());
    }

    void take(const journal::Entry& entry) {
        entry_ = entry.number;
        recorded_ = entry.recorded;
        std::visit(*this, entry.event);
    }

    void operator()(const journal::Published& event) {
        for (StepState& step : situation_.steps) step.announced = step.told_ready = std::nullopt;
        for (const journal::PublishedStep& row : event.steps)
            if (const auto id = step(row.id)) {
                situation_.steps[*id].announced = row.start;
                situation_.steps[*id].told_ready = row.ready;
                uses_[*id] = row.uses;
            }
        const bool first = turns_.empty();
        std::erase_if(turns_, [&](const journal::PublishedTurn& turn) { return turn.at >= recorded_; });
        for (const journal::PublishedTurn& turn : event.turns)
            if (first || turn.at >= recorded_) turns_.push_back(turn);
    }
    void operator()(const journal::Started& event) {
        note(event, started_);
        if (const auto id = step(event.step)) start_entry_[*id] = entry_;
    }
    void operator()(const journal::Finished& event) {
        note(event, finished_);
        if (const auto id = step(event.step)) finish_entry_[*id] = entry_;
    }
    void operator()(const journal::WillEnd& event) {
        note(event, will_end_);
        if (const auto id = step(event.step)) {
            told_ends_[*id].emplace_back(recorded_, event.at);
            told_[*id] = Said{recorded_, entry_};
        }
    }
    void operator()(const journal::Probe& event) {
        const auto id = step(event.step);
        if (!id) return;
        readings_[*id].push_back(event);
        question_reading(*id, event);
        probed(*id, event.at);
    }
    /// From now on it cools otherwise, and the forecast is what is known of it.
    void operator()(const journal::SpreadOut& event) {
        if (const auto id = step(event.step)) probed(*id, event.at);
    }
    void operator()(const journal::TakenBack&) {}
    void operator()(const journal::Confirmed& event) { confirmed_.insert(event.number); }
    void operator()(const journal::Broken& event) {
        if (const auto index = known(plan_.kitchen.equipment, event.equipment))
            breaks_[*index].begins(event.at, event.until.value_or(kOpen), recorded_, entry_);
    }
    void operator()(const journal::Mended& event) {
        if (const auto index = known(plan_.kitchen.equipment, event.equipment)) breaks_[*index].ends(event.at, true);
    }
    void operator()(const journal::Left& event) {
        if (const auto index = known(plan_.kitchen.crew, event.person))
            absences_[*index].begins(event.at, event.until.value_or(kOpen), recorded_, entry_);
    }
    void operator()(const journal::Arrived& event) {
        if (const auto index = known(plan_.kitchen.crew, event.person)) absences_[*index].ends(event.at, false);
    }
    void operator()(const journal::Stays& event) {
        const auto index = known(plan_.kitchen.crew, event.person);
        if (!index) return;
        const Span there{event.at, event.until};
        absences_[*index].there(there, recorded_, entry_);
        stays_.push_back({static_cast<PersonIndex>(*index), there, {}, entry_});
    }
    void operator()(const journal::PickupMoved& event) {
        if (const auto index = known(plan_.orders, event.order)) situation_.today.orders[*index].pickup = event.at;
    }

    Situation take() {
        for (const Gaps& breaks : breaks_) closed_.push_back(breaks.find());
        for (const Gaps& absences : absences_) away_.push_back(absences.find());
        for (const Idle& stay : stays_) add_hours(stay);
        set_states();
        question_starts();
        while (infer_finished()) {
        }
        while (begin_by_themselves()) {
        }
        question_places();
        std::ranges::stable_sort(situation_.questions, {}, &Question::step);
        find_kept();
        set_kitchen();
        const auto is_confirmed = [&](const auto& one) { return confirmed_.contains(entry_of(one)); };
        std::erase_if(situation_.questions, is_confirmed);
        std::erase_if(situation_.idle, is_confirmed);
        return std::move(situation_);
    }

private:
    static std::int32_t entry_of(const Question& one) { return one.entry.value_or(0); }
    static std::int32_t entry_of(const Idle& one) { return one.entry; }

    using Times = std::vector<std::optional<Instant>>;
    using Said = std::pair<Instant, std::int32_t>;  ///< when, and the entry: of one minute the later counts

    void probed(std::size_t id, Instant at) {
        const Said said{at, entry_};
        probed_[id] = std::max(probed_[id].value_or(said), said);
    }

    std::optional<std::size_t> step(const std::string& id) {
        const auto found = ids_.find(id);
        if (found != ids_.end()) return found->second;
        const auto same = [&](const Unknown& one) { return one.step && one.name == id; };
        if (std::ranges::none_of(situation_.unknown, same)) situation_.unknown.push_back({id, entry_, true});
        return std::nullopt;
    }

    template <class Event>
    void note(const Event& event, Times& times) {
        if (const auto id = step(event.step)) times[*id] = event.at;
    }

    template <class Thing>
    std::optional<std::size_t> known(const std::vector<Thing>& things, const std::string& name) {
        const auto index = find_name(things, name);
        if (!index) situation_.unknown.push_back({name, entry_, false});
        return index;
    }

    Instant expected(std::size_t id) const {
        const Instant start = *started_[id];
        if (forecast_ && probed_[id] && (!told_[id] || *told_[id] < *probed_[id]))
            if (const auto end = forecast_(static_cast<ActivityId>(id), start, readings_[id])) return *end;
        return will_end_[id].value_or(start + planned(id));
    }

    Minutes planned(std::size_t id) const { return Minutes{expansion_.project.activities[id].duration}; }

    void set_states() {
        for (std::size_t id = 0; id < ids_.size(); ++id) {
            StepState& state = situation_.steps[id];
            if (!started_[id] && !finished_[id]) continue;
            state.state = finished_[id] ? State::finished : State::running;
            if (finished_[id]) {
                state.ready = *finished_[id];
                const Instant announced = state.announced.value_or(state.ready - planned(id));
                state.start = started_[id].value_or(std::min(announced, state.ready));
                if (started_[id] && bakes(id)) stretch(id, will_end_[id].value_or(state.start + planned(id)));
            } else {
                state.start = *started_[id];
                const Instant end = expected(id);
                state.expected = end + stretch(id, end);
                get_ready(id);
            }
            state.start = std::max(state.start, plan_.from);  // the project has no time before
            state.ready = std::max(state.ready, state.start);
        }
    }

    /// Nobody need do anything for it to be ready: it only stands there. Cold is what a probe finds cold.
    bool ends_by_itself(std::size_t id) const {
        if (step_of(id).cools) return false;
        const auto interrupted = [&](const Interruption& one) { return one.step == static_cast<ActivityId>(id); };
        if (std::ranges::any_of(situation_.interruptions, interrupted)) return false;
        const Activity& activity = expansion_.project.activities[id];
        return std::ranges::all_of(activity.demands, [&](const Demand& demand) {
            const ResourceInfo& info = expansion_.resources[demand.choices.front()];
            if (info.equipment) {
                const EquipmentKind kind = plan_.kitchen.equipment[*info.equipment].kind;
                return kind == EquipmentKind::fridge || kind == EquipmentKind::other;
            }
            return demand.to.of == Moment::Of::start && demand.to.offset < activity.duration;
        });
    }

    const Step& step_of(std::size_t id) const {
        return replan::step_of(plan_, expansion_, static_cast<ActivityId>(id));
    }

    void get_ready(std::size_t id) {
        StepState& state = situation_.steps[id];
        state.ready_then = state.expected < situation_.now && ends_by_itself(id);
        state.ready = state.ready_then ? state.expected : std::max(state.expected, situation_.now);
    }

    /// Food that nobody need touch or put anywhere begins when what it is made of is ready; but a chill is begun by
    /// who puts it where it is cold.
    bool begin_by_themselves() {
        bool any = false;
        for (std::size_t id = 0; id < ids_.size(); ++id) {
            StepState& state = situation_.steps[id];
            if (state.state != State::waiting || !state.announced) continue;
            if (!wants_nobody(plan_, expansion_, static_cast<ActivityId>(id))) continue;
            const auto begun = all_is_ready(id);
            if (!begun || *begun >= situation_.now) continue;
            state.state = State::running;
            state.by_itself = true;
            state.start = std::max(*begun, plan_.from);
            state.expected = will_end_[id].value_or(state.start + planned(id));
            get_ready(id);
            any = true;
        }
        return any;
    }

    /// What the step needs is ready, and said to be; where more time was announced to pass until then, that has too.
    std::optional<Instant> all_is_ready(std::size_t id) const {
        std::optional<Instant> ready;
        bool at_once = false;
        for (const Lag& lag : expansion_.project.lags) {
            if (lag.to != static_cast<ActivityId>(id) || lag.lag < 0) continue;
            const StepState& before = situation_.steps[lag.from];
            if (before.state != State::finished && !before.ready_then) return std::nullopt;
            if (!follows(lag)) continue;
            const Minutes rest = Minutes{lag.lag} - planned(static_cast<std::size_t>(lag.from));
            ready = std::max(ready.value_or(before.ready + rest), before.ready + rest);
            at_once = at_once || (before.told_ready && *before.told_ready + rest == *situation_.steps[id].announced);
        }
        if (!ready) return std::nullopt;
        return at_once ? ready : std::max(*ready, *situation_.steps[id].announced);
    }

    bool bakes(std::size_t id) const {
        return std::ranges::any_of(expansion_.project.activities[id].demands,
                                   [](const Demand& demand) { return !demand.stages.empty(); });
    }

    /// Which settings of a bake went on for longer, and how long it stood still, if that was not to be `end` anyway.
    Minutes stretch(std::size_t id, Instant end) {
        hear_of(id);
        const Minutes still = stood_still(id, end);
        std::ranges::sort(situation_.steps[id].stretched);
        return still;
    }

    /// What the cook says of a bake is of the setting that runs then; where less is left than was said, the last of it.
    void hear_of(std::size_t id) {
        auto& stretched = situation_.steps[id].stretched;
        Instant end = *started_[id] + planned(id);
        for (const auto& [said, at] : told_ends_[id]) {
            if (at > end) stretched.emplace_back(said, at - end);
            for (Minutes less = end - at; less > Minutes{0} && !stretched.empty();) {
                const Minutes cut = std::min(less, stretched.back().second);
                less -= cut;
                stretched.back().second -= cut;
                if (stretched.back().second == Minutes{0}) stretched.pop_back();
            }
            end = at;
        }
    }

    // ------------------------------------------------------------------------------------- what it is in breaks

    static Instant moment(const Moment& moment, Instant start, Instant end) {
        return (moment.of == Moment::Of::start ? start : end) + Minutes{moment.offset};
    }

    /// What the demand has in use, as announced; absent for people, and where nothing tells which it was.
    std::optional<EquipmentIndex> used(std::size_t id, const Demand& demand) const {
        for (const ResourceId choice : demand.choices) {
            const auto equipment = expansion_.resources[choice].equipment;
            if (!equipment) continue;
            const std::string& name = plan_.kitchen.equipment[*equipment].name;
            if (demand.choices.size() == 1 || std::ranges::find(uses_[id], name) != uses_[id].end()) return equipment;
        }
        return std::nullopt;
    }

    /// It was noted since how the step gets on; in the same minute, where it is to be ready only after the break.
    bool is_judged(std::size_t id, const Gap& gap) const {
        if (probed_[id] && probed_[id]->first >= gap.news) return true;
        if (!told_[id] || told_[id]->first < gap.news) return false;
        return told_[id]->first > gap.news || *will_end_[id] >= gap.to;
    }

    /// Food in a cold oven, or in a mixer that stands, does not get on; in a fridge it may, and only the cook can tell.
    Minutes stood_still(std::size_t id, Instant expected) {
        const Instant start = *started_[id];
        Instant end = expected;
        for (const Demand& demand : expansion_.project.activities[id].demands) {
            const auto equipment = used(id, demand);
            if (!equipment) continue;
            Reheating reheating(plan_.kitchen, *equipment);
            for (const Gap& gap : closed_[*equipment]) {
                const bool open = gap.to == kOpen;
                const Instant to = open ? std::max(gap.from, situation_.now) : gap.to;
                const Instant from = std::max({gap.from, start, moment(demand.from, start, end)});
                if (from > to || (from == to && !open) || from >= std::min(end, moment(demand.to, start, end)))
                    continue;
                const auto heat = heat_at(id, demand, from - start);
                if (!demand.stages.empty() && !heat) continue;  // it dries in what heat is left
                if (is_judged(id, gap)) continue;
                const bool cold = plan_.kitchen.equipment[*equipment].kind == EquipmentKind::fridge;
                Interruption one{static_cast<ActivityId>(id), *equipment, {from, to}, open, false, to - from, {}, heat};
                if (cold) one.moved = Minutes{0};
                if (heat) {
                    one.lost = reheating.lost(from);
                    one.heating = reheating.left(from);
                    one.moved += reheating.after(one.span, *heat) - one.heating;
                    situation_.steps[id].stretched.emplace_back(from, one.moved);
                }
                end += one.moved;
                if (!finished_[id]) interrupted(id, std::move(one));
            }
        }
        return end - expected;
    }

    /// So long after the start, by what is known of it so far; absent where nothing heats.
    std::optional<MilliCelsius> heat_at(std::size_t id, const Demand& demand, Minutes at) const {
        if (demand.stages.empty()) return std::nullopt;
        Minutes until{0};
        for (const Stage& stage : demand.stages) {
            const Instant begins = *started_[id] + until;
            until += Minutes{stage.lasts};
            for (const auto& [from, by] : situation_.steps[id].stretched)
                if (begins < from && from <= *started_[id] + until) until += by;
            if (at < until) return expansion_.temperatures[stage.setting];
        }
        return expansion_.temperatures[demand.stages.back().setting];
    }

    void interrupted(std::size_t id, Interruption interruption) {
        interruption.noted = start_entry_[id];
        situation_.interruptions.push_back(std::move(interruption));
    }

    /// What is ready and stands there until something that waits begins.
    void find_kept() {
        for (std::size_t id = 0; id < ids_.size(); ++id) {
            const StepState& state = situation_.steps[id];
            const Activity& activity = expansion_.project.activities[id];
            if ((state.state != State::finished && !state.ready_then) || !activity.stretchable) continue;
            const auto waits = [&](ActivityId user) { return situation_.steps[user].state == State::waiting; };
            if (std::ranges::none_of(activity.users, waits)) continue;
            for (const Demand& demand : activity.demands) {
                const auto equipment = used(id, demand);
                if (!equipment || demand.to.of != Moment::Of::end) continue;
                for (const Gap& gap : closed_[*equipment]) {
                    const bool open = gap.to == kOpen;
                    const Instant to = open ? std::max(gap.from, situation_.now) : gap.to;
                    const Instant from = std::max(gap.from, state.start);
                    if (is_judged(id, gap) || gap.from > situation_.now || from > to) continue;
                    if (from == to && !open) continue;
                    interrupted(id,
                                {static_cast<ActivityId>(id), *equipment, {from, to}, open, true, Minutes{0}, {}, {}});
                }
            }
        }
        std::ranges::stable_sort(situation_.interruptions, {}, &Interruption::step);
    }

    // ----------------------------------------------------------------------------------- what is hardly possible

    /// Water boils at 100 C (CGPM 1948: the degree Celsius), and food that holds water gets no hotter out of the heat.
    void question_reading(std::size_t id, const journal::Probe& probe) {
        constexpr MilliCelsius kBoils = 100'000;
        const auto heats = [&](const Demand& demand) {
            return std::ranges::any_of(demand.choices, [&](ResourceId choice) {
                const auto equipment = expansion_.resources[choice].equipment;
                if (!equipment) return false;
                const EquipmentKind kind = plan_.kitchen.equipment[*equipment].kind;
                return kind == EquipmentKind::oven || kind == EquipmentKind::hob;
            });
        };
        if (probe.temperature <= kBoils || std::ranges::any_of(expansion_.project.activities[id].demands, heats))
            return;
        situation_.questions.push_back(
            {Question::Kind::too_hot, static_cast<ActivityId>(id), {}, probe.at, {}, probe.temperature, entry_});
    }

    /// There in any case, by their hours and by what was said before?
    void add_hours(Idle stay) {
        auto& hours = situation_.today.kitchen.crew[stay.person].hours;
        const auto meets = [&](const Gap& gap) { return gap.from < stay.span.to && stay.span.from < gap.to; };
        const bool was_away = std::ranges::any_of(absences_[stay.person].said_to_be(), meets);
        for (const Span& own : hours)
            if (!was_away && own.from <= stay.span.from && stay.span.to <= own.to) {
                stay.hours = own;
                situation_.idle.push_back(stay);
            }
        hours = with(hours, stay.span);
    }

    bool follows(const Lag& lag) const {
        if (lag.lag < 0 || lag.promise == kNoPromise) return false;
        const Promise::Kind kind = expansion_.promises[lag.promise].kind;
        return kind == Promise::Kind::order || kind == Promise::Kind::rest;
    }

    /// Begun before what it needs can be ready, or finished before it was to begin.
    void question_starts() {
        for (const Lag& lag : expansion_.project.lags) {
            if (!follows(lag) || lag.lag < expansion_.project.activities[lag.from].duration) continue;
            const StepState& before = situation_.steps[lag.from];
            const StepState& after = situation_.steps[lag.to];
            if (after.state == State::waiting) continue;
            std::optional<Instant> ready = before.told_ready;
            if (before.state == State::finished) ready = before.ready;
            if (before.state == State::running) ready = before.expected;
            if (!ready || *ready <= after.start) continue;
            situation_.questions.push_back({Question::Kind::needs_open, lag.to, lag.from, after.start, ready, 0,
                                            start_entry_[lag.to] ? start_entry_[lag.to] : finish_entry_[lag.to]});
        }
        for (std::size_t id = 0; id < ids_.size(); ++id) {
            const StepState& state = situation_.steps[id];
            if (!finished_[id] || started_[id] || !state.announced || *finished_[id] > *state.announced) continue;
            situation_.questions.push_back({Question::Kind::not_started,
                                            static_cast<ActivityId>(id),
                                            {},
                                            *finished_[id],
                                            state.announced,
                                            0,
                                            finish_entry_[id]});
        }
        for (std::size_t id = 0; id < ids_.size(); ++id) {
            question_warmth(id);
            question_length(id);
        }
    }

    void question_places() {
        const auto used_by = [&](ActivityId id, const Demand& demand) {
            return used(static_cast<std::size_t>(id), demand);
        };
        for (Question& one : without_place(plan_, expansion_, situation_, used_by, start_entry_))
            situation_.questions.push_back(std::move(one));
    }

    /// Food is cold when a probe says so; the clock, or a tick, does not cool it.
    void question_warmth(std::size_t id) {
        const auto& cools = step_of(id).cools;
        if (!finished_[id] || !cools || readings_[id].empty()) return;
        const journal::Probe& last = *std::ranges::max_element(readings_[id], {}, &journal::Probe::at);
        if (last.temperature <= cools->to) return;
        situation_.questions.push_back({Question::Kind::too_warm,
                                        static_cast<ActivityId>(id),
                                        {},
                                        *finished_[id],
                                        last.at,
                                        last.temperature,
                                        finish_entry_[id],
                                        cools->to});
    }

    /// Common practice, no source: nothing is done in less than half of its time.
    void question_length(std::size_t id) {
        const StepState& state = situation_.steps[id];
        if (!finished_[id] || 2 * (state.ready - state.start) >= planned(id)) return;
        const auto same = [&](const Question& one) { return one.step == static_cast<ActivityId>(id); };
        if (std::ranges::any_of(situation_.questions, same)) return;  // one question a step will do
        situation_.questions.push_back({Question::Kind::too_soon,
                                        static_cast<ActivityId>(id),
                                        {},
                                        *finished_[id],
                                        state.start + planned(id),
                                        0,
                                        finish_entry_[id]});
    }

    /// What must be over before a step that has started can have: nobody noted it down, yet it is.
    bool infer_finished() {
        bool any = false;
        for (const Lag& lag : expansion_.project.lags) {
            StepState& before = situation_.steps[lag.from];
            const StepState& after = situation_.steps[lag.to];
            if (before.state == State::finished || after.state == State::waiting || !follows(lag)) continue;
            if (before.state == State::waiting) {
                before.ready = std::min(after.start, before.told_ready.value_or(after.start));
                before.start = std::min(before.ready, before.announced.value_or(before.ready - planned(lag.from)));
                before.start = std::max(before.start, plan_.from);
            } else {
                before.ready = std::max(before.start, std::min(after.start, before.ready));
            }
            before.ready = std::max(before.ready, before.start);
            before.state = State::finished;
            before.inferred = true;
            any = true;
        }
        return any;
    }

    void set_kitchen() {
        situation_.usable_from.assign(closed_.size(), situation_.now);
        situation_.broken.resize(closed_.size());
        situation_.open_since.resize(closed_.size());
        situation_.away.resize(away_.size());
        for (std::size_t i = 0; i < closed_.size(); ++i)
            for (Instant& usable = situation_.usable_from[i]; const Gap& gap : closed_[i]) {
                Equipment& equipment = situation_.today.kitchen.equipment[i];
                const Span broken = span(gap, equipment.name);
                if (gap.to == kOpen) situation_.open_since[i] = gap.from;
                equipment.closed = with(equipment.closed, broken);
                situation_.broken[i].push_back(broken);
                if (broken.from <= situation_.now) usable = std::max(usable, broken.to);
            }
        for (std::size_t i = 0; i < away_.size(); ++i)
            for (const Gap& gap : away_[i]) {
                Person& person = situation_.today.kitchen.crew[i];
                situation_.away[i].push_back(span(gap, person.name));
                person.hours = without(person.hours, situation_.away[i].back());
            }
        set_told_turns();
    }

    /// What was to be done to an oven has been done, unless all who were to be there were away.
    void set_told_turns() {
        const auto& equipment = plan_.kitchen.equipment;
        situation_.told_turns.resize(equipment.size());
        for (const journal::PublishedTurn& turn : turns_) {
            const auto oven = std::ranges::find(equipment, turn.oven, &Equipment::name);
            if (oven == equipment.end() || turn.at >= situation_.now) continue;
            const bool missed = is_there(plan_, turn.at) && !is_there(situation_.today, turn.at);
            if (missed && !(oven->timer && turn.temperature)) continue;
            situation_.told_turns[static_cast<std::size_t>(oven - equipment.begin())].push_back(
                {turn.at, turn.temperature});
        }
    }

    static bool is_there(const Plan& plan, Instant at) {
        return std::ranges::any_of(plan.kitchen.crew, [&](const Person& person) {
            return std::ranges::any_of(person.hours, [&](const Span& own) { return covers(own, at); });
        });
    }

    Span span(const Gap& gap, const std::string& name) {
        if (gap.to != kOpen) return {gap.from, gap.to};
        situation_.open_end.push_back(name);
        Instant last = gap.from;
        for (const Order& order : situation_.today.orders) last = std::max(last, order.pickup);
        return {gap.from, last + std::chrono::days{3}};
    }

    const Plan& plan_;
    const Expansion& expansion_;
    const Forecast& forecast_;
    Situation situation_;
    std::map<std::string, std::size_t> ids_;
    Times started_;
    Times finished_;
    Times will_end_;
    std::vector<std::vector<std::pair<Instant, Instant>>> told_ends_;  ///< said when, and what
    std::vector<std::vector<journal::Probe>> readings_;
    std::vector<std::optional<Said>> probed_;  ///< measured, or spread thinner, last
    std::vector<std::optional<Said>> told_;    ///< said last when it ends
    std::vector<std::optional<std::int32_t>> start_entry_;
    std::vector<std::optional<std::int32_t>> finish_entry_;
    std::vector<std::vector<std::string>> uses_;  ///< names of equipment, as announced
    std::vector<journal::PublishedTurn> turns_;   ///< by time: as had been announced by then
    std::int32_t entry_ = 0;
    Instant recorded_;
    std::set<std::int32_t> confirmed_;
    std::vector<Gaps> breaks_;
    std::vector<Gaps> absences_;
    std::vector<Idle> stays_;               ///< hours are still to be found
    std::vector<std::vector<Gap>> closed_;  ///< by equipment
    std::vector<std::vector<Gap>> away_;    ///< by person
};

}  // namespace

Situation situation(const Plan& plan, const Expansion& expansion, const journal::Journal& journal, Instant now,
                    const Forecast& forecast) {
    Reader reader(plan, expansion, now, forecast);
    for (const journal::Entry* entry : journal.standing()) reader.take(*entry);
    Situation situation = reader.take();
    situation.told_pickups = told_pickups(plan, journal, journal.published());
    return situation;
}

}  // namespace oventide::replan
