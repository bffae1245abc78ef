#pragma once
/// Where a queue of food, in the order of its pickups, is cut into batches.

#include <cstddef>
#include <cstdint>
#include <vector>

namespace oventide::expansion {

/// What begins at `from` may wait with all that lies before `end`. Both rise along the queue; the first is from 0.
struct Pool {
    std::int64_t from = 0;
    std::int64_t end = 0;
};

/// The ends of full batches, a batch closing where its pool does; stops behind the first that is more than `most`.
std::vector<std::int64_t> full_cuts(const std::vector<Pool>& pools, std::int64_t capacity, std::int64_t most);

/// So many `batches` as full ones would be: each an even share of what may wait with its beginning, or as much more as
/// those behind it leave to it.
std::vector<std::int64_t> even_cuts(const std::vector<Pool>& pools, std::int64_t capacity, std::size_t batches);

}  // namespace oventide::expansion
