#pragma once
/// Where a pickup cannot be kept: what one change makes of it, tried.

#include <cstdint>
#include <vector>

#include "oventide/replan.hpp"
#include "replan/left.hpp"

namespace oventide::replan {

/// Those that help, the best first. `late` is what is late without any, by order in minutes; `held_up` says what
/// stands in the way, and with it what is worth borrowing.
std::vector<WayOut> ways_out(const Situation& situation, const Left& left, const Schedule* announced,
                             const std::vector<Time>& late, const std::vector<HoldUp>& held_up, const Options& options);

/// Decisions for one way: it is one of several, and need not be the best that could be made of it.
inline constexpr std::int64_t kNodesForWay = 600;

/// Minutes that an order may be late, with a way out, for that to be any help. `late`: without, by order.
Time most_late(const std::vector<Time>& late);

/// The fewest minutes late first, then what is least trouble.
void best_first(std::vector<WayOut>& ways);

}  // namespace oventide::replan
