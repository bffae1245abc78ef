#pragma once
/// What the food of a chill must come to, and by when.

#include <string>

#include "oventide/report.hpp"
#include "oventide/sheet.hpp"
#include "report/days.hpp"

namespace oventide::report {

/// For `row` of the timetable; empty words for what does not cool. A time that a food-safety rule counts from a
/// temperature is known where the plan says how the food cools; else the rule's own words stand there.
sheet::Cold cold_words(const Subject& subject, const Days& days, std::size_t row);

/// "; in by 13:10; 12 C by 15:40, probe", where the job puts it in; what it must be where it is taken
/// out.
std::string cold_text(const Subject& subject, const Days& days, const Job& job);

}  // namespace oventide::report
