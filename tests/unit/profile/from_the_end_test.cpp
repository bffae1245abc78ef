/// Against std::partition_point, wherever in a vector of every small length the border lies.

#include "profile/from_the_end.hpp"

#include <doctest/doctest.h>

#include <numeric>

namespace oventide::profile {
namespace {

TEST_CASE("a search from the end finds what one from the middle finds") {
    for (int size = 0; size <= 70; ++size) {
        std::vector<int> items(static_cast<std::size_t>(size));
        std::iota(items.begin(), items.end(), 0);
        for (int border = 0; border <= size; ++border) {
            const auto before = [&](int item) { return item < border; };
            CHECK(partition_from_the_end(items, before) == std::partition_point(items.begin(), items.end(), before));
        }
    }
}

}  // namespace
}  // namespace oventide::profile
