/// What changes would win for a plan that has a timetable.

#include <algorithm>
#include <iterator>
#include <span>
#include <utility>

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

class Gaining {
public:
    Gaining(const Plan& plan, const std::vector<GoalLine>& now, const Effort& effort)
        : plan_(plan), now_(now), effort_(effort) {
        result_.now = now;
    }

    Gains run(std::vector<Change> changes) {
        std::vector<Change> easier;
        for (Change& change : changes)
            if (std::holds_alternative<EasierPromise>(change))
                easier.push_back(std::move(change));
            else
                try_all({&change, 1});
        try_all(easier);
        std::stable_sort(result_.gains.begin(), result_.gains.end(),
                         [&](const Gain& a, const Gain& b) { return savings(now_, a.goals) > savings(now_, b.goals); });
        return std::move(result_);
    }

private:
    /// Promises are many, and most do not matter: all together first, and if that wins something, by halves.
    void try_all(std::span<Change> changes) {
        if (changes.empty() || (effort_.stop && effort_.stop->load())) return;
        Plan with = plan_;
        for (const Change& change : changes) with = changed(with, change);
        const Trial trial = try_well(with, effort_);
        if (!trial.possible() || costs(trial.timetable->goals) >= costs(now_)) {
            std::ranges::move(changes, std::back_inserter(result_.nothing));
        } else if (changes.size() == 1) {
            result_.gains.push_back({std::move(changes.front()), trial.timetable->goals});
        } else {
            try_all(changes.first(changes.size() / 2));
            try_all(changes.subspan(changes.size() / 2));
        }
    }

    const Plan& plan_;
    const std::vector<GoalLine>& now_;
    const Effort& effort_;
    Gains result_;
};

}  // namespace

Gains gains(const Plan& plan, const Expansion& expansion, const std::vector<GoalLine>& now, const Effort& effort) {
    std::vector<Change> changes;
    for (const Proposal& proposal : proposals(plan, expansion, nullptr))
        if (proposal.for_gain != 0) changes.push_back(proposal.of(proposal.for_gain));
    return Gaining(plan, now, effort).run(std::move(changes));
}

}  // namespace oventide::ways
