#pragma once
/// Local clock time to instants and back; the only room that knows the time-zone database.

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "oventide/time.hpp"

namespace oventide::clock {

/// A wall-clock reading: a date and minutes since its midnight (0 to 1439).
struct LocalTime {
    std::int32_t year = 1970;
    std::uint32_t month = 1;  ///< 1 to 12
    std::uint32_t day = 1;    ///< 1 to 31
    std::int32_t minute = 0;  ///< of the day
    friend bool operator==(const LocalTime&, const LocalTime&) = default;
};

/// What a wall-clock reading means. `once`: `first` is it. `skipped`: the clock never shows it; `first` is read with
/// the offset before the gap, `second` with the one after. `twice`: both are right, `first` is the earlier.
struct Reading {
    enum class Kind { once, skipped, twice };
    Kind kind = Kind::once;
    Instant first;
    Instant second;
};

/// A zone of the system's time-zone database. Cheap to copy.
class Zone {
public:
    /// Empty when there is no zone of that name.
    static std::optional<Zone> find(const std::string& name);

    const std::string& name() const { return name_; }
    Reading read(const LocalTime& local) const;
    LocalTime local(Instant instant) const;
    /// "GMT", "BST", "+0545": the abbreviation in force.
    std::string abbreviation(Instant instant) const;

private:
    Zone(std::string name, const void* handle) : name_(std::move(name)), handle_(handle) {}
    std::string name_;
    const void* handle_;
};

bool valid_date(std::int32_t year, std::uint32_t month, std::uint32_t day);
/// 0 is Monday, 6 is Sunday (ISO 8601 order).
int weekday(const LocalTime& local);
/// The same minute of the day, `days` later.
LocalTime add_days(const LocalTime& local, int days);
/// The name of the zone that this system is set to; "UTC" where it is set to none.
std::string system_zone_name();
/// The names of zones nearest in spelling, best first, at most `count`.
std::vector<std::string> near_zone_names(std::string_view name, std::size_t count);

std::string weekday_name(int weekday);               ///< "Sat"
std::string clock_text(const LocalTime& local);      ///< "05:10"
std::string date_text(const LocalTime& local);       ///< "Sat 3 Oct"
std::string iso_text(const Zone& zone, Instant at);  ///< "2026-10-03T05:10+01:00"

}  // namespace oventide::clock
