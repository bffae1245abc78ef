#pragma once
/// Instants as the cook reads them: clock times in the plan's zone, and the weekday where it is another day.

#include <string>
#include <vector>

#include "oventide/clock.hpp"
#include "oventide/time.hpp"

namespace oventide::report {

/// The same clock may show the same time twice in the night in which it is put back. On such a day every time is
/// followed by the zone's abbreviation; on days without a change none is.
class Days {
public:
    /// `span` covers everything that the report shows.
    Days(const clock::Zone& zone, Span span);

    std::string time(Instant at) const;      ///< "05:10"; on a day with a change "01:30 BST"
    std::string day(Instant at) const;       ///< "Sat 3 Oct"
    std::string day_time(Instant at) const;  ///< "Sat 3 Oct 05:10"
    /// The time, with the weekday where the day is not that of `seen_from`, or the date where it is a week away.
    std::string time_from(Instant at, Instant seen_from) const;
    bool same_day(Instant a, Instant b) const;

    /// Changes of the zone's offset within the span.
    const std::vector<Instant>& changes() const { return changes_; }
    /// "clocks go back from 02:00 BST to 01:00 GMT"
    std::string change_text(Instant change) const;

private:
    bool has_change(const clock::LocalTime& day) const;

    const clock::Zone& zone_;
    std::vector<Instant> changes_;
};

/// Whole days from a to b by the calendar.
int days_between(const clock::LocalTime& a, const clock::LocalTime& b);

}  // namespace oventide::report
