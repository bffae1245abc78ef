#pragma once
/// How far what is still to come of a day under way can slip.

#include "cli/day.hpp"
#include "oventide/timetable.hpp"

namespace oventide::cli {

/// Writes it down in `day`, which shows all of `standing`; a pickup that is late already is to be no later. Nothing
/// where the day breaks a limit, or has something without a time: then there is no telling.
void add_slips(const Standing& standing, Timetable& day);

}  // namespace oventide::cli
