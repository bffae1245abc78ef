#pragma once
/// What follows from the timetable that was found: what changes, what is in hand, who is free, what is late and why.

#include <optional>
#include <vector>

#include "oventide/replan.hpp"
#include "replan/left.hpp"
#include "replan/search.hpp"

namespace oventide::replan {

/// After it something of the order can be collected.
bool serves(const Plan& today, const Expansion& left, ActivityId id, std::int32_t order);

/// Waiting steps that are not as `announced`, by new start.
std::vector<Change> changed(const Situation& situation, const Schedule* announced, const Replanned& result);

/// Ready, as announced.
std::optional<Instant> told_done(const Situation& situation, const Expansion& left, std::int32_t order);

/// Why there is no timetable.
void diagnose(const Left& left, Replanned& result);

/// All that follows from what `search` has found. `told`: what was announced, null where that cannot be read back.
void tell(const Situation& situation, const Left& left, const Schedule* told, Search& search, const Options& options,
          Replanned& result);

}  // namespace oventide::replan
