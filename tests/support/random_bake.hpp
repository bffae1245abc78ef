#pragma once
/// Random projects that look like bake days: chains of mixing, chilling and baking, with hours, ovens and holds. Of any
/// size, where random_project.hpp makes the smallest. The same seed gives the same project on every machine.

#include <cstdint>

#include "oventide/project.hpp"

namespace oventide::support {

struct RandomShape {
    std::int32_t activities = 8;
    std::int32_t chains = 2;  ///< orders: chains of activities, each with a due date
    Time horizon = 600;
    bool states = true;        ///< an oven with settings, a door and start-ups
    bool stretches = true;     ///< stretchable activities and demands held until a user starts
    bool calendars = true;     ///< hours of the crew, closed times
    bool spread = false;       ///< the orders are due one after the other over the horizon, not all at its end
    bool maximum_lags = true;  ///< at once, within
};

Project random_bake(const RandomShape& shape, std::uint64_t seed);

}  // namespace oventide::support
