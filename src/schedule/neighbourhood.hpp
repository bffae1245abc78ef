#pragma once
/// Parts of a schedule that are worth deciding anew, the rest held (large neighbourhood search, Shaw 1998).

#include <cstddef>
#include <vector>

#include "project/subproject.hpp"
#include "schedule/model.hpp"

namespace oventide::scheduling {

/// By unit.
std::vector<Time> unit_starts(const Model& model, const Schedule& schedule);

/// Units in the order of their starts. Units, since an at-once block is free as a whole or not at all.
std::vector<UnitId> by_start(const Model& model, const Schedule& schedule);

/// Up to `count` of the order, from `from` on: a stretch of time.
std::vector<UnitId> stretch_of(const std::vector<UnitId>& order, std::size_t from, std::size_t count);

/// Up to `count` of what lags tie to a unit, and what they tie to that, the nearest first: what becomes of one dough.
std::vector<UnitId> relatives_of(const Model& model, UnitId unit, std::size_t count);

/// The units are free within the time that they take up and as much again on either side.
Division all_held_but(const Model& model, const Schedule& schedule, const std::vector<UnitId>& units);

}  // namespace oventide::scheduling
