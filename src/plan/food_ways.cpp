#include "plan/food_ways.hpp"

namespace oventide::plan_file {

FoodWays::FoodWays(const Plan& plan) : plan_(plan) {
    for (std::size_t c = 0; c < plan.components.size(); ++c) {
        first_.push_back(static_cast<std::int32_t>(steps_.size()));
        for (std::size_t s = 0; s < plan.components[c].steps.size(); ++s)
            steps_.push_back({static_cast<ComponentIndex>(c), static_cast<StepIndex>(s)});
    }
    next_.resize(steps_.size());
    for (const StepId id : steps_) {
        for (const After& after : step(id).after)
            if (after.component == id.component) next_[number({after.component, after.step})].push_back(number(id));
        for (const Draw& draw : step(id).draws) {
            const auto count = static_cast<StepIndex>(plan.components[draw.component].steps.size());
            if (count > 0) next_[number({draw.component, count - 1})].push_back(number(id));
        }
    }
}

std::vector<StepId> FoodWays::cooked() const {
    std::vector<StepId> found;
    for (const StepId id : steps_)
        if (step(id).cooked && !step(id).chill) found.push_back(id);
    return found;
}

std::vector<StepId> FoodWays::never_chilled() const {
    std::vector<std::vector<std::int32_t>> before(steps_.size());
    for (std::size_t from = 0; from < next_.size(); ++from)
        for (const std::int32_t to : next_[from]) before[to].push_back(static_cast<std::int32_t>(from));
    std::vector<bool> leads_there(steps_.size(), false);
    std::vector<std::int32_t> open;
    for (const StepId id : steps_)
        if (step(id).chill) open.push_back(number(id));
    while (!open.empty()) {
        const std::int32_t at = open.back();
        open.pop_back();
        for (const std::int32_t from : before[at]) {
            if (leads_there[from]) continue;
            leads_there[from] = true;
            open.push_back(from);
        }
    }
    std::vector<StepId> found;
    for (const StepId id : cooked())
        if (!leads_there[number(id)]) found.push_back(id);
    return found;
}

std::vector<StepId> FoodWays::first_chills(StepId from, std::int64_t& budget) const {
    std::vector<StepId> chills;
    std::vector<std::int32_t> reached{number(from)};
    std::vector<bool> seen(steps_.size(), false);
    for (std::size_t k = 0; k < reached.size(); ++k) {
        if (--budget < 0) return {};
        for (const std::int32_t to : next_[reached[k]]) {
            if (seen[to]) continue;
            seen[to] = true;
            if (step(steps_[to]).chill)
                chills.push_back(steps_[to]);
            else
                reached.push_back(to);
        }
    }
    return chills;
}

}  // namespace oventide::plan_file
