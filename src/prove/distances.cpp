#include "prove/distances.hpp"

#include <algorithm>

namespace oventide::prove {

Distances::Distances(std::int32_t count)
    : count_(count), longest_(static_cast<std::size_t>(count) * static_cast<std::size_t>(count), kNone) {
    for (std::int32_t x = 0; x < count; ++x) longest_[x * count + x] = 0;
}

bool Distances::add(std::int32_t x, std::int32_t y, Time weight) {
    if (longest(x, y) >= weight) return true;
    if (longest(y, x) != kNone && longest(y, x) + weight > 0) return false;
    for (std::int32_t before = 0; before < count_; ++before) {
        const Time to_x = longest(before, x);
        if (to_x == kNone) continue;
        Time* const row = longest_.data() + before * count_;
        for (std::int32_t after = 0; after < count_; ++after) {
            const Time from_y = longest(y, after);
            if (from_y != kNone) row[after] = std::max(row[after], to_x + weight + from_y);
        }
    }
    return true;
}

}  // namespace oventide::prove
