#pragma once
/// Questions about the whole plan: circles, windows that contradict each other, amounts.

#include <vector>

#include "oventide/plan.hpp"
#include "plan/complaints.hpp"

namespace oventide::plan_file {

/// `sound`, by component: nothing was wrong with it alone. Others are left out of the questions.
void check_meaning(const Plan& plan, const std::vector<bool>& sound, Complaints& complaints);

}  // namespace oventide::plan_file
