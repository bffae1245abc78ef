#pragma once
/// When a demand keeps its resource busy, as far as it depends on one start that is still to be chosen.

#include <algorithm>

#include "oventide/project.hpp"

namespace oventide::profile {

/// The later of a moment that moves with the start and a fixed one (a user that starts when it starts).
struct Endpoint {
    Time shift = 0;        ///< moves: start + shift
    Time fixed = -kNever;  ///< does not
    Time at(Time start) const { return std::max(start + shift, fixed); }
};

struct BusySpan {
    Endpoint from;
    Endpoint to;
    Interval at(Time start) const { return {from.at(start), to.at(start)}; }
};

/// The latest start that fits, or that none does however early: then `blocked_until` is the end of what stands in the
/// way of a fixed end, and the fixed end would have to come down to `blocked_from`.
struct Fit {
    Time start = -kNever;
    Time blocked_from = -kNever;  ///< meaningful where start == -kNever; -kNever: nothing helps
    bool found() const { return start > -kNever; }
};

}  // namespace oventide::profile
