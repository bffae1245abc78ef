#pragma once
/// The cook's words as the physics of cooling.hpp has them.

#include "oventide/cooling.hpp"
#include "oventide/plan.hpp"

namespace oventide::chill {

inline constexpr double kThousand = 1000;

inline double degrees(MilliCelsius temperature) { return static_cast<double>(temperature) / kThousand; }

cooling::Composition composition(const Cools& cools);
/// One vessel of `milligrams` in all.
cooling::Layer layer(const Cools& cools, std::int64_t milligrams);

/// The amount of a row or batch in milligrams; 0 where it is counted in pieces.
std::int64_t milligrams_of(const Component& component, std::int64_t amount);

}  // namespace oventide::chill
