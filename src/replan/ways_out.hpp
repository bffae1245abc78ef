#pragma once
/// Where a pickup cannot be kept: what one change makes of it, tried.

#include <vector>

#include "oventide/replan.hpp"
#include "replan/left.hpp"

namespace oventide::replan {

/// Those that help, the best first. `late` is what is late without any, by order in minutes; `held_up` says what
/// stands in the way, and with it what is worth borrowing.
std::vector<WayOut> ways_out(const Situation& situation, const Left& left, const Schedule* announced,
                             const std::vector<Time>& late, const std::vector<HoldUp>& held_up, const Options& options);

/// The fewest minutes late first, then what is least trouble.
void best_first(std::vector<WayOut>& ways);

}  // namespace oventide::replan
