#pragma once
/// What no schedule can better, goal by goal.

#include "oventide/schedule.hpp"
#include "schedule/model.hpp"

namespace oventide::scheduling {

/// Lower bounds of the goals' values in the order of Project::goals.
Value lower_bound(const Model& model);

/// Whoever is chosen for it gets up for it.
bool always_wakes(const Project& project, const Demand& demand);

}  // namespace oventide::scheduling
