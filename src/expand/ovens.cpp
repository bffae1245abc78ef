#include "expand/ovens.hpp"

#include <algorithm>
#include <string>

#include "expand/arithmetic.hpp"

namespace oventide::expansion {
namespace {

constexpr Time kOn = -1;

/// A rate of nothing never gets there.
Time minutes_for(MilliCelsius difference, MilliCelsius rate) {
    if (difference <= 0) return 0;
    return rate <= 0 ? kNever : to_time(divided_up(difference, rate));
}

Time change_time(const Equipment& oven, MilliCelsius from, MilliCelsius to) {
    return from < to ? minutes_for(to - from, oven.heats) : minutes_for(from - to, oven.cools);
}

/// It falls at the oven's cooling rate, not below the room.
MilliCelsius fallen(const Equipment& oven, MilliCelsius from, Time minutes, MilliCelsius room) {
    if (from <= room) return from;
    const MilliCelsius fall = scaled_down(std::max<MilliCelsius>(oven.cools, 0), minutes, 1);
    return fall >= from - room ? room : from - fall;
}

/// "180 C", "82.5 C"
std::string degrees(MilliCelsius temperature) {
    std::string text = std::to_string(temperature / 1000);
    if (temperature < 0 && temperature / 1000 == 0) text = "-" + text;
    std::string fraction = std::to_string(1000 + std::abs(temperature % 1000)).substr(1);
    while (!fraction.empty() && fraction.back() == '0') fraction.pop_back();
    return text + (fraction.empty() ? "" : "." + fraction) + " C";
}

}  // namespace

SettingId OvenSettings::id(const ProgrammeStage& stage) {
    const Entry wanted{stage.temperature.value_or(stage.before), stage.temperature ? kOn : stage.lasts};
    const auto found = std::find_if(settings_.begin(), settings_.end(), [&](const Entry& entry) {
        return entry.temperature == wanted.temperature && entry.off_for == wanted.off_for;
    });
    const auto id = static_cast<SettingId>(found - settings_.begin());
    if (found == settings_.end()) settings_.push_back(wanted);
    return id;
}

std::vector<SettingInfo> OvenSettings::infos() const {
    std::vector<SettingInfo> infos;
    for (const Entry& entry : settings_) {
        const std::string temperature = degrees(entry.temperature);
        if (entry.off_for == kOn)
            infos.push_back({temperature, false});
        else
            infos.push_back({"off for " + std::to_string(entry.off_for) + " min from " + temperature, true});
    }
    return infos;
}

std::vector<std::optional<MilliCelsius>> OvenSettings::temperatures() const {
    std::vector<std::optional<MilliCelsius>> result;
    for (const Entry& entry : settings_)
        result.push_back(entry.off_for == kOn ? std::optional(entry.temperature) : std::nullopt);
    return result;
}

StateRules OvenSettings::rules(const Equipment& oven, MilliCelsius room) const {
    StateRules rules;
    rules.self_starting = oven.timer;
    for (const Entry& from : settings_) {
        const MilliCelsius left_at =
            from.off_for == kOn ? from.temperature : fallen(oven, from.temperature, from.off_for, room);
        rules.transition.emplace_back();
        for (const Entry& to : settings_) rules.transition.back().push_back(change_time(oven, left_at, to.temperature));
        rules.startup.push_back(change_time(oven, room, from.temperature));
    }
    return rules;
}

}  // namespace oventide::expansion
