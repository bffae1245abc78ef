/// Limits that are not kept, and all that the cook should mind or answer.
#include <fmt/format.h>

#include <algorithm>
#include <map>
#include <set>

#include "report/day_part.hpp"
#include "report/page.hpp"
#include "report/shared.hpp"

namespace oventide::report {
namespace {

/// An oven that was broken before that was cold in any case.
constexpr Minutes kLongAgo{60};

using replan::Replanned;
using replan::State;

class Remarks : DayPart {
public:
    using DayPart::DayPart;

    void add_limits() {
        if (result_.broken.empty()) return;
        page_.heading("Limits that are not kept");
        for (const replan::Broken& broken : result_.broken) page_.paragraph(broken_text(broken, words_), 2, 2);
        page_.paragraph(kCaution, 2);
    }

    void add_remarks() {
        std::vector<std::string> remarks;
        for (const replan::Question& one : day_.situation.questions) remarks.push_back(question(one));
        for (const replan::Idle& one : day_.situation.idle) remarks.push_back(idle(one));
        add_interruptions(remarks);
        if (result_.timetable) add_absent_hands(remarks);
        if (result_.timetable) add_cold_ovens(remarks);
        if (result_.timetable)
            for (const Caution& one : unattended(subject_, words_, days_, day_.situation.now))
                remarks.push_back(one.text);
        add_fresher(remarks);
        if (result_.timetable)
            for (const PastBest& food : result_.timetable->past_best)
                if (food.used > day_.situation.now) remarks.push_back(past_best_text(food, subject_, words_, days_));
        add_missing(remarks);
        add_not_noted(remarks);
        for (std::size_t id = 0; id < day_.situation.steps.size(); ++id)
            if (day_.situation.steps[id].inferred)
                remarks.push_back(task(static_cast<ActivityId>(id)) +
                                  ": not noted, but what needs it has started; taken as finished.");
        for (const std::string& name : day_.situation.open_end)
            remarks.push_back(words_.name(name) +
                              ": nobody knows until when; before you say, taken as for all that is left of the plan.");
        add_lost_steps(remarks);
        for (const std::string& what : result_.diagnosis) remarks.push_back(words_.name(what) + ".");
        if (remarks.empty()) return;
        page_.heading("Mind");
        for (const std::string& remark : remarks) page_.paragraph(remark, 2, 2);
    }

private:
    /// Batch by batch: an order that is taken out of the plan has many.
    void add_lost_steps(std::vector<std::string>& remarks) const {
        std::map<std::string, std::vector<std::string>> batches;
        std::vector<std::string> order;
        for (const replan::Unknown& one : day_.situation.unknown) {
            if (!one.step) continue;
            const std::string batch = one.name.substr(0, one.name.find('.', one.name.find('.') + 1));
            if (batches[batch].empty()) order.push_back(batch);
            batches[batch].push_back(words_.name(one.name));
        }
        for (const std::string& batch : order) {
            const auto& steps = batches[batch];
            if (steps.size() == 1)
                remarks.push_back("The journal names '" + steps.front() + "', which the plan does not have.");
            else
                remarks.push_back(fmt::format("The journal names {} steps of '{}' that the plan does not have: {}{}{}.",
                                              steps.size(), words_.name(batch), steps.front(),
                                              steps.size() == 2 ? " and " : " to ", steps.back()));
        }
    }

    std::string fresher(std::int32_t order) const {
        const replan::Pickup& pickup = pickup_of(order);
        std::vector<std::string> batches;
        bool rest = false;
        for (const replan::Fresher& one : result_.fresher) {
            if (one.order != order) continue;
            rest = rest || one.by <= Minutes{0};
            if (one.by <= Minutes{0}) continue;
            const Batch& batch = result_.expansion->batches[one.batch];
            const std::string which = words_.batch(batch.component, 0, batch.number, 0);
            batches.push_back(fmt::format("{}{}{} ({}) can be {} later", words_.component(batch.component),
                                          which.empty() ? "" : ", ", which, at(one.begins), duration_text(one.by)));
        }
        std::string text = fmt::format(
            "{} is collected {} later, but nothing in the plan asks for it to be made as much later. With everything "
            "else as it is, ",
            order_name(order), duration_text(pickup.at - pickup.told));
        if (batches.empty()) return text + "nothing of it can be later.";
        return fmt::format("{}{}{}. Whoever wants it fresher begins it later, and notes 'started STEP' then.", text,
                           fmt::join(batches, "; "), rest ? ", and the rest of it cannot" : "");
    }

    void add_fresher(std::vector<std::string>& remarks) const {
        std::set<std::int32_t> orders;
        for (const replan::Fresher& one : result_.fresher)
            if (orders.insert(one.order).second) remarks.push_back(fresher(one.order));
    }

    /// Only the cook can tell what becomes of what was in there; until then this is what the plan takes for true.
    std::string interrupted(const replan::Interruption& one) const {
        const std::string where = words_.equipment(one.equipment);
        const std::string id = id_of(one.step);
        const Instant now = day_.situation.now;
        std::string text = fmt::format("{} is in the {} while that is broken, ", task(one.step), where);
        text += one.open ? fmt::format("from {}, and nobody knows until when.", at(one.span.from))
                         : fmt::format("{} to {}.", at(one.span.from), at(one.span.to));
        text += " Only you can judge it.";
        if (one.kept) return text + fmt::format(" Measure it and note 'probe {} CELSIUS'.", id);
        const replan::StepState& step = day_.situation.steps[one.step];
        if (day_.situation.today.kitchen.equipment[one.equipment].kind != EquipmentKind::fridge) {
            const Instant before = step.expected - moved_in_all(one.step);
            text += fmt::format(" Its time there is taken to stand still until it is mended{}: ready ",
                                one.heat ? " and hot again" : "");
            text += one.open ? fmt::format("at {}, and as much later as that lasts.", at(before))
                             : fmt::format("{} instead of {}.", at(step.ready), at(before));
            text += fmt::format(
                " As you find it, note 'ready {} TIME', 'runs-long {} MINUTES' (after {}) or "
                "'finished {}'",
                id, id, at(before), id);
        } else {
            text += fmt::format(
                " It is taken to be ready as before, {}. As you find it, note 'probe {} CELSIUS', "
                "'ready {} TIME' or 'finished {}'",
                at(step.ready), id, id, id);
        }
        if (one.noted) text += fmt::format("; to begin it anew, 'undo {}' takes its start back", *one.noted);
        if (is_oven(one.equipment) && !one.open && one.span.to > now)
            text += fmt::format(". Switch the {} on again at {}", where, at(one.span.to));
        return text + ".";
    }
    Minutes moved_in_all(ActivityId step) const {
        Minutes sum{0};
        for (const replan::Interruption& one : day_.situation.interruptions)
            if (one.step == step) sum += one.moved;
        return sum;
    }
    bool is_oven(EquipmentIndex index) const {
        return day_.situation.today.kitchen.equipment[index].kind == EquipmentKind::oven;
    }

    /// What is under way wants the hands of somebody who is away then, and nobody else is there.
    void add_absent_hands(std::vector<std::string>& remarks) const {
        for (std::size_t k = 0; k < day_.situation.steps.size(); ++k) {
            if (day_.situation.steps[k].state != State::running) continue;
            for (const HandsUse& hands : row_of(static_cast<ActivityId>(k)).hands) {
                const auto meets = [&](const Span& gap) {
                    return gap.from < hands.span.to && std::max(hands.span.from, day_.situation.now) < gap.to;
                };
                if (hands.span.to <= day_.situation.now ||
                    std::ranges::none_of(day_.situation.away[hands.person], meets))
                    continue;
                remarks.push_back(
                    fmt::format("{} wants hands {} to {}, but {} is away, and nobody else is there for it or free: "
                                "somebody must see to it.",
                                task(static_cast<ActivityId>(k)), at(std::max(hands.span.from, day_.situation.now)),
                                at(hands.span.to), words_.person(hands.person)));
            }
        }
    }

    /// Broken now, or not long ago, and to be heated anew: whatever it had come to before does not count.
    void add_cold_ovens(std::vector<std::string>& remarks) const {
        const Instant now = day_.situation.now;
        for (std::size_t k = 0; k < day_.situation.broken.size(); ++k) {
            std::optional<Span> last;
            for (const Span& span : day_.situation.broken[k])
                if (span.from <= now && (!last || last->to < span.to)) last = span;
            if (!last || day_.situation.open_since[k] || last->to + kLongAgo < now) continue;
            const auto oven = static_cast<EquipmentIndex>(k);
            const auto on = switched_on(oven, std::max(now, last->to));
            if (!on || is_loaded(oven)) continue;
            const OvenEvent& event = result_.timetable->oven[*on];
            const auto hot = hot_after(*result_.timetable, *on);
            remarks.push_back(fmt::format(
                "{} {} until {}: taken as cold then, whatever it had come to before. Switch it on at {}, to {}{}; "
                "what goes in sooner, because it is hot, is noted 'started STEP'.",
                words_.equipment(oven), last->to > now ? "is broken" : "was broken", at(last->to), at(event.at),
                temperature_text(*event.temperature), hot ? ", hot at " + at(*hot) : ""));
        }
    }

    /// The next turn of an oven, where that switches it on.
    std::optional<std::size_t> switched_on(EquipmentIndex oven, Instant from) const {
        const auto& events = result_.timetable->oven;
        for (std::size_t k = 0; k < events.size(); ++k)
            if (events[k].oven == oven && events[k].at >= from)
                return events[k].kind == OvenEvent::Kind::on ? std::optional(k) : std::nullopt;
        return std::nullopt;
    }

    void add_interruptions(std::vector<std::string>& remarks) const {
        bool cold = false;
        for (const replan::Interruption& one : day_.situation.interruptions) {
            remarks.push_back(interrupted(one));
            cold = cold || day_.situation.today.kitchen.equipment[one.equipment].kind == EquipmentKind::fridge;
        }
        if (cold)
            remarks.push_back(
                "Food that was to be cold may have been warm: a caution, no verdict; local rules and a trained person "
                "decide what may be served.");
    }

    Instant start_of(ActivityId step) const { return day_.situation.steps[step].start; }

    static std::string entry_text(std::int32_t number) {
        return fmt::format(" If it is, note 'right {}'; if not, 'undo {}'.", number, number);
    }

    std::string idle(const replan::Idle& one) const {
        const std::string person = words_.person(one.person);
        return fmt::format(
            "{} is there {} to {} anyway: that {} will be there {} to {} changes nothing. Is that what was meant?{} "
            "Who "
            "comes later or goes earlier is away: 'away {} until TIME', 'away {} at TIME'.",
            person, at(one.hours.from), at(one.hours.to), person, at(one.span.from), at(one.span.to),
            entry_text(one.entry), person, person);
    }

    std::string no_place(const replan::Question& one) const {
        const std::string where = words_.equipment(*one.equipment);
        const std::string other = task(*one.other);
        std::string text = fmt::format("{} has begun at {}, but ", task(one.step), at(one.at));
        text +=
            one.kind == replan::Question::Kind::no_room
                ? fmt::format("then there is no room for it: {} is with {} until {} as far as is known.", where, other,
                              at(*one.expected))
                : fmt::format("{} is at {} for {} until {} as far as is known, and {} is wanted.", where,
                              temperature_text(one.reading), other, at(*one.expected), temperature_text(one.wanted));
        return text +
               fmt::format(" If that is out by then, note 'finished {} at TIME'. Is it as noted?", id_of(*one.other));
    }

    std::string question(const replan::Question& one) const {
        const std::string entry = one.entry ? entry_text(*one.entry) : "";
        switch (one.kind) {
            case replan::Question::Kind::needs_open:
                return fmt::format(
                    "{} has begun at {}, but {}, which it needs, is ready at {} as far as is known. Is "
                    "that so?{}",
                    task(one.step), at(one.at), task(*one.other), at(*one.expected), entry);
            case replan::Question::Kind::not_started:
                return fmt::format("{} is finished at {}, but was to start at {}, and no start is noted. Is that so?{}",
                                   task(one.step), at(one.at), at(*one.expected), entry);
            case replan::Question::Kind::too_soon:
                return fmt::format("{} is finished at {}, after {} of the {} that it takes. Is that so?{}",
                                   task(one.step), at(one.at), duration_text(one.at - start_of(one.step)),
                                   duration_text(*one.expected - start_of(one.step)), entry);
            case replan::Question::Kind::too_warm:
                return fmt::format(
                    "{} is finished at {}, but was {} at {}, and {} is wanted. Is it as cold? Note a probe.{}",
                    task(one.step), at(one.at), temperature_text(one.reading), at(*one.expected),
                    temperature_text(one.wanted), entry);
            case replan::Question::Kind::no_room:
            case replan::Question::Kind::other_heat:
                return no_place(one) + entry;
            case replan::Question::Kind::too_hot:
                break;
        }
        return fmt::format(
            "{}: {} at {}, out of the oven and off the hob? Food that holds water gets no hotter than "
            "100 C.{}",
            task(one.step), temperature_text(one.reading), at(one.at), entry);
    }

    /// Who or what is missing, where that may be why there is nothing.
    void add_missing(std::vector<std::string>& remarks) const {
        if (result_.way != Replanned::Way::impossible && result_.way != Replanned::Way::conditional) return;
        const replan::Situation& day = day_.situation;
        const auto now = [&](const Span& gap) { return gap.from <= day.now && day.now < gap.to; };
        for (std::size_t k = 0; k < day.away.size(); ++k)
            if (std::ranges::any_of(day.away[k], now))
                remarks.push_back(words_.person(static_cast<PersonIndex>(k)) + " is away.");
        for (std::size_t k = 0; k < day.broken.size(); ++k)
            if (std::ranges::any_of(day.broken[k], now))
                remarks.push_back(words_.equipment(static_cast<EquipmentIndex>(k)) + " is broken.");
    }

    template <class Holds>
    bool any_needed(ActivityId id, Holds holds) const {
        return std::ranges::any_of(day_.planned.project.lags, [&](const Lag& lag) {
            return lag.to == id && lag.lag >= day_.planned.project.activities[lag.from].duration && holds(lag.from);
        });
    }

    /// Not where what it needs is still under way: then it is that which takes longer.
    bool could_have_started(ActivityId id) const {
        return !any_needed(id, [&](ActivityId before) {
            const replan::StepState& step = day_.situation.steps[before];
            return step.state == State::running && !step.ready_then;
        });
    }

    bool follows_overdue(ActivityId id) const {
        return any_needed(
            id, [&](ActivityId before) { return std::ranges::find(result_.overdue, before) != result_.overdue.end(); });
    }

    std::string start_note(ActivityId id, Instant when) const {
        return fmt::format("'started {} at {}'", id_of(id), clock::clock_text(day_.zone.local(when)));
    }

    void add_not_noted(std::vector<std::string>& remarks) const {
        for (const ActivityId id : result_.overdue)
            if (const Instant announced = *day_.situation.steps[id].announced; follows_overdue(id))
                remarks.push_back(fmt::format("{}: should have started at {}; what it needs has not started either.",
                                              task(id), at(announced)));
            else if (could_have_started(id))
                remarks.push_back(
                    fmt::format("{}: should have started at {}, and nothing is noted; taken as not started. If it has, "
                                "note {}, or when it did.",
                                task(id), at(announced), start_note(id, announced)));
        if (result_.overdue.size() > 1) remarks.push_back("Did all that happen as announced? Then note 'on-time'.");
        for (std::size_t k = 0; k < day_.situation.steps.size(); ++k) {
            const replan::StepState& step = day_.situation.steps[k];
            const auto id = static_cast<ActivityId>(k);
            if (step.by_itself)
                remarks.push_back(
                    fmt::format("{}: taken as begun by itself at {}, when what it needs was ready; nothing is noted. "
                                "Else note 'started {} at TIME'.",
                                task(id), at(step.start), id_of(id)));
            if (step.state != State::running || !step.told_ready || *step.told_ready >= day_.situation.now) continue;
            if (step.ready_then)
                remarks.push_back(fmt::format(
                    "{}: ready at {}, as expected; nothing is noted, and what it keeps counts from then. If it takes "
                    "longer, note 'ready {} TIME'.",
                    task(id), at(step.ready), id_of(id)));
            else if (step.ready == day_.situation.now)
                remarks.push_back(fmt::format("{}: was to be ready at {}, and nothing is noted; taken as ready now.",
                                              task(id), at(step.expected)));
        }
    }
};

}  // namespace

void add_limits(const DayText& day, Page& page) { Remarks(day, page).add_limits(); }

void add_remarks(const DayText& day, Page& page) { Remarks(day, page).add_remarks(); }

}  // namespace oventide::report
