#pragma once
/// Food that waits over a night in which nobody is there, though it was announced to be used before.

#include <vector>

#include "oventide/replan.hpp"

namespace oventide::replan {

/// `hours`: of everybody. By step.
std::vector<OverNight> over_night(const Situation& situation, const std::vector<std::vector<Span>>& hours,
                                  const Expansion& left, const Schedule& schedule);

}  // namespace oventide::replan
