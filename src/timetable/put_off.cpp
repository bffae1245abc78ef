#include <algorithm>
#include <map>
#include <string_view>

#include "oventide/timetable.hpp"

namespace oventide {
namespace {

/// Nobody would notice less.
constexpr Minutes kNoticed{15};

/// Nobody has it in hand: it stands on the bench, on a rack, in a cabinet, or where it is cold.
bool begins_by_itself(const Plan& plan, const Step& step) {
    const auto holds_food = [&](EquipmentIndex equipment) {
        const EquipmentKind kind = plan.kitchen.equipment[equipment].kind;
        return kind == EquipmentKind::fridge || kind == EquipmentKind::other;
    };
    return step.hands.empty() && !step.bake &&
           std::ranges::all_of(step.uses, [&](const Use& use) { return std::ranges::all_of(use.choices, holds_food); });
}

}  // namespace

std::vector<PutOff> put_off(const Plan& plan, const Expansion& expansion, const Timetable& timetable) {
    std::map<std::string_view, const Row*> rows;
    for (const Row& row : timetable.rows) rows[row.id] = &row;
    const auto& activities = expansion.project.activities;
    std::vector<const Row*> by_activity;
    for (const Activity& activity : activities) {
        const auto row = rows.find(activity.name);
        by_activity.push_back(row == rows.end() ? nullptr : row->second);
    }
    std::map<const Row*, Instant> possible;
    for (const Lag& lag : expansion.project.lags) {
        const Row* const before = by_activity[lag.from];
        const Row* const row = by_activity[lag.to];
        if (before == nullptr || row == nullptr || lag.lag < activities[lag.from].duration) continue;
        if (!begins_by_itself(plan, plan.components[row->component].steps[row->step])) continue;
        const Instant at = before->start + Minutes{lag.lag};
        const auto [known, first] = possible.try_emplace(row, at);
        if (!first) known->second = std::max(known->second, at);
    }
    std::vector<PutOff> found;
    for (std::size_t i = 0; i < timetable.rows.size(); ++i) {
        const auto at = possible.find(&timetable.rows[i]);
        if (at == possible.end() || timetable.rows[i].start - at->second < kNoticed) continue;
        found.push_back({static_cast<std::int32_t>(i), at->second});
    }
    return found;
}

}  // namespace oventide
