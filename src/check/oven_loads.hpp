#pragma once
/// What an oven goes through: its loads, setting by setting.

#include <string>
#include <vector>

#include "check/sheet.hpp"

namespace oventide::referee {

/// A stretch of one load at one setting.
struct LoadSetting {
    Minute from;
    Minute to;
    bool off;
    MilliCelsius temperature;  ///< of an oven that is off: what it has fallen to when the stretch ends
};

struct Load {
    RowIndex row;
    Minute start;
    Minute end;
    Minute shut_until;
    std::vector<LoadSetting> settings;
};

/// "180 C", "off"
std::string name(const LoadSetting& setting);

/// The time to heat up or to cool down, rounded up.
Minute change(const Equipment& oven, MilliCelsius from, MilliCelsius to);

/// It falls at the oven's cooling rate, not below the room's temperature.
MilliCelsius fallen(const Equipment& oven, MilliCelsius from, Minute minutes, MilliCelsius room);

/// By start.
std::vector<Load> loads_of(const Sheet& sheet, EquipmentIndex oven);

bool somebody_there(const Sheet& sheet, Minute at);

/// What the timetable says of an oven from minute to minute, against its loads and against physics.
void check_oven_story(Sheet& sheet, EquipmentIndex oven, const std::vector<Load>& loads);

}  // namespace oventide::referee
