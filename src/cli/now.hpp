#pragma once
/// The time of day, which walk-throughs and tests may set.

#include <optional>

#include "oventide/time.hpp"

namespace oventide::cli {

/// OVENTIDE_NOW where it is set ("2026-10-03T05:10Z", UTC), else the system's clock. Empty: it is set to something
/// else.
std::optional<Instant> now();

}  // namespace oventide::cli
