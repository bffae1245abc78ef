#pragma once
/// What the cook does to an oven, and when a load may go in.

#include <vector>

#include "oventide/timetable.hpp"

namespace oventide {

/// By time, then oven. An oven is set for its next load as soon as the load before is out. It is switched off in
/// between where the gap is long enough to cool down to the room and heat up again, and somebody is there to do it.
std::vector<OvenEvent> oven_events(const Plan& plan, const Expansion& expansion, const Schedule& schedule);

}  // namespace oventide
