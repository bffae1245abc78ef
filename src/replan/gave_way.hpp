#pragma once
/// Which pickup is later because another is collected earlier.

#include <vector>

#include "replan/needs.hpp"

namespace oventide::replan {

/// Of a day with its pickups as replanned; each is tried as it was announced.
std::vector<GaveWay> gave_way(const Situation& situation, const std::vector<Pickup>& pickups, const Attempt& attempt);

}  // namespace oventide::replan
