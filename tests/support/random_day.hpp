#pragma once
/// A small random plan, announced, and a day on which two things go wrong at once; for what replanning comes to.

#include <cstdint>
#include <optional>

#include "oventide/replan.hpp"
#include "support/planned.hpp"

namespace oventide::test {

struct RandomDay {
    Planned planned;
    journal::Journal journal;
    Instant now;
};

/// Something under way lasts half an hour to an hour and a half longer, and a piece of equipment is out of order for 40
/// minutes. Empty where the plan has no timetable.
std::optional<RandomDay> random_day(std::uint64_t seed);

/// Replanned, and what is left as a project whose only goal is the minutes late: an order is collected when the last of
/// it is ready, and each limit of the past may give way.
struct RandomReplan {
    replan::Replanned replanned;
    Expansion question;     ///< of what is left, with the project put so
    Schedule schedule;      ///< the replanned timetable as an answer to it
    std::int64_t late = 0;  ///< minutes, of what is still to be made
};
/// Empty where nothing was found.
std::optional<RandomReplan> replan_random(const RandomDay& day);

}  // namespace oventide::test
