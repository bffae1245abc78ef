#pragma once
/// Which way the food goes: from step to step, and from a component's last step into the steps that draw on it.

#include <vector>

#include "oventide/plan.hpp"
#include "plan/names.hpp"

namespace oventide::plan_file {

class FoodWays {
public:
    explicit FoodWays(const Plan& plan);

    const std::vector<StepId>& steps() const { return steps_; }
    const std::vector<StepId>& next(StepId step) const { return next_[number(step)]; }
    /// Steps that are cooked and no chill themselves.
    std::vector<StepId> cooked() const;
    /// The first chill on every way that the food takes from here.
    std::vector<StepId> first_chills(StepId from) const;

private:
    std::size_t number(StepId id) const { return first_[id.component] + static_cast<std::size_t>(id.step); }
    const Step& step(StepId id) const { return plan_.components[id.component].steps[id.step]; }

    const Plan& plan_;
    std::vector<std::size_t> first_;         ///< by component: the number of its first step
    std::vector<StepId> steps_;              ///< by number
    std::vector<std::vector<StepId>> next_;  ///< by number
};

}  // namespace oventide::plan_file
