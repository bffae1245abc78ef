#pragma once
/// Times of a plan that cannot all be kept, whatever the kitchen and the day: promises that contradict each other.

#include <vector>

#include "oventide/plan.hpp"
#include "plan/complaints.hpp"

namespace oventide::plan_file {

/// Tells every contradiction with the chain of promises that makes it up. Each component counts as one batch and times
/// that grow with the pieces as at least their base, so that only what is certain is told. `left_out`, by component.
void check_windows(const Plan& plan, const std::vector<bool>& left_out, Complaints& complaints);

}  // namespace oventide::plan_file
