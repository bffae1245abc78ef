#pragma once
/// How warm an oven is over time, drawn from what is done to it.

#include <vector>

#include "oventide/plan.hpp"
#include "oventide/timetable.hpp"

namespace oventide::sheet {

struct HeatPoint {
    Instant at;
    MilliCelsius temperature = 0;
};

/// The corners of the oven's temperature: straight lines between them. It moves towards what it was set to at its
/// own rates, and towards the room when off. Empty where nothing is done to the oven.
std::vector<HeatPoint> heat_curve(const Plan& plan, EquipmentIndex oven, const std::vector<OvenEvent>& events,
                                  Instant until);

}  // namespace oventide::sheet
