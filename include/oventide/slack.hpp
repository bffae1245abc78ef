#pragma once
/// How much each activity of a schedule can slip.

#include <vector>

#include "oventide/project.hpp"
#include "oventide/schedule.hpp"

namespace oventide {

/// Total float by activity: the largest d such that every slip of its start up to d leaves a correct schedule in
/// which nothing starts earlier, activities that share a resource keep their order, and at-once blocks and
/// activities that shared a state resource move together. kNever where nothing holds it back within the horizon.
/// Where an order of two demands is undecided (they overlap), it stays undecided.
std::vector<Time> total_float(const Project& project, const Schedule& schedule);

}  // namespace oventide
