#pragma once
/// What changes besides the starts of steps: ovens and washing up.

#include <vector>

#include "oventide/replan.hpp"

namespace oventide::replan {

/// Turns that are still to come, or were; each beside the one announced that comes at its place, counted from the end
/// of the day among those that change. None where none were announced.
std::vector<TurnChange> changed_turns(const Plan& today, Instant now, const journal::Published& published,
                                      const Timetable& timetable);
std::vector<WashingChange> changed_washing(const Situation& situation, const Expansion& expansion,
                                           const journal::Published& published, const Timetable& timetable);

}  // namespace oventide::replan
