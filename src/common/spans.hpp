#pragma once
/// Stretches of time.

#include <vector>

#include "oventide/time.hpp"

namespace oventide {

/// Sorted, merged where they touch, none empty.
std::vector<Span> merged(std::vector<Span> spans);

/// Its end, too.
inline bool covers(const Span& span, Instant at) { return span.from <= at && at <= span.to; }

}  // namespace oventide
