#include "replan/tell.hpp"

#include <algorithm>
#include <tuple>
#include <utility>

#include "replan/fresher.hpp"
#include "replan/held.hpp"
#include "replan/hold_up.hpp"
#include "replan/over_night.hpp"
#include "replan/ways_out.hpp"
#include "replan/whole_day.hpp"

namespace oventide::replan {

bool serves(const Plan& today, const Expansion& left, ActivityId id, std::int32_t order) {
    const Batch& batch = left.batches[left.tasks[id].batch];
    const auto last = static_cast<StepIndex>(today.components[batch.component].steps.size()) - 1;
    const auto sold = [&](const Batch::Sale& sale) { return sale.order == order; };
    return left.tasks[id].step == last && std::ranges::any_of(batch.sales, sold);
}

std::vector<Change> changed(const Situation& situation, const Schedule* announced, const Replanned& result) {
    std::vector<Change> changes;
    for (ActivityId id = 0; id < static_cast<ActivityId>(situation.steps.size()); ++id) {
        const StepState& step = situation.steps[id];
        if (step.state != State::waiting) continue;
        Change change{id, step.announced, result.expansion->origin + Minutes{result.outcome.schedule->start[id]}};
        const auto& chosen = result.outcome.schedule->chosen[id];
        for (std::size_t k = 0; announced != nullptr && step.announced && k < chosen.size(); ++k) {
            const bool other = announced->chosen[id][k] != chosen[k];
            const bool person = result.expansion->resources[chosen[k]].person.has_value();
            (person ? change.other_people : change.other_equipment) |= other;
        }
        if (change.from != change.to || change.other_people || change.other_equipment) changes.push_back(change);
    }
    std::ranges::sort(changes, {}, [](const Change& change) { return std::tuple(change.to, change.step); });
    return changes;
}

std::optional<Instant> told_done(const Situation& situation, const Expansion& left, std::int32_t order) {
    std::optional<Instant> done;
    for (ActivityId id = 0; id < static_cast<ActivityId>(situation.steps.size()); ++id)
        if (const auto told = situation.steps[id].told_ready; told && serves(situation.today, left, id, order))
            done = std::max(done.value_or(*told), *told);
    // Of an edited plan it may have been announced for others, who are collected later.
    if (situation.edited && done && *done > situation.told_pickups[static_cast<std::size_t>(order)])
        return std::nullopt;
    return done;
}

namespace {

/// Something of the order can be collected when it is ready, and all of it.
bool is_last_of(const Situation& situation, const Replanned& result, ActivityId id, const PickupLine& line) {
    const Expansion& left = *result.expansion;
    const Time ready = result.outcome.schedule->start[id] + left.project.activities[id].duration;
    return serves(situation.today, left, id, line.order) && left.origin + Minutes{ready} == line.done;
}

void compare(const Situation& situation, const Schedule* announced, Replanned& result) {
    const Expansion& left = *result.expansion;
    result.changes = changed(situation, announced, result);
    for (const PickupLine& line : result.timetable->pickups) {
        Pickup pickup{line.order,
                      line.pickup,
                      situation.told_pickups[line.order],
                      told_done(situation, left, line.order),
                      line.done,
                      std::nullopt,
                      {}};
        for (ActivityId id = 0; id < static_cast<ActivityId>(situation.steps.size()); ++id) {
            if (line.done > line.pickup && is_last_of(situation, result, id, line)) pickup.last = id;
        }
        result.pickups.push_back(pickup);
    }
}

/// What begun steps still want of people, or washing up after them.
std::vector<HandsOn> hands_on(const Situation& situation, const Replanned& result) {
    std::vector<HandsOn> found;
    for (ActivityId id = 0; id < static_cast<ActivityId>(situation.steps.size()); ++id) {
        if (situation.steps[id].state == State::waiting) continue;
        const std::string& name = result.expansion->project.activities[id].name;
        for (const HandsUse& hands : std::ranges::find(result.timetable->rows, name, &Row::id)->hands)
            if (hands.span.to > situation.now)
                found.push_back(
                    {hands.person, id, {std::max(hands.span.from, situation.now), hands.span.to}, hands.washing});
    }
    std::ranges::stable_sort(found, {}, &HandsOn::person);
    return found;
}

/// Who is there and has nothing in hand now, and until when.
std::vector<Free> who_is_free(const Situation& situation, const Replanned& result) {
    std::vector<Free> free;
    const auto& crew = situation.today.kitchen.crew;
    for (std::size_t k = 0; k < crew.size(); ++k) {
        const auto there = [&](const Span& hours) { return hours.from <= situation.now && situation.now < hours.to; };
        if (!std::ranges::any_of(crew[k].hours, there)) continue;
        Free person{static_cast<PersonIndex>(k), std::nullopt};
        const auto meet = [&](const Span& span) {
            if (span.to > situation.now) person.until = std::min(person.until.value_or(span.from), span.from);
        };
        for (const Row& row : result.timetable->rows)
            for (const HandsUse& hands : row.hands)
                if (hands.person == person.person) meet(hands.span);
        for (const Job& job : result.timetable->jobs)
            if (job.event >= 0 && job.person == person.person && job.span.from >= situation.now)
                person.until = std::min(person.until.value_or(job.span.from), job.span.from);
        if (!person.until || *person.until > situation.now) free.push_back(person);
    }
    return free;
}

/// Of every late pickup why, and what could be done about it: nothing, where it is late by what has happened.
void explain(const Situation& situation, const Left& left, const Schedule* announced, const Search& search,
             const Options& options, Replanned& result) {
    std::vector<HoldUp> all;
    bool can_be_sooner = false;
    for (Pickup& pickup : result.pickups) {
        can_be_sooner = can_be_sooner || search.lateness(static_cast<std::size_t>(pickup.order)) > 0;
        if (!pickup.last || left.happened[*pickup.last]) continue;
        const auto line = std::ranges::find(result.timetable->pickups, pickup.order, &PickupLine::order);
        std::vector<ActivityId> last;
        for (ActivityId id = 0; id < static_cast<ActivityId>(left.happened.size()); ++id)
            if (!left.happened[id] && is_last_of(situation, result, id, *line)) last.push_back(id);
        HeldUp held_up = hold_up(situation, left, *result.outcome.schedule, last);
        pickup.last = held_up.step;
        pickup.held_up = std::move(held_up.back);
        all.insert(all.end(), pickup.held_up.begin(), pickup.held_up.end());
    }
    if (can_be_sooner) result.ways = ways_out(situation, left, announced, search.late_in_all(), all, options);
}

}  // namespace

void diagnose(const Left& left, Replanned& result) {
    for (const Obstacle& obstacle : result.outcome.obstacles) {
        std::string what = left.expansion.project.activities[obstacle.activity].name + " cannot be placed";
        if (obstacle.resource >= 0) what += ": " + left.expansion.project.resources[obstacle.resource].name;
        result.diagnosis.push_back(std::move(what));
    }
    if (result.diagnosis.empty()) result.diagnosis.push_back("no timetable was found, however late");
}

void tell(const Situation& situation, const Left& left, const Schedule* told, Search& search, const Options& options,
          Replanned& result) {
    const Project final_project = search.project_with(search.allowance());
    result.unsound = search.faults(final_project, *search.best);
    // Who did what has happened is known only where it was announced.
    const bool all_told = std::ranges::all_of(
        situation.steps, [](const StepState& step) { return step.state == State::waiting || step.announced; });
    if (told != nullptr && all_told)
        for (std::string& fault : taken_twice(left, *search.best)) result.unsound.push_back(std::move(fault));
    for (const Limit& limit : left.limits) {
        const Time over = search.over(limit);
        const ActivityId late = limit.lag >= 0 ? left.expansion.project.lags[limit.lag].from : limit.keeper;
        if (over > 0 && limit.promise != kNoPromise)
            result.broken.push_back({late, left.expansion.promises[limit.promise].text, Minutes{over}});
    }
    result.outcome.schedule = search.best;
    result.outcome.value = evaluate(left.expansion.project, *search.best);
    result.outcome.bound = result.outcome.value;
    result.outcome.optimal = false;
    result.timetable = whole_day(situation, left, result.outcome);
    compare(situation, told, result);
    std::vector<std::vector<Span>> hours;
    for (const Person& person : situation.today.kitchen.crew) hours.push_back(person.hours);
    result.over_night = over_night(situation, hours, left.expansion, *search.best);
    result.hands_on = hands_on(situation, result);
    result.free = who_is_free(situation, result);
    explain(situation, left, told, search, options, result);
    result.fresher = fresher(situation, left, search);
    result.way = result.changes.empty() ? Replanned::Way::unchanged
                 : search.kept_order    ? Replanned::Way::shifted
                                        : Replanned::Way::reordered;
}

}  // namespace oventide::replan
