#include "replan/reduced.hpp"

#include <algorithm>
#include <utility>

#include "oventide/schedule.hpp"
#include "project/subproject.hpp"

namespace oventide::replan {
namespace {

bool silent(const Demand& demand) {
    return demand.held_until.empty() && demand.from.of == demand.to.of && demand.from.offset >= demand.to.offset;
}

bool is_settled(const Activity& activity) {
    return activity.release == activity.due - activity.duration &&
           std::ranges::all_of(activity.demands,
                               [](const Demand& demand) { return silent(demand) || demand.choices.size() == 1; });
}

Outcome none() {
    Outcome outcome;
    outcome.infeasible = true;
    return outcome;
}

/// What is settled stands at its start; the rest has to stand somewhere.
Schedule settled_schedule(const Project& project) {
    Schedule schedule;
    for (const Activity& activity : project.activities) {
        schedule.start.push_back(activity.release);
        auto& chosen = schedule.chosen.emplace_back();
        for (const Demand& demand : activity.demands) chosen.push_back(demand.choices.front());
    }
    complete(project, schedule);
    return schedule;
}

Outcome widened(const Project& project, const Schedule& settled, const Subproject& part, Outcome outcome) {
    outcome.contradiction.clear();
    std::erase_if(outcome.obstacles, [&](const Obstacle& obstacle) { return part.of[obstacle.activity] < 0; });
    for (Obstacle& obstacle : outcome.obstacles) {
        obstacle.activity = part.of[obstacle.activity];
        std::erase_if(obstacle.holders, [&](ActivityId holder) { return part.of[holder] < 0; });
        for (ActivityId& holder : obstacle.holders) holder = part.of[holder];
    }
    if (!outcome.schedule) return outcome;
    outcome.schedule = joined(project, settled, part, *outcome.schedule);
    const Value whole = evaluate(project, *outcome.schedule);
    for (std::size_t goal = 0; goal < whole.size(); ++goal) outcome.bound[goal] += whole[goal] - outcome.value[goal];
    outcome.value = whole;
    return outcome;
}

}  // namespace

Outcome solve_reduced(const Project& project, const SearchOptions& options) {
    Division division;
    division.held_is_right = false;
    for (const Activity& activity : project.activities) {
        if (activity.release > activity.due - activity.duration) return none();
        division.free.push_back(!is_settled(activity));
    }
    const Schedule settled = settled_schedule(project);
    const auto part = subproject_of(project, settled, division);
    return part ? widened(project, settled, *part, solve(part->project, options)) : none();
}

}  // namespace oventide::replan
