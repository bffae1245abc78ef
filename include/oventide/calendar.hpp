#pragma once
/// A timetable as an iCalendar stream (RFC 5545), for the alarms of a telephone.

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "oventide/plan.hpp"
#include "oventide/time.hpp"
#include "oventide/timetable.hpp"

namespace oventide::calendar {

/// Which events ring.
enum class Alarms {
    key,  ///< what somebody must be in time for: see write
    all
};

struct Options {
    Instant now;                      ///< stamps every event; the only thing that changes when nothing has changed
    Minutes alarm_before{5};          ///< before hands are needed; not negative
    std::vector<PersonIndex> people;  ///< whose hands; empty: everybody's
    const Plan* planned = nullptr;    ///< where pickups have moved since: as they were, for the identifiers
    Alarms alarms = Alarms::key;
    std::optional<Minutes> rise{};  ///< the alarm clock rings so long before work begins; absent: `alarm_before`
};

/// One VEVENT for each job, each pickup, each chill that is ready before it is used, and the beginning of each shift:
/// the alarm clock. With Alarms::key these ring: alarm clocks and pickups; what goes into an oven or comes out; ovens
/// that are switched on, turned, or switched off with food in them, and their timers; the end of what has gone on by
/// itself, and the end of a chill; and whatever begins a quarter of an hour or more after the person's last job. All
/// times are UTC. Identifiers are name-based UUIDs (RFC 4122, version 5) of the plan's title and the row's id, so that
/// a replanned day moves events instead of doubling them.
std::string write(const Plan& plan, const Timetable& timetable, const Options& options);

/// Text of RFC 5545, section 3.3.11: backslash, semicolon and comma escaped, line breaks as \n, other control
/// characters as spaces.
std::string escape_text(std::string_view text);

/// One content line, folded after at most 75 octets (section 3.1) and never inside a UTF-8 character, with CRLF.
std::string fold(std::string_view line);

}  // namespace oventide::calendar
