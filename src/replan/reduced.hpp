#pragma once
/// A project without what is settled already: smaller, and so solved sooner.

#include <vector>

#include "oventide/project.hpp"
#include "oventide/scheduler.hpp"

namespace oventide::replan {

/// Solves `project` with the activities whose start and resources leave no choice held (project/subproject.hpp). The
/// outcome is that of the whole project, but that it names no contradiction.
Outcome solve_reduced(const Project& project, const SearchOptions& options);

}  // namespace oventide::replan
