#pragma once
/// Why a step is not ready earlier: what it waits for, and what that waits for in turn.

#include <vector>

#include "oventide/replan.hpp"
#include "replan/left.hpp"

namespace oventide::replan {

/// From `step` back to what has happened, to what is closed, broken or cold, or to now. Of several reasons the first
/// that leads back to one of them. Empty where nothing touches it.
std::vector<HoldUp> hold_up(const Situation& situation, const Left& left, const Schedule& schedule, ActivityId step);

}  // namespace oventide::replan
