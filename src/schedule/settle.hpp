#pragma once
/// Among schedules of the same value, the one in which what is made waits where it keeps.

#include "oventide/project.hpp"
#include "oventide/schedule.hpp"

namespace oventide::scheduling {

/// Starts stretchable activities earlier, each as early as its lags and resources allow, where that makes no goal
/// worse: it lasts until it is used in any case, so the wait moves from before it (dough on the bench) into it (dough
/// in the fridge). Nothing else moves. Activities on a state resource stay where they are.
void settle(const Project& project, Schedule& schedule);

}  // namespace oventide::scheduling
