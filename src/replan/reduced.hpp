#pragma once
/// A project without what is settled already: smaller, and so solved sooner.

#include <vector>

#include "oventide/project.hpp"
#include "oventide/scheduler.hpp"

namespace oventide::replan {

/// Solves `project` without the activities whose start and resources leave no choice: what they take is taken off the
/// capacities, and their lags become releases and dues of what is left. The outcome is that of the whole project, but
/// that it names no contradiction. Those on state resources, those that goals name and those whose end is still open
/// stay in.
Outcome solve_reduced(const Project& project, const SearchOptions& options);

}  // namespace oventide::replan
