#pragma once
/// What hands do, one job after another, and whose they are.

#include "oventide/timetable.hpp"

namespace oventide {

/// Fills in who turns the ovens, the jobs and the shifts, from the rows and the ovens' events.
///
/// What the plan names nobody for goes to who has just had the food or that oven in hand, else to somebody who is there
/// with free hands at that minute, else to anybody who is there.
void add_jobs(const Plan& plan, Timetable& timetable);

}  // namespace oventide
