#include "timetable/signals.hpp"

#include <algorithm>

#include "common/spans.hpp"

namespace oventide {
namespace {

bool has_hands_at(const Row& row, Instant at) {
    return std::any_of(row.hands.begin(), row.hands.end(),
                       [&](const HandsUse& hands) { return covers(hands.span, at); });
}

bool follows(const Plan& plan, const Row& food, const Row& user) {
    const auto& after = plan.components[user.component].steps[user.step].after;
    return std::any_of(after.begin(), after.end(),
                       [&](const After& each) { return each.component == food.component && each.step == food.step; });
}

const Row* first_user(const Plan& plan, const Timetable& timetable, const Row& food) {
    const Row* first = nullptr;
    for (const Row& row : timetable.rows)
        if ((first == nullptr || row.start < first->start) && goes_into(plan, timetable, food, row)) first = &row;
    return first;
}

std::optional<PersonIndex> told(const Timetable& timetable, const Row& row, const Row* user) {
    std::optional<PersonIndex> somebody;
    for (const Shift& shift : timetable.shifts) {
        if (!covers(shift.span, row.ready)) continue;
        if (user != nullptr && !user->hands.empty() && user->hands.front().person == shift.person) return shift.person;
        if (!somebody) somebody = shift.person;
    }
    return somebody;
}

}  // namespace

bool goes_into(const Plan& plan, const Timetable& timetable, const Row& food, const Row& user) {
    if (food.component == user.component)
        return food.batch == user.batch && follows(plan, food, user) &&
               (food.load == 0 || user.load == 0 || food.load == user.load);
    const bool last = food.step + 1 == static_cast<StepIndex>(plan.components[food.component].steps.size());
    return last && std::any_of(timetable.handovers.begin(), timetable.handovers.end(), [&](const Handover& each) {
               return each.from == food.component && each.from_batch == food.batch && each.to == user.component &&
                      each.to_batch == user.batch && each.step == user.step;
           });
}

const Equipment* cold_place(const Plan& plan, const Row& row, Instant at) {
    for (const EquipmentUse& use : row.equipment) {
        const Equipment& place = plan.kitchen.equipment[use.equipment];
        if (place.kind == EquipmentKind::fridge && use.span.from < at && at <= use.span.to) return &place;
    }
    return nullptr;
}

std::vector<Signal> signals(const Plan& plan, const Timetable& timetable) {
    std::vector<Signal> all;
    for (const Row& row : timetable.rows) {
        if (!row.heat.empty() || row.ready == row.start || has_hands_at(row, row.ready)) continue;
        const Row* const user = first_user(plan, timetable, row);
        if (user == nullptr || user->start > row.ready) all.push_back({&row, told(timetable, row, user), user});
    }
    return all;
}

}  // namespace oventide
