#pragma once
/// How the steps of a component are cut into oven loads.

#include <vector>

#include "oventide/expand.hpp"

namespace oventide::expansion {

/// By step: the most that one load holds, in the component's unit; 0 where the step is done batch by batch.
using LoadSizes = std::vector<std::int64_t>;

/// A bake's load is what the trays of its smallest oven hold. Steps at once with a bake share its cut, and bakes at
/// once with each other the smaller one; any other step done load by load takes the cut of the step before it, or
/// failing that of a step after it.
LoadSizes load_sizes(const Plan& plan, const Component& component);

/// 1 where the step is done batch by batch.
std::int64_t load_count(std::int64_t load_size, std::int64_t batch_size);

/// Portion of the batch that is in load `index` (from 0): full loads, the rest last.
Portion load_portion(std::int64_t load_size, std::int64_t batch_size, std::int64_t index);

/// Activities that one batch of so much becomes.
std::int64_t activity_count(const LoadSizes& sizes, std::int64_t batch_size);

}  // namespace oventide::expansion
