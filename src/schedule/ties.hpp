#pragma once
/// What ties the starts of two units to each other, in as few ties as say it all.

#include <optional>
#include <vector>

#include "schedule/model.hpp"

namespace oventide::scheduling {

/// start(b) - start(a) lies in [least, most].
struct Tie {
    UnitId a = 0;
    UnitId b = 0;
    Time least = -kNever;
    Time most = kNever;
};

/// From lags, from food that must not overrun by more than `overrun` where that is given, and from resources that two
/// units cannot share when one of them cannot come first. What follows from other ties is left out (transitive
/// reduction) in projects that are not too large for it. Those that say most stand first: the closer the ends, the
/// earlier.
std::vector<Tie> ties_of(const Model& model, std::optional<Time> overrun);

}  // namespace oventide::scheduling
