#pragma once
/// What a visit to a state resource asks of it, as far as others on it are concerned.

#include <span>

#include "oventide/project.hpp"

namespace oventide::profile {

/// Of a demand with stages; they must outlive this.
struct Programme {
    std::span<const Stage> stages;  ///< never empty
    Time sealed = 0;                ///< Demand::sealed
};

inline Programme programme_of(const Demand& demand) { return {demand.stages, demand.sealed}; }

}  // namespace oventide::profile
