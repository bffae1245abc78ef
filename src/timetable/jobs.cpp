#include "timetable/jobs.hpp"

#include <algorithm>
#include <map>
#include <tuple>

#include "timetable/signals.hpp"

namespace oventide {
namespace {

using Kind = Job::Kind;

/// In their hours; who leaves at that minute can still do something in passing.
bool is_there(const Person& person, Instant at) {
    return std::any_of(person.hours.begin(), person.hours.end(),
                       [&](const Span& span) { return span.from <= at && at <= span.to; });
}

bool leaves(const Person& person, Instant at) {
    return std::none_of(person.hours.begin(), person.hours.end(),
                        [&](const Span& span) { return span.from <= at && at < span.to; });
}

class JobBook {
public:
    JobBook(const Plan& plan, Timetable& timetable)
        : plan_(plan), timetable_(timetable), by_person_(plan.kitchen.crew.size()) {
        for (const Row& row : timetable.rows)
            for (const HandsUse& hands : row.hands) {
                by_person_[static_cast<std::size_t>(hands.person)].push_back(hands.span);
                if (!hands.washing) by_end_.push_back({hands.span.to, hands.person, &row});
            }
        for (auto& spans : by_person_)
            std::sort(spans.begin(), spans.end(), [](const Span& a, const Span& b) { return a.from < b.from; });
        std::stable_sort(by_end_.begin(), by_end_.end(), [](const Done& a, const Done& b) { return a.at < b.at; });
    }

    void fill() {
        for (std::size_t i = 0; i < timetable_.rows.size(); ++i) add_row(static_cast<std::int32_t>(i));
        for (std::size_t i = 0; i < timetable_.oven.size(); ++i)
            if (!may_come_on_by_itself(timetable_.oven[i])) add_event(static_cast<std::int32_t>(i));
        tell_shifts();
        for (std::size_t i = 0; i < timetable_.oven.size(); ++i) {
            OvenEvent& event = timetable_.oven[i];
            if (!may_come_on_by_itself(event)) continue;
            event.by_timer = !somebody_at_work(event.at);
            if (!event.by_timer) add_event(static_cast<std::int32_t>(i));
        }
        const auto timers = timer_jobs();
        timetable_.jobs.insert(timetable_.jobs.end(), timers.begin(), timers.end());
        if (!timers.empty()) tell_shifts();
    }

private:
    const Row& row(std::int32_t index) const { return timetable_.rows[static_cast<std::size_t>(index)]; }

    bool is_kind(const EquipmentUse& use, EquipmentKind kind) const {
        return plan_.kitchen.equipment[use.equipment].kind == kind;
    }

    /// The oven or the fridge that the food is moved into and out of, the first one that it uses.
    const EquipmentUse* place_of(const Row& row) const {
        const auto use = std::find_if(row.equipment.begin(), row.equipment.end(), [&](const EquipmentUse& each) {
            return is_kind(each, EquipmentKind::oven) || is_kind(each, EquipmentKind::fridge);
        });
        return use == row.equipment.end() ? nullptr : &*use;
    }

    Kind kind_of(const Row& row, const HandsUse& hands) const {
        if (hands.washing) return Kind::washing;
        const bool moved = place_of(row) != nullptr;
        if (hands.span.from >= row.end && row.end > row.start) return Kind::afterwards;
        const bool from_start = hands.span.from == row.start;
        if (from_start && hands.span.to >= row.ready) return Kind::work;
        if (from_start) return moved ? Kind::into : Kind::begin;
        if (hands.span.to == row.end) return moved ? Kind::out : Kind::end;
        return Kind::work;
    }

    void add_row(std::int32_t index) {
        const Row& of = row(index);
        const EquipmentUse* place = place_of(of);
        const auto where = place == nullptr ? std::nullopt : std::optional(place->equipment);
        for (const HandsUse& hands : of.hands)
            timetable_.jobs.push_back({kind_of(of, hands), hands.span, hands.person, index, -1, where});
        if (place == nullptr) return add_put_out(index);
        if (!attended(of, of.start)) add_move(Kind::into, of.start, index, where);
        if (is_kind(*place, EquipmentKind::oven) && !attended(of, of.end)) add_move(Kind::out, of.end, index, where);
    }

    /// Butter that is left to soften, a dessert that leaves the fridge an hour before it is served.
    void add_put_out(std::int32_t index) {
        const Row& of = row(index);
        const Step& step = plan_.components[of.component].steps[of.step];
        const bool from_store = step.after.empty() && step.draws.empty();
        const auto cold = [&](const Row& food) {
            return cold_place(plan_, food, of.start) != nullptr && goes_into(plan_, timetable_, food, of);
        };
        if (!from_store && std::none_of(timetable_.rows.begin(), timetable_.rows.end(), cold)) return;
        if (!attended(of, of.start) && !in_hand(of)) add_move(Kind::put_out, of.start, index, std::nullopt);
    }

    /// Somebody has just done something else with it.
    bool in_hand(const Row& of) const {
        return std::any_of(by_end_.begin(), by_end_.end(), [&](const Done& done) {
            return done.at == of.start && done.row->component == of.component && done.row->batch == of.batch;
        });
    }

    static bool attended(const Row& row, Instant at) {
        return std::any_of(row.hands.begin(), row.hands.end(),
                           [&](const HandsUse& hands) { return hands.span.from <= at && at <= hands.span.to; });
    }

    void add_move(Kind kind, Instant at, std::int32_t index, std::optional<EquipmentIndex> where) {
        const Row& moved = row(index);
        const auto had_it = [&](const Row& other) {
            return other.component == moved.component && other.batch == moved.batch;
        };
        timetable_.jobs.push_back({kind, {at, at}, who_at(at, had_it), index, -1, where});
    }

    bool may_come_on_by_itself(const OvenEvent& event) const {
        return event.kind == OvenEvent::Kind::on && plan_.kitchen.equipment[event.oven].timer;
    }

    bool somebody_at_work(Instant at) const {
        return std::any_of(timetable_.shifts.begin(), timetable_.shifts.end(), [&](const Shift& shift) {
            return shift.span.from <= at && at <= shift.span.to &&
                   is_there(plan_.kitchen.crew[static_cast<std::size_t>(shift.person)], at);
        });
    }

    void add_event(std::int32_t index) {
        OvenEvent& event = timetable_.oven[static_cast<std::size_t>(index)];
        if (event.breaks || event.kind == OvenEvent::Kind::hot) return;
        event.by = who_at(event.at, [&](const Row& other) {
            return std::any_of(other.equipment.begin(), other.equipment.end(),
                               [&](const EquipmentUse& use) { return use.equipment == event.oven; });
        });
        timetable_.jobs.push_back({Kind::oven, {event.at, event.at}, event.by, -1, index, event.oven});
    }

    /// For something in passing.
    template <class HadIt>
    std::optional<PersonIndex> who_at(Instant at, HadIt had_it) const {
        auto done = std::lower_bound(by_end_.begin(), by_end_.end(), at,
                                     [](const Done& each, Instant time) { return each.at < time; });
        for (; done != by_end_.end() && done->at == at; ++done)
            if (had_it(*done->row)) return done->person;
        std::optional<PersonIndex> best;
        std::tuple<bool, bool, bool> best_rank;
        for (std::size_t i = 0; i < plan_.kitchen.crew.size(); ++i) {
            const auto person = static_cast<PersonIndex>(i);
            if (!is_there(plan_.kitchen.crew[i], at)) continue;
            const std::tuple rank{leaves(plan_.kitchen.crew[i], at), !at_work(person, at), busy(person, at)};
            if (best && best_rank <= rank) continue;
            best = person;
            best_rank = rank;
        }
        return best;
    }

    bool busy(PersonIndex person, Instant at) const {
        const auto next = first_after(person, at);
        return next != spans(person).begin() && at < std::prev(next)->to;
    }

    /// Not at home before the first job of the day, or after the last.
    bool at_work(PersonIndex person, Instant at) const {
        const auto next = first_after(person, at);
        const bool before = next != spans(person).begin() && at - std::prev(next)->to < kNightsRest;
        const bool after = next != spans(person).end() && next->from - at < kNightsRest;
        return busy(person, at) || (before && (after || std::prev(next)->to == at));
    }

    const std::vector<Span>& spans(PersonIndex person) const { return by_person_[static_cast<std::size_t>(person)]; }

    /// The first time that hands are needed after that minute began; nobody does two things at once.
    std::vector<Span>::const_iterator first_after(PersonIndex person, Instant at) const {
        return std::upper_bound(spans(person).begin(), spans(person).end(), at,
                                [](Instant time, const Span& span) { return time < span.from; });
    }

    /// A timer holds one time: it is set once what it was set to before is over, by whoever was the last to be there
    /// before the oven comes on.
    std::vector<Job> timer_jobs() const {
        std::vector<Job> jobs;
        std::map<EquipmentIndex, Instant> free_from;
        for (std::size_t i = 0; i < timetable_.oven.size(); ++i) {
            const OvenEvent& event = timetable_.oven[i];
            if (event.by_timer) {
                const auto [at, person] =
                    set_by(free_from.try_emplace(event.oven, Instant::min()).first->second, event.at);
                jobs.push_back({Kind::timer, {at, at}, person, -1, static_cast<std::int32_t>(i), event.oven});
            }
            if (event.kind != OvenEvent::Kind::hot) free_from[event.oven] = event.at;
        }
        return jobs;
    }

    /// Nobody is at work in between: at the time itself.
    std::pair<Instant, std::optional<PersonIndex>> set_by(Instant earliest, Instant on) const {
        const Shift* best = nullptr;
        for (const Shift& shift : timetable_.shifts) {
            if (shift.span.to > on || shift.span.to < earliest) continue;
            if (best == nullptr || shift.span.to > best->span.to) best = &shift;
        }
        if (best == nullptr) return {on, std::nullopt};
        return {best->span.to, best->person};
    }

    void tell_shifts() {
        sort();
        timetable_.shifts.clear();
        for (std::size_t person = 0; person < plan_.kitchen.crew.size(); ++person)
            add_shifts(static_cast<PersonIndex>(person));
        std::stable_sort(timetable_.shifts.begin(), timetable_.shifts.end(), [](const Shift& a, const Shift& b) {
            return std::tie(a.span.from, a.person) < std::tie(b.span.from, b.person);
        });
    }

    void sort() {
        const auto rank = [](const Job& job) {
            if (job.kind == Kind::oven) return 0;
            if (job.kind == Kind::out || job.kind == Kind::end) return 1;
            return job.span.from == job.span.to ? 2 : 3;
        };
        std::stable_sort(timetable_.jobs.begin(), timetable_.jobs.end(), [&](const Job& a, const Job& b) {
            return std::make_tuple(a.span.from, rank(a)) < std::make_tuple(b.span.from, rank(b));
        });
    }

    /// What is done in passing alone gets nobody out of bed.
    bool begins_a_shift(const Job& job) const {
        if (job.span.from < job.span.to) return true;
        return job.kind == Kind::oven &&
               timetable_.oven[static_cast<std::size_t>(job.event)].kind == OvenEvent::Kind::on;
    }

    void add_shifts(PersonIndex person) {
        const std::size_t before = timetable_.shifts.size();
        for (std::size_t i = 0; i < timetable_.jobs.size(); ++i) {
            const Job& job = timetable_.jobs[i];
            if (job.person != person) continue;
            const bool goes_on =
                timetable_.shifts.size() > before && job.span.from - timetable_.shifts.back().span.to < kNightsRest;
            if (goes_on)
                timetable_.shifts.back().span.to = std::max(timetable_.shifts.back().span.to, job.span.to);
            else if (begins_a_shift(job))
                timetable_.shifts.push_back({person, job.span, static_cast<std::int32_t>(i)});
        }
    }

    struct Done {
        Instant at;
        PersonIndex person;
        const Row* row;
    };

    const Plan& plan_;
    Timetable& timetable_;
    std::vector<std::vector<Span>> by_person_;  ///< hands, by start
    std::vector<Done> by_end_;                  ///< hands but for washing
};

}  // namespace

std::optional<Instant> hot_after(const Timetable& timetable, std::size_t event) {
    const EquipmentIndex oven = timetable.oven[event].oven;
    for (std::size_t next = event + 1; next < timetable.oven.size(); ++next) {
        if (timetable.oven[next].oven != oven) continue;
        if (timetable.oven[next].kind == OvenEvent::Kind::hot) return timetable.oven[next].at;
        return std::nullopt;
    }
    return std::nullopt;
}

void add_jobs(const Plan& plan, Timetable& timetable) { JobBook(plan, timetable).fill(); }

}  // namespace oventide
