#include "check/oven_loads.hpp"

#include <algorithm>

namespace oventide::referee {
namespace {

Load make_load(const Sheet& sheet, const Equipment& oven, RowIndex index) {
    const Bake& bake = *sheet.step(index).bake;
    Load load{index, sheet.start(index), sheet.end(index), 0, {}};
    load.shut_until = std::min(load.end, load.start + bake.door_shut.count());
    const auto ends = setting_ends(sheet.plan, sheet.component(index), sheet.step(index), sheet.row(index).amount);
    Minute from = load.start;
    MilliCelsius temperature = sheet.plan.kitchen.room;
    for (std::size_t i = 0; i < ends.size(); ++i) {
        const Minute to = load.start + ends[i];
        const auto& set = bake.programme[i].temperature;
        if (set)
            temperature = *set;
        else
            temperature = fallen(oven, temperature, to - from, sheet.plan.kitchen.room);
        load.settings.push_back({from, to, !set.has_value(), temperature});
        from = to;
    }
    return load;
}

}  // namespace

std::string name(const LoadSetting& setting) {
    return setting.off ? "off" : std::to_string(setting.temperature / 1000) + " C";
}

Minute change(const Equipment& oven, MilliCelsius from, MilliCelsius to) {
    return static_cast<Minute>(from < to ? ceil_div(to - from, oven.heats) : ceil_div(from - to, oven.cools));
}

MilliCelsius fallen(const Equipment& oven, MilliCelsius from, Minute minutes, MilliCelsius room) {
    if (from <= room) return from;
    return std::max(room, from - oven.cools * minutes);
}

std::vector<Load> loads_of(const Sheet& sheet, EquipmentIndex oven) {
    std::vector<Load> loads;
    for (RowIndex index = 0; index < static_cast<RowIndex>(sheet.timetable.rows.size()); ++index) {
        if (!sheet.step(index).bake) continue;
        const auto& uses = sheet.row(index).equipment;
        if (std::any_of(uses.begin(), uses.end(), [&](const EquipmentUse& use) { return use.equipment == oven; }))
            loads.push_back(make_load(sheet, sheet.plan.kitchen.equipment[oven], index));
    }
    std::stable_sort(loads.begin(), loads.end(), [](const Load& a, const Load& b) { return a.start < b.start; });
    return loads;
}

}  // namespace oventide::referee
