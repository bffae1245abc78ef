#pragma once
/// When somebody is there, and when a state resource has been left alone for too long.

#include "oventide/project.hpp"

namespace oventide {

/// Somebody attends in the minute that begins at `at`.
bool attended(const Project& project, Time at);

/// Project::reset_after minutes in a row within [from, to) in which nobody attends.
bool left_alone(const Project& project, Time from, Time to);

}  // namespace oventide
