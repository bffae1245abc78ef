#include "report/days.hpp"

#include <algorithm>

namespace oventide::report {
namespace {

std::chrono::sys_days date_of(const clock::LocalTime& local) {
    return std::chrono::year{local.year} / static_cast<int>(local.month) / static_cast<int>(local.day);
}

Minutes offset(const clock::Zone& zone, Instant at) {
    const clock::LocalTime local = zone.local(at);
    return Instant{date_of(local)} + Minutes{local.minute} - at;
}

/// The instant in (from, to] at which the offset has changed; the offsets of the two differ.
Instant change_between(const clock::Zone& zone, Instant from, Instant to) {
    const Minutes before = offset(zone, from);
    while (to - from > Minutes{1}) {
        const Instant middle = from + (to - from) / 2;
        (offset(zone, middle) == before ? from : to) = middle;
    }
    return to;
}

bool same_date(const clock::LocalTime& a, const clock::LocalTime& b) {
    return a.year == b.year && a.month == b.month && a.day == b.day;
}

}  // namespace

int days_between(const clock::LocalTime& a, const clock::LocalTime& b) {
    return static_cast<int>((date_of(b) - date_of(a)).count());
}

Days::Days(const clock::Zone& zone, Span span) : zone_(zone) {
    constexpr Minutes kDay{24 * 60};
    for (Instant at = span.from; at < span.to; at += kDay) {
        const Instant next = std::min(at + kDay, span.to);
        if (offset(zone, at) != offset(zone, next)) changes_.push_back(change_between(zone, at, next));
    }
}

bool Days::has_change(const clock::LocalTime& day) const {
    return std::any_of(changes_.begin(), changes_.end(), [&](Instant change) {
        return same_date(zone_.local(change), day) || same_date(zone_.local(change - Minutes{1}), day);
    });
}

std::string Days::time(Instant at) const {
    const clock::LocalTime local = zone_.local(at);
    std::string text = clock::clock_text(local);
    if (!changes_.empty() && has_change(local)) text += " " + zone_.abbreviation(at);
    return text;
}

std::string Days::day(Instant at) const { return clock::date_text(zone_.local(at)); }

std::string Days::day_time(Instant at) const { return day(at) + " " + time(at); }

std::string Days::time_from(Instant at, Instant seen_from) const {
    const clock::LocalTime local = zone_.local(at);
    const int away = days_between(zone_.local(seen_from), local);
    if (away == 0) return time(at);
    if (away > -7 && away < 7) return clock::weekday_name(clock::weekday(local)) + " " + time(at);
    return day_time(at);
}

bool Days::same_day(Instant a, Instant b) const { return same_date(zone_.local(a), zone_.local(b)); }

std::string Days::change_text(Instant change) const {
    const bool back = offset(zone_, change) < offset(zone_, change - Minutes{1});
    clock::LocalTime last = zone_.local(change - Minutes{1});
    const int hour_shown = (last.minute + 1) % (24 * 60);
    last.minute = hour_shown;
    return std::string("clocks go ") + (back ? "back" : "forward") + " from " + clock::clock_text(last) + " " +
           zone_.abbreviation(change - Minutes{1}) + " to " + clock::clock_text(zone_.local(change)) + " " +
           zone_.abbreviation(change);
}

}  // namespace oventide::report
