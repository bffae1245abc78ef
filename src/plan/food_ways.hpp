#pragma once
/// Which way the food goes: from step to step, and from a component's last step into the steps that draw on it.

#include <cstdint>
#include <vector>

#include "oventide/plan.hpp"
#include "plan/names.hpp"

namespace oventide::plan_file {

class FoodWays {
public:
    explicit FoodWays(const Plan& plan);

    /// Steps that are cooked and no chill themselves.
    std::vector<StepId> cooked() const;
    /// Those of them from which no way leads to a chill.
    std::vector<StepId> never_chilled() const;
    /// The first chill on every way that the food takes from here. Every step looked at costs one of `budget`; when it
    /// is used up, none is found any more.
    std::vector<StepId> first_chills(StepId from, std::int64_t& budget) const;

private:
    std::int32_t number(StepId id) const { return first_[id.component] + id.step; }
    const Step& step(StepId id) const { return plan_.components[id.component].steps[id.step]; }

    const Plan& plan_;
    std::vector<std::int32_t> first_;              ///< by component: the number of its first step
    std::vector<StepId> steps_;                    ///< by number
    std::vector<std::vector<std::int32_t>> next_;  ///< by number
};

}  // namespace oventide::plan_file
