#include "oventide/clock.hpp"

#include <date/date.h>
#include <date/tz.h>

#include <algorithm>
#include <array>
#include <exception>
#include <utility>

#include "oventide/spelling.hpp"

namespace oventide::clock {
namespace {

constexpr std::int32_t kMinutesPerDay = 24 * 60;

const date::time_zone& zone_of(const void* handle) { return *static_cast<const date::time_zone*>(handle); }

date::local_days days_of(const LocalTime& local) {
    return date::local_days{date::year{local.year} / static_cast<int>(local.month) / static_cast<int>(local.day)};
}

LocalTime split(date::local_time<Minutes> time) {
    const auto day = date::floor<date::days>(time);
    const date::year_month_day ymd{day};
    return {int{ymd.year()}, unsigned{ymd.month()}, unsigned{ymd.day()},
            static_cast<std::int32_t>((time - day).count())};
}

date::sys_info info_at(const void* handle, Instant instant) {
    return zone_of(handle).get_info(std::chrono::time_point_cast<std::chrono::seconds>(instant));
}

/// The system's zones, sorted by name; null where it has no database.
const std::vector<date::time_zone>* all_zones() {
    try {
        return &date::get_tzdb().zones;
    } catch (const std::exception&) {
        return nullptr;
    }
}

std::string two_digits(int number) {
    return {static_cast<char>('0' + number / 10 % 10), static_cast<char>('0' + number % 10)};
}

}  // namespace

std::optional<Zone> Zone::find(const std::string& name) {
    const auto* zones = all_zones();
    if (!zones) return std::nullopt;
    const auto zone = std::lower_bound(zones->begin(), zones->end(), name,
                                       [](const auto& a, const std::string& b) { return a.name() < b; });
    if (zone == zones->end() || zone->name() != name) return std::nullopt;
    try {
        zone->get_info(date::sys_seconds{});  // reads the zone's file, which may be broken
    } catch (const std::exception&) {
        return std::nullopt;
    }
    return Zone(name, &*zone);
}

Reading Zone::read(const LocalTime& local_time) const {
    const date::local_seconds reading = days_of(local_time) + std::chrono::minutes(local_time.minute);
    const date::local_info info = zone_of(handle_).get_info(reading);
    const auto with = [&](const date::sys_info& part) {
        return date::floor<Minutes>(date::sys_seconds{reading.time_since_epoch() - part.offset});
    };
    switch (info.result) {
        case date::local_info::nonexistent:
            return {Reading::Kind::skipped, with(info.first), with(info.second)};
        case date::local_info::ambiguous:
            return {Reading::Kind::twice, with(info.first), with(info.second)};
        default:
            return {Reading::Kind::once, with(info.first), with(info.first)};
    }
}

LocalTime Zone::local(Instant instant) const {
    const std::chrono::seconds offset = info_at(handle_, instant).offset;
    return split(date::local_time<Minutes>{date::floor<Minutes>(instant.time_since_epoch() + offset)});
}

std::string Zone::abbreviation(Instant instant) const { return info_at(handle_, instant).abbrev; }

bool valid_date(std::int32_t year, std::uint32_t month, std::uint32_t day) {
    if (year < -32767 || year > 32767 || month > 12 || day > 31) return false;
    return date::year_month_day{date::year{year}, date::month{month}, date::day{day}}.ok();
}

int weekday(const LocalTime& local) { return static_cast<int>(date::weekday{days_of(local)}.iso_encoding()) - 1; }

LocalTime add_days(const LocalTime& local, int days) {
    return split(days_of(local) + date::days{days} + Minutes{local.minute});
}

std::string system_zone_name() {
    try {
        return date::current_zone()->name();
    } catch (const std::exception&) {
        return "UTC";
    }
}

std::vector<std::string> near_zone_names(std::string_view name, std::size_t count) {
    const auto* zones = all_zones();
    if (!zones) return {};
    std::vector<std::string> names, cities;
    for (const date::time_zone& zone : *zones) {
        names.push_back(zone.name());
        cities.push_back(zone.name().substr(zone.name().rfind('/') + 1));
    }
    std::vector<std::string> near = near_misses(name, names, count);
    // "London" is meant for Europe/London, however far that is in letters.
    for (const std::string& city : near_misses(name, cities, count)) {
        const std::string& zone = names[std::find(cities.begin(), cities.end(), city) - cities.begin()];
        if (near.size() < count && std::find(near.begin(), near.end(), zone) == near.end()) near.push_back(zone);
    }
    return near;
}

std::string weekday_name(int weekday) {
    static constexpr std::array<const char*, 7> names{"Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun"};
    return names[static_cast<std::size_t>(weekday) % names.size()];
}

std::string clock_text(const LocalTime& local) {
    return two_digits(local.minute / 60) + ':' + two_digits(local.minute % 60);
}

std::string date_text(const LocalTime& local) {
    static constexpr std::array<const char*, 12> months{"Jan", "Feb", "Mar", "Apr", "May", "Jun",
                                                        "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"};
    return weekday_name(weekday(local)) + ' ' + std::to_string(local.day) + ' ' + months[(local.month - 1) % 12];
}

std::string iso_text(const Zone& zone, Instant at) {
    const LocalTime local = zone.local(at);
    const date::local_seconds shown = days_of(local) + std::chrono::minutes(local.minute);
    const auto offset =
        std::chrono::duration_cast<Minutes>(shown.time_since_epoch() - Seconds{at.time_since_epoch()}).count();
    const int size = static_cast<int>(offset < 0 ? -offset : offset);
    const std::string year = std::to_string(local.year);
    return std::string(year.size() < 4 ? 4 - year.size() : 0, '0') + year + '-' +
           two_digits(static_cast<int>(local.month)) + '-' + two_digits(static_cast<int>(local.day)) + 'T' +
           clock_text(local) + (offset < 0 ? '-' : '+') + two_digits(size / 60) + ':' + two_digits(size % 60);
}

}  // namespace oventide::clock
