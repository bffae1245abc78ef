#pragma once
/// The plan that a newcomer starts from.

#include <string>

#include "oventide/clock.hpp"
#include "oventide/time.hpp"

namespace oventide::cli {

/// A commented plan that can be planned as it is, for a pickup in the afternoon of the day after tomorrow.
std::string starter_plan(const clock::Zone& zone, Instant now);

}  // namespace oventide::cli
