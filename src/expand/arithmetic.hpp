#pragma once
/// Whole-number arithmetic that cannot overflow, for amounts and times.

#include <algorithm>
#include <cstdint>
#include <limits>

#include "oventide/time.hpp"

namespace oventide::expansion {

__extension__ using Wide = __int128;

inline std::int64_t narrowed(Wide value) {
    constexpr std::int64_t most = std::numeric_limits<std::int64_t>::max();
    return value > most ? most : static_cast<std::int64_t>(value);
}

/// a * b / c, rounded down; the largest number where it would not fit. For a, b >= 0 and c > 0.
inline std::int64_t scaled_down(std::int64_t a, std::int64_t b, std::int64_t c) { return narrowed(Wide{a} * b / c); }

/// The same, rounded up.
inline std::int64_t scaled_up(std::int64_t a, std::int64_t b, std::int64_t c) {
    return narrowed((Wide{a} * b + c - 1) / c);
}

/// a / b rounded up; for a >= 0 and b > 0.
inline std::int64_t divided_up(std::int64_t a, std::int64_t b) { return a / b + (a % b != 0); }

/// Minutes as a project counts them. What is longer than any plan stays longer than any plan.
inline Time to_time(std::int64_t minutes) {
    constexpr std::int64_t most = 1 << 24;
    return static_cast<Time>(std::clamp(minutes, -most, most));
}
inline Time to_time(Minutes minutes) { return to_time(minutes.count()); }

/// What [from, to) of a whole of `size` gets of `weight`, so that the parts of any partition add up.
inline std::int64_t part_of(std::int64_t weight, std::int64_t size, std::int64_t from, std::int64_t to) {
    return scaled_down(weight, to, size) - scaled_down(weight, from, size);
}

}  // namespace oventide::expansion
