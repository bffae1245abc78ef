/// (4) The oven: settings minute by minute, heating and cooling, the door, switching on.

#include <algorithm>

#include "check/oven_loads.hpp"

namespace oventide::referee {
namespace {

constexpr Minute kColdAfter = 60;  ///< minutes in a row with nobody in their hours

const LoadSetting* setting_at(const Load& load, Minute at) {
    for (const LoadSetting& setting : load.settings)
        if (setting.from <= at && at < setting.to) return &setting;
    return nullptr;
}

/// Minute by minute, two loads that are in there together.
void check_together(Sheet& sheet, const Load& a, const Load& b) {
    for (Minute at = std::max(a.start, b.start); at < std::min(a.end, b.end); ++at) {
        const LoadSetting* one = setting_at(a, at);
        const LoadSetting* other = setting_at(b, at);
        if (one == nullptr || other == nullptr) continue;
        if (!one->off && !other->off && one->temperature == other->temperature) continue;
        sheet.report(Rule::oven,
                     clock_text(at) + ": " + sheet.row(a.row).id + " bakes at " + name(*one) + " and " +
                         sheet.row(b.row).id + " at " + name(*other),
                     sheet.step(b.row).place);
        return;
    }
}

void check_change(Sheet& sheet, const Equipment& oven, const Load& before, const Load& load) {
    const LoadSetting& first = load.settings.front();
    for (const LoadSetting& earlier : before.settings) {
        if (earlier.from >= load.start || earlier.to > load.start) continue;
        const Minute needed = change(oven, earlier.temperature, first.temperature);
        if (load.start - earlier.to >= needed) continue;
        sheet.report(Rule::oven,
                     sheet.row(load.row).id + " goes in at " + clock_text(load.start) + " at " + name(first) + ", " +
                         std::to_string(load.start - earlier.to) + " min after " + name(earlier) + " of " +
                         sheet.row(before.row).id + " and not " + std::to_string(needed),
                     sheet.step(load.row).place);
        return;
    }
}

void check_door(Sheet& sheet, const Load& shut, const Load& other) {
    for (const Minute at : {other.start, other.end}) {
        if (at <= shut.start || at >= shut.shut_until) continue;
        sheet.report(Rule::oven,
                     sheet.row(other.row).id + " opens the door at " + clock_text(at) + ", and " +
                         sheet.row(shut.row).id + " keeps it shut until " + clock_text(shut.shut_until),
                     sheet.step(shut.row).place);
    }
}

// ------------------------------------------------------------------------------------------ switching on

/// An hour in a row with nobody there lies within [from, to).
bool left_alone(const Sheet& sheet, Minute from, Minute to) {
    Minute alone = 0;
    for (Minute at = from; at < to; ++at) {
        alone = somebody_there(sheet, at) ? 0 : alone + 1;
        if (alone >= kColdAfter) return true;
    }
    return false;
}

struct ColdLoad {
    const Load* load;
    std::optional<Minute> last_out;  ///< the last load before it
    SwitchOn on;
};

std::vector<ColdLoad> cold_loads(const Sheet& sheet, EquipmentIndex index, const std::vector<Load>& loads) {
    const Equipment& oven = sheet.plan.kitchen.equipment[index];
    std::vector<ColdLoad> cold;
    std::optional<Minute> last_out;
    for (std::size_t i = 0; i < loads.size();) {
        const Load& load = loads[i];
        if (!last_out || (*last_out <= load.start && left_alone(sheet, *last_out, load.start))) {
            const LoadSetting& first = load.settings.front();
            const Minute heating = change(oven, sheet.plan.kitchen.room, first.temperature);
            cold.push_back({&load, last_out, {index, load.start - heating, load.start, first.temperature}});
        }
        for (const Minute together = load.start; i < loads.size() && loads[i].start == together; ++i)
            last_out = std::max(last_out.value_or(loads[i].end), loads[i].end);
    }
    return cold;
}

void check_switching_on(Sheet& sheet, const ColdLoad& cold) {
    const Equipment& oven = sheet.plan.kitchen.equipment[cold.on.oven];
    const auto complain = [&](const std::string& what) {
        sheet.report(Rule::oven,
                     oven.name + ", cold until then, is switched on at " + clock_text(cold.on.at) + " for " +
                         sheet.row(cold.load->row).id + ", " + what,
                     oven.place);
    };
    if (cold.last_out && cold.on.at < *cold.last_out) complain("before the load before it is out");
    if (cold.on.at < minute(sheet.plan.from)) complain("before the plan begins");
    if (!oven.timer && !somebody_there(sheet, cold.on.at)) complain("with nobody there");
    if (!oven.timer && left_alone(sheet, cold.on.at, cold.on.ready)) complain("and then left alone for an hour");

    const auto& events = sheet.timetable.oven;
    const bool written = std::any_of(events.begin(), events.end(), [&](const OvenEvent& event) {
        return event.kind == OvenEvent::Kind::on && event.oven == cold.on.oven && minute(event.at) == cold.on.at &&
               event.temperature == cold.on.temperature;
    });
    if (!written) complain("which is not in the timetable");
}

bool is_oven(const Sheet& sheet, EquipmentIndex index) {
    return sheet.plan.kitchen.equipment[index].kind == EquipmentKind::oven;
}

void check_oven(Sheet& sheet, EquipmentIndex index) {
    const Equipment& oven = sheet.plan.kitchen.equipment[index];
    const auto loads = loads_of(sheet, index);
    const std::size_t found = sheet.violations.size();
    for (std::size_t i = 0; i < loads.size(); ++i) {
        for (std::size_t j = 0; j < loads.size(); ++j) {
            if (i == j) continue;
            if (i < j) check_together(sheet, loads[i], loads[j]);
            check_change(sheet, oven, loads[i], loads[j]);
            check_door(sheet, loads[i], loads[j]);
        }
    }
    for (const ColdLoad& cold : cold_loads(sheet, index, loads)) check_switching_on(sheet, cold);
    if (sheet.violations.size() == found) check_oven_story(sheet, index, loads);  // a wrong oven has no right story
}

}  // namespace

bool somebody_there(const Sheet& sheet, Minute at) {
    for (const Person& person : sheet.plan.kitchen.crew)
        for (const Span& hours : person.hours)
            if (minute(hours.from) <= at && at < minute(hours.to)) return true;
    return false;
}

std::vector<SwitchOn> switching_on(const Sheet& sheet) {
    std::vector<SwitchOn> all;
    for (EquipmentIndex index = 0; index < static_cast<EquipmentIndex>(sheet.plan.kitchen.equipment.size()); ++index)
        if (is_oven(sheet, index)) {
            const auto loads = loads_of(sheet, index);
            for (const ColdLoad& cold : cold_loads(sheet, index, loads)) all.push_back(cold.on);
        }
    return all;
}

void check_ovens(Sheet& sheet) {
    for (EquipmentIndex index = 0; index < static_cast<EquipmentIndex>(sheet.plan.kitchen.equipment.size()); ++index)
        if (is_oven(sheet, index)) check_oven(sheet, index);
}

}  // namespace oventide::referee
