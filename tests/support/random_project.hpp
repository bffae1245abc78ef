#pragma once
/// Small random projects that use the whole model: lags both ways, stretched and held activities, parts of demands,
/// choices, calendars, states, seals, start-ups, every goal. The same seed gives the same project everywhere.

#include <cstdint>

#include "oventide/project.hpp"

namespace oventide::support {

struct RandomProjectOptions {
    int activities = 5;             ///< at most
    Time horizon = 14;              ///< at most; at least 6
    std::int64_t starts = 200'000;  ///< windows are narrowed until there are no more combinations of starts
    bool states = true;             ///< resources with a state
    bool stretch = true;            ///< activities that last until they are used, demands held until others start
    bool choices = true;            ///< demands on one of several resources
    bool loose_states = false;      ///< demands on a state resource longer or shorter than their programme
};

Project random_project(std::uint64_t seed, const RandomProjectOptions& options = {});

}  // namespace oventide::support
