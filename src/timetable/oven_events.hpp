#pragma once
/// What the cook does to an oven, and when a load may go in.

#include <vector>

#include "oventide/timetable.hpp"

namespace oventide {

/// By time, then oven; nobody is named yet. Between loads an oven is turned down as soon as it is free, and up no
/// earlier than the next load needs, in a minute in which somebody is there; it is switched off in between where the
/// gap is long enough to cool down to the room and heat up again. Where nobody is there for a turn, it comes as soon as
/// it is free.
std::vector<OvenEvent> oven_events(const Plan& plan, const Expansion& expansion, const Schedule& schedule);

}  // namespace oventide
