#pragma once
/// Why a step is not ready earlier: what it waits for, and what that waits for in turn.

#include <vector>

#include "oventide/replan.hpp"
#include "replan/left.hpp"

namespace oventide::replan {

struct HeldUp {
    ActivityId step = 0;
    std::vector<HoldUp> back;  ///< empty where nothing touches it
};

/// Of `steps`, none of which has happened, from one back to what has happened, to what is closed, broken or cold, or to
/// now. Of several steps and reasons the first that leads back to one of them. Pre: there are some.
HeldUp hold_up(const Situation& situation, const Left& left, const Schedule& schedule,
               const std::vector<ActivityId>& steps);

}  // namespace oventide::replan
