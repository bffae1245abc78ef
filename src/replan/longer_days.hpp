#pragma once
/// Whose day ends later than was announced.

#include <vector>

#include "oventide/replan.hpp"

namespace oventide::replan {

/// By hands and washing up; by person, then by time. Not of days that are over.
std::vector<Longer> longer_days(const Situation& situation, const Expansion& planned, const Schedule& announced,
                                const Timetable& timetable);

}  // namespace oventide::replan
