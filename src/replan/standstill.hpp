#pragma once
/// What waits for equipment that is broken until nobody knows when.

#include <vector>

#include "replan/left.hpp"

namespace oventide::replan {

/// It is not ready before somebody says that what it is in is mended; a fridge that is out keeps cold for a while.
bool stands_still(const Situation& situation, const Interruption& one);

/// The steps that are next in line: all that they follow has begun. By equipment, then id.
std::vector<Standstill> standstill(const Situation& situation, const Left& left);

}  // namespace oventide::replan
