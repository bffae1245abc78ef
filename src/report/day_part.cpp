#include "report/day_part.hpp"

#include <algorithm>

#include "report/need_note.hpp"

namespace oventide::report {

using replan::State;

const Row& DayPart::row_of(ActivityId id) const {
    const std::string& name = result_.expansion->project.activities[id].name;
    return *std::ranges::find(result_.timetable->rows, name, &Row::id);
}

bool DayPart::is_loaded(EquipmentIndex oven) const {
    for (std::size_t k = 0; k < day_.situation.steps.size(); ++k) {
        if (day_.situation.steps[k].state != State::running) continue;
        const Row& row = row_of(static_cast<ActivityId>(k));
        if (std::ranges::any_of(row.equipment, [&](const EquipmentUse& use) { return use.equipment == oven; }))
            return true;
    }
    return false;
}

std::string DayPart::note_of(const replan::Need& need) const {
    const bool equipment = need.kind == replan::Need::Kind::mended;
    const std::string until = need.kind == replan::Need::Kind::comes && !need.instead ? " until TIME" : "";
    return need_note(need.kind, equipment ? words_.equipment(need.what) : words_.person(need.what),
                     clock::clock_text(day_.zone.local(need.at)) + until);
}

}  // namespace oventide::report
