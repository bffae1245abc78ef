#pragma once
/// Whether there is a timetable for a plan with fewer pieces.

#include "oventide/replan.hpp"

namespace oventide::replan {

/// As things are, or with what `what_is_needed` finds; quickly.
bool has_timetable(const Plan& plan, const Expansion& expansion, const journal::Journal& journal,
                   const Situation& situation, const Options& options);

}  // namespace oventide::replan
