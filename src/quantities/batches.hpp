#pragma once
/// The batches of a timetable, and how much of its formula each is.

#include <cstdint>
#include <vector>

#include "measures/exact.hpp"
#include "oventide/quantities.hpp"

namespace oventide::quantities {

struct PlannedBatch {
    ComponentIndex component = 0;
    std::int32_t batch = 1;
    std::int64_t amount = 0;  ///< in the component's unit
    Instant needed;           ///< its first step starts
};

/// By the time when each is needed, then as written, then by number.
std::vector<PlannedBatch> planned_batches(const Timetable& timetable);

/// So many formulas are in `amount` of the component.
measures::Exact formulas_in(const Component& component, std::int64_t amount);

Figure figure(Measure measure, const measures::Exact& value);

}  // namespace oventide::quantities
