#pragma once
/// Each component planned as if it had the kitchen to itself.

#include <vector>

#include "oventide/expand.hpp"
#include "oventide/schedule.hpp"

namespace oventide::clashes {

/// Starts, ends and chosen resources of every activity, each component placed on its own, back from its pickup.
/// The result keeps the rules within each component and none between them.
Schedule plan_alone(const Expansion& expansion);

}  // namespace oventide::clashes
