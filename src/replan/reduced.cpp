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

struct Reduced {
    Schedule settled;
    Subproject part;
};

/// Nothing where what is settled breaks a rule, or leaves the rest no time.
std::optional<Reduced> reduce(const Project& project) {
    Division division;
    division.held_is_right = false;
    for (const Activity& activity : project.activities) {
        if (activity.release > activity.due - activity.duration) return std::nullopt;
        division.free.push_back(!is_settled(activity));
    }
    Schedule settled = settled_schedule(project);
    auto part = subproject_of(project, settled, division);
    if (!part) return std::nullopt;
    return Reduced{std::move(settled), std::move(*part)};
}

}  // namespace

Outcome solve_reduced(const Project& project, const SearchOptions& options) {
    const auto reduced = reduce(project);
    if (!reduced) return none();
    SearchOptions of_part = options;
    if (options.near) of_part.near = seen_from(reduced->part, *options.near);
    if (options.first) of_part.first = seen_from(reduced->part, *options.first);
    return widened(project, reduced->settled, reduced->part, solve(reduced->part.project, of_part));
}

struct HeldTrials::Part {
    Part(const Project& whole, Reduced reduced)
        : project(whole),
          settled(std::move(reduced.settled)),
          part(std::move(reduced.part)),
          in_part(whole.activities.size(), -1),
          questions(part.project) {
        for (std::size_t id = 0; id < part.of.size(); ++id)
            if (part.of[id] >= 0) in_part[part.of[id]] = static_cast<ActivityId>(id);
    }

    const Project& project;
    Schedule settled;
    Subproject part;
    std::vector<ActivityId> in_part;  ///< by activity of the whole; -1: it is settled
    prove::Questions questions;
};

HeldTrials::HeldTrials(const Project& project) {
    if (auto reduced = reduce(project)) part_ = std::make_unique<Part>(project, std::move(*reduced));
}

HeldTrials::~HeldTrials() = default;

std::optional<Schedule> HeldTrials::with(std::vector<prove::Hold> holds, const Schedule& known, std::int64_t nodes) {
    if (!part_) return std::nullopt;
    for (prove::Hold& hold : holds) {
        hold.activity = part_->in_part[hold.activity];
        if (hold.activity < 0) return std::nullopt;  // it stands elsewhere, and cannot move
        hold.earliest -= part_->part.origin;
        hold.latest -= part_->part.origin;
    }
    const auto reply = part_->questions.ask(holds, seen_from(part_->part, known), nodes);
    if (!reply.schedule) return std::nullopt;
    return joined(part_->project, part_->settled, part_->part, *reply.schedule);
}

void HeldTrials::keep() {
    if (part_) part_->questions.keep();
}

}  // namespace oventide::replan
