#pragma once
/// "Mon-Fri 06:00-12:00, 13:00-18:00": texts of days and times to spans on the time line.

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "oventide/clock.hpp"
#include "oventide/time.hpp"
#include "plan/complaints.hpp"
#include "plan/quantities.hpp"

namespace oventide::plan_file {

/// Minutes of the day on which it begins; `to` may lie in the next day (22:00-06:00 is 1320 to 1800).
struct DayPart {
    std::int32_t from = 0;
    std::int32_t to = 0;
};

/// One text: on such days, these parts. No parts: off.
struct HoursEntry {
    enum class Days { every, weekdays, date };
    Days days = Days::every;
    std::vector<bool> weekdays;  ///< Monday first, where `days` says so
    clock::LocalTime date;       ///< where `days` says so
    std::vector<DayPart> parts;
    Place place;
};

Parsed<HoursEntry> parse_hours(std::string_view text);

/// The local days on which hours are laid out, inclusive.
struct Days {
    clock::LocalTime first;
    clock::LocalTime last;
};

/// How entries that speak of the same day go together: for hours a date replaces what weekdays say, and weekdays what
/// is said of every day; closed times add up.
enum class Together { replace, add };

/// Sorted, disjoint, merged where they touch. A clock time that a day's changeover skips or repeats is told.
std::vector<Span> lay_out(const std::vector<HoursEntry>& entries, Together together, const clock::Zone& zone,
                          const Days& days, Complaints& complaints);

/// Tells that the clocks skip or repeat a reading, with both of its meanings. True if they do.
bool complain_of_changeover(const clock::Zone& zone, const clock::LocalTime& local, const clock::Reading& reading,
                            const Place& place, Complaints& complaints);

}  // namespace oventide::plan_file
