#pragma once
/// Longest paths between all pairs of variables over differences that always hold, kept up to date as differences
/// are added (Floyd 1962; one addition: Bartusch, Möhring and Radermacher 1988).

#include <vector>

#include "prove/literal.hpp"

namespace oventide::prove {

class Distances {
public:
    static constexpr Time kNone = -(1 << 30);  ///< no path

    explicit Distances(std::int32_t count);
    /// y >= x + weight. False: with that the differences contradict each other.
    bool add(std::int32_t x, std::int32_t y, Time weight);
    Time longest(std::int32_t x, std::int32_t y) const { return longest_[x * count_ + y]; }
    std::int32_t count() const { return count_; }

private:
    std::int32_t count_;
    std::vector<Time> longest_;
};

}  // namespace oventide::prove
