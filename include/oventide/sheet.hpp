#pragma once
/// The day on paper: one self-contained HTML file with a picture of the day, the timetable, and the checklist.

#include <string>
#include <string_view>

#include "oventide/clock.hpp"
#include "oventide/plan.hpp"
#include "oventide/timetable.hpp"

namespace oventide::sheet {

/// Needs no script and loads nothing. Prints on A4 and Letter in black and white; reads from 320 CSS pixels up.
std::string write(const Plan& plan, const clock::Zone& zone, const Timetable& timetable);

/// Text for HTML and SVG: & < > " ' as references; control characters as U+FFFD; bidirectional overrides cannot leak,
/// since every name stands in an element with dir="auto".
std::string escape(std::string_view text);

}  // namespace oventide::sheet
