#pragma once
/// Changes that could be made to a plan, before anything has been tried.

#include <functional>
#include <vector>

#include "oventide/ways.hpp"

namespace oventide::ways {

struct Proposal {
    /// By so much of it: minutes, or pieces. Where `most` is 1 there is but one.
    std::function<Change(std::int64_t)> of;
    std::int64_t most = 1;
    std::int64_t step = 1;      ///< amounts are multiples of it: of a mass ten grams
    bool more_is_more = true;   ///< what so much of it allows, more of it allows too
    std::int64_t for_gain = 1;  ///< how much of it a cook may ask about who has a timetable; 0: makes no sense there
};

/// In the order of the upset. `why`: only such as touch one of these conditions; null: all.
std::vector<Proposal> proposals(const Plan& plan, const Expansion& expansion, const std::vector<Condition>* why);

}  // namespace oventide::ways
