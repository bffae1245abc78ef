#pragma once
/// Where a pickup is late, or food would stand over night: whether it helps that somebody stays longer.

#include <cstdint>
#include <functional>
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

/// What can be asked of a day.
struct Asked {
    /// Whether its orders can be fewer minutes late than so many in all: sooner answered than how few.
    std::function<bool(const Situation&, std::int64_t late)> sooner;
    Attempt quick;
    Attempt thorough;  ///< for what is found: how little of it will do
};

/// Each person alone, and all together where nobody alone does as well; and whoever is away until nobody knows when,
/// were they back for their next day. Empty where it does not help.
std::vector<WayOut> ways_to_stay(const Plan& plan, const Situation& situation, const Harm& now, const Asked& asked);

}  // namespace oventide::replan
