#pragma once
/// Where a pickup is late, or food would stand over night: whether it helps that somebody stays longer.

#include <cstdint>
#include <vector>

#include "oventide/replan.hpp"
#include "replan/needs.hpp"

namespace oventide::replan {

/// What longer hours are to better.
struct Harm {
    std::int64_t late = 0;  ///< minutes, of all orders
    std::size_t over_night = 0;
    friend auto operator<=>(const Harm&, const Harm&) = default;
};

/// Each person alone, and all together where nobody alone does as well. Empty where it does not help.
/// `thorough`: for what is found, how little of it will do.
std::vector<WayOut> ways_to_stay(const Situation& situation, const Harm& now, const Attempt& attempt,
                                 const Attempt& thorough);

}  // namespace oventide::replan
