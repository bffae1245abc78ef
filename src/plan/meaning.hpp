#pragma once
/// Questions about the whole plan: circles, times that contradict each other, amounts, and what looks like a slip.

#include <vector>

#include "oventide/plan.hpp"
#include "plan/complaints.hpp"

namespace oventide::plan_file {

/// `sound`, by component: nothing was wrong with it alone. Where there are others, less is asked of them.
void check_meaning(const Plan& plan, const std::vector<bool>& sound, Complaints& complaints);

}  // namespace oventide::plan_file
