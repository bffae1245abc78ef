#pragma once
/// Search in a sorted vector for what is mostly near its end, however long the whole (exponential search, Bentley and
/// Yao 1976).

#include <algorithm>
#include <cstddef>
#include <vector>

namespace oventide::profile {

/// What std::partition_point finds: where the first item is for which `before` does not hold.
template <class Item, class Before>
typename std::vector<Item>::const_iterator partition_from_the_end(const std::vector<Item>& items, Before before) {
    std::ptrdiff_t last = static_cast<std::ptrdiff_t>(items.size());
    std::ptrdiff_t leap = 1;
    for (; leap <= last && !before(items[static_cast<std::size_t>(last - leap)]); leap *= 2) last -= leap;
    const std::ptrdiff_t first = leap <= last ? last - leap + 1 : 0;
    return std::partition_point(items.begin() + first, items.begin() + last, before);
}

}  // namespace oventide::profile
