#pragma once
/// What to weigh for each batch, on the day sheet.

#include <string>

#include "oventide/clock.hpp"
#include "oventide/plan.hpp"
#include "oventide/timetable.hpp"

namespace oventide::sheet {

/// "24", "643.2 g": everywhere on the sheet the same.
std::string amount_text(const Component& component, std::int64_t amount);
/// "24 pieces", "643.2 g"
std::string amount_of(const Component& component, std::int64_t amount);

/// HTML; empty where the plan does not say what goes in.
std::string weigh_section(const Plan& plan, const clock::Zone& zone, const Timetable& timetable);

}  // namespace oventide::sheet
