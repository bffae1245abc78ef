#pragma once
/// Time as every room of Oventide counts it.
///
/// A plan lives on the UTC time line in whole minutes, so elapsed time is real time even over a night in which
/// the clocks change. A project (the solver's view) counts plain minutes from an origin of its own.

#include <chrono>
#include <cstdint>
#include <vector>

namespace oventide {

using Minutes = std::chrono::duration<std::int64_t, std::ratio<60>>;
using Seconds = std::chrono::duration<std::int64_t>;

/// A point on the UTC time line, in whole minutes.
using Instant = std::chrono::time_point<std::chrono::system_clock, Minutes>;

/// Half open: [from, to).
struct Span {
    Instant from;
    Instant to;
    friend bool operator==(const Span&, const Span&) = default;
};

/// Minutes from a project's origin; the solver's time. May be negative only inside arithmetic.
using Time = std::int32_t;

/// Half open: [from, to).
struct Interval {
    Time from;
    Time to;
    friend bool operator==(const Interval&, const Interval&) = default;
};

}  // namespace oventide
