#pragma once
/// The kitchen: crew with hours, and everything that steps can keep busy.

#include <optional>
#include <vector>

#include "oventide/plan.hpp"
#include "plan/complaints.hpp"
#include "plan/document.hpp"
#include "plan/hours.hpp"

namespace oventide::plan_file {

/// A kitchen whose hours are still texts: the days that they are laid out on are not known yet.
struct KitchenDraft {
    Kitchen kitchen;
    std::vector<std::vector<HoursEntry>> hours;   ///< by person
    std::vector<std::vector<HoursEntry>> closed;  ///< by equipment
};

KitchenDraft read_kitchen(const Node& node, Complaints& complaints);

/// The kitchen with its hours on the given days.
Kitchen lay_out(KitchenDraft draft, const clock::Zone& zone, const Days& days, Complaints& complaints);

}  // namespace oventide::plan_file
