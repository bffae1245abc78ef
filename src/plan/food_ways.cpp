#include "plan/food_ways.hpp"

#include <algorithm>

namespace oventide::plan_file {

FoodWays::FoodWays(const Plan& plan) : plan_(plan) {
    for (std::size_t c = 0; c < plan.components.size(); ++c) {
        first_.push_back(steps_.size());
        for (std::size_t s = 0; s < plan.components[c].steps.size(); ++s)
            steps_.push_back({static_cast<ComponentIndex>(c), static_cast<StepIndex>(s)});
    }
    next_.resize(steps_.size());
    for (const StepId id : steps_) {
        for (const After& after : step(id).after)
            if (after.component == id.component) next_[number({after.component, after.step})].push_back(id);
        for (const Draw& draw : step(id).draws) {
            const auto count = static_cast<StepIndex>(plan.components[draw.component].steps.size());
            if (count > 0) next_[number({draw.component, count - 1})].push_back(id);
        }
    }
}

std::vector<StepId> FoodWays::cooked() const {
    std::vector<StepId> found;
    for (const StepId id : steps_)
        if (step(id).cooked && !step(id).chill) found.push_back(id);
    return found;
}

std::vector<StepId> FoodWays::first_chills(StepId from) const {
    std::vector<StepId> chills, reached{from};
    std::vector<bool> seen(steps_.size(), false);
    for (std::size_t k = 0; k < reached.size(); ++k) {
        for (const StepId id : next(reached[k])) {
            if (seen[number(id)]) continue;
            seen[number(id)] = true;
            (step(id).chill ? chills : reached).push_back(id);
        }
    }
    return chills;
}

}  // namespace oventide::plan_file
