/// The referee for a plan and its timetable, from the cook's words alone.

#include "check/sheet.hpp"

namespace oventide {

std::vector<Violation> check(const Plan& plan, const Timetable& timetable) {
    using namespace referee;
    Sheet sheet(plan, timetable);
    check_ids(sheet);
    if (!sheet.violations.empty()) return std::move(sheet.violations);
    check_rows(sheet);
    if (!sheet.violations.empty()) return std::move(sheet.violations);
    sheet.find_links();
    check_amounts(sheet);
    check_times(sheet);
    check_order(sheet);
    check_equipment(sheet);
    check_crew(sheet);
    check_ovens(sheet);
    check_record(sheet);
    check_goals(sheet);
    return std::move(sheet.violations);
}

}  // namespace oventide
