#pragma once
/// The picture of the day as SVG: a lane for each person and each piece of equipment, quiet hours folded away.

#include <string>
#include <vector>

#include "oventide/clock.hpp"
#include "oventide/plan.hpp"
#include "oventide/timetable.hpp"

namespace oventide::sheet {

/// Consecutive stretches of the day in which something begins or ends, at most `longest` each; what lies between
/// them is quiet for at least `quiet`.
std::vector<Span> stretches(const Plan& plan, const Timetable& timetable, Minutes quiet = Minutes{120},
                            Minutes longest = Minutes{480});

/// One figure for each stretch. Numbers in the bars are those of the timetable's rows, from 1.
std::string picture(const Plan& plan, const clock::Zone& zone, const Timetable& timetable);

}  // namespace oventide::sheet
