/// What changes would win for a plan that has a timetable.

#include <algorithm>

#include "ways/proposals.hpp"
#include "ways/trial.hpp"

namespace oventide::ways {
namespace {

/// As the aims go, smaller is better.
std::vector<std::int64_t> costs(const std::vector<GoalLine>& goals) {
    std::vector<std::int64_t> result;
    for (const GoalLine& goal : goals) result.push_back(goal.aim == Aim::alarm ? -goal.value : goal.value);
    return result;
}

/// By how much each goal is better, the first aim first.
std::vector<std::int64_t> savings(const std::vector<GoalLine>& now, const std::vector<GoalLine>& then) {
    std::vector<std::int64_t> before = costs(now);
    const std::vector<std::int64_t> after = costs(then);
    for (std::size_t i = 0; i < before.size(); ++i) before[i] -= after[i];
    return before;
}

}  // namespace

Gains gains(const Plan& plan, const Expansion& expansion, const std::vector<GoalLine>& now, const Effort& effort) {
    Gains result;
    result.now = now;
    for (const Proposal& proposal : proposals(plan, expansion, nullptr)) {
        if (effort.stop && effort.stop->load()) break;
        if (proposal.for_gain == 0) continue;
        Change change = proposal.of(proposal.for_gain);
        const Trial trial = try_well(changed(plan, change), effort);
        if (trial.possible() && costs(trial.timetable->goals) < costs(now))
            result.gains.push_back({std::move(change), trial.timetable->goals});
        else
            result.nothing.push_back(std::move(change));
    }
    std::stable_sort(result.gains.begin(), result.gains.end(),
                     [&](const Gain& a, const Gain& b) { return savings(now, a.goals) > savings(now, b.goals); });
    return result;
}

}  // namespace oventide::ways
