#pragma once
/// Stretches of time.

#include <vector>

#include "oventide/time.hpp"

namespace oventide {

/// Sorted, merged where they touch, none empty.
std::vector<Span> merged(std::vector<Span> spans);

}  // namespace oventide
