#pragma once
/// Whether the orders are fewer minutes late, were a step that is under way ready sooner.

#include <vector>

#include "oventide/replan.hpp"

namespace oventide::replan {

/// How late each is then, as far as is found in a hurry; empty where it is no help. `late`: now, by order in minutes.
std::vector<Minutes> sooner_if(const Plan& plan, const Expansion& expansion, const journal::Journal& journal,
                               const Situation& situation, ActivityId step, Instant ready,
                               const std::vector<Time>& late);

}  // namespace oventide::replan
