#include "expand/cuts.hpp"

#include <algorithm>
#include <cstddef>
#include <iterator>

#include "expand/arithmetic.hpp"

namespace oventide::expansion {
namespace {

/// Where the food ends that may wait with what lies at `position`.
std::int64_t pool_end(const std::vector<Pool>& pools, std::int64_t position) {
    return std::prev(std::ranges::upper_bound(pools, position, {}, &Pool::from))->end;
}

/// By batch, how far it must reach at least for the batches behind it to be enough.
std::vector<std::int64_t> nearest_cuts(const std::vector<Pool>& pools, std::int64_t capacity, std::size_t batches) {
    std::vector<std::int64_t> nearest(batches, pools.back().end);
    for (std::size_t batch = batches - 1; batch > 0; --batch) {
        const auto pool = std::ranges::lower_bound(pools, nearest[batch], {}, &Pool::end);
        nearest[batch - 1] = std::max(nearest[batch] - capacity, pool->from);
    }
    return nearest;
}

}  // namespace

std::vector<std::int64_t> full_cuts(const std::vector<Pool>& pools, std::int64_t capacity, std::int64_t most) {
    std::vector<std::int64_t> cuts;
    std::int64_t position = 0;
    while (!pools.empty() && position < pools.back().end && static_cast<std::int64_t>(cuts.size()) <= most) {
        position = std::min(position + capacity, pool_end(pools, position));
        cuts.push_back(position);
    }
    return cuts;
}

std::vector<std::int64_t> even_cuts(const std::vector<Pool>& pools, std::int64_t capacity, std::size_t batches) {
    if (batches == 0) return {};
    std::vector<std::int64_t> cuts;
    std::int64_t position = 0;
    for (const std::int64_t nearest : nearest_cuts(pools, capacity, batches)) {
        const std::int64_t left = pool_end(pools, position) - position;
        position = std::max(position + divided_up(left, divided_up(left, capacity)), nearest);
        cuts.push_back(position);
    }
    return cuts;
}

}  // namespace oventide::expansion
