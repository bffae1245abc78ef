#pragma once
/// The picture of the day as SVG: a lane for each person and each piece of equipment, quiet hours folded away.

#include <string>
#include <vector>

#include "oventide/clock.hpp"
#include "oventide/plan.hpp"
#include "oventide/sheet.hpp"
#include "oventide/timetable.hpp"

namespace oventide::sheet {

/// Consecutive stretches of the day in which hands are needed or an oven is turned, about `longest` each at most, with
/// the pickups that follow within `quiet`; what lies between them is quiet for longer than that. Cut at half hours.
std::vector<Span> stretches(const Plan& plan, const Timetable& timetable, Minutes quiet, Minutes longest);

/// One figure for each stretch, all to one scale, each with the key to the letters in its bars.
std::string picture(const Plan& plan, const clock::Zone& zone, const Timetable& timetable,
                    const std::vector<Solved>& solved, Minutes longest);

}  // namespace oventide::sheet
