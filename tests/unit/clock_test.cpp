// Zones, gaps and folds. The transitions are those of check-values.md section 4: computed with Python's zoneinfo from
// Debian's tzdata 2025b, independently of this code. The RFC's examples are from RFC 5545 section 3.3.5.

#include "oventide/clock.hpp"

#include <doctest/doctest.h>

#include <cstdlib>
#include <string>
#include <utility>
#include <vector>

namespace oventide {
namespace {

using clock::LocalTime;
using clock::Reading;
using clock::Zone;

Zone zone_of(const std::string& name) {
    const auto zone = Zone::find(name);
    REQUIRE_MESSAGE(zone.has_value(), name);
    return *zone;
}

Instant from_epoch(std::int64_t seconds) { return Instant{std::chrono::floor<Minutes>(Seconds{seconds})}; }

LocalTime at(std::int32_t year, std::uint32_t month, std::uint32_t day, int hour = 0, int minute = 0) {
    return {year, month, day, hour * 60 + minute};
}

/// "2026-03-29T01:30Z", the way the table writes instants.
std::string utc(Instant instant) {
    const std::string text = clock::iso_text(zone_of("UTC"), instant);
    return text.substr(0, 16) + "Z";
}

struct Change {
    std::string zone;
    std::int64_t epoch;       ///< of the transition
    Reading::Kind kind;       ///< of a reading inside it
    LocalTime reading;        ///< inside the gap or the fold
    std::string with_before;  ///< that reading with the offset in force before the transition
    std::string with_after;   ///< and after it
    int day_minutes;          ///< length of that local day
};

constexpr auto kGap = Reading::Kind::skipped;
constexpr auto kFold = Reading::Kind::twice;

const std::vector<Change> kChanges{
    {"Europe/London", 1774746000, kGap, at(2026, 3, 29, 1, 30), "2026-03-29T01:30Z", "2026-03-29T00:30Z", 23 * 60},
    {"Europe/London", 1792890000, kFold, at(2026, 10, 25, 1, 30), "2026-10-25T00:30Z", "2026-10-25T01:30Z", 25 * 60},
    {"Europe/London", 1806195600, kGap, at(2027, 3, 28, 1, 30), "2027-03-28T01:30Z", "2027-03-28T00:30Z", 23 * 60},
    {"Europe/London", 1824944400, kFold, at(2027, 10, 31, 1, 30), "2027-10-31T00:30Z", "2027-10-31T01:30Z", 25 * 60},
    {"Europe/Paris", 1774746000, kGap, at(2026, 3, 29, 2, 30), "2026-03-29T01:30Z", "2026-03-29T00:30Z", 23 * 60},
    {"Europe/Paris", 1792890000, kFold, at(2026, 10, 25, 2, 30), "2026-10-25T00:30Z", "2026-10-25T01:30Z", 25 * 60},
    {"Europe/Paris", 1806195600, kGap, at(2027, 3, 28, 2, 30), "2027-03-28T01:30Z", "2027-03-28T00:30Z", 23 * 60},
    {"Europe/Paris", 1824944400, kFold, at(2027, 10, 31, 2, 30), "2027-10-31T00:30Z", "2027-10-31T01:30Z", 25 * 60},
    {"America/New_York", 1772953200, kGap, at(2026, 3, 8, 2, 30), "2026-03-08T07:30Z", "2026-03-08T06:30Z", 23 * 60},
    {"America/New_York", 1793512800, kFold, at(2026, 11, 1, 1, 30), "2026-11-01T05:30Z", "2026-11-01T06:30Z", 25 * 60},
    {"America/New_York", 1805007600, kGap, at(2027, 3, 14, 2, 30), "2027-03-14T07:30Z", "2027-03-14T06:30Z", 23 * 60},
    {"America/New_York", 1825567200, kFold, at(2027, 11, 7, 1, 30), "2027-11-07T05:30Z", "2027-11-07T06:30Z", 25 * 60},
    {"Australia/Lord_Howe", 1775314800, kFold, at(2026, 4, 5, 1, 45), "2026-04-04T14:45Z", "2026-04-04T15:15Z", 1470},
    {"Australia/Lord_Howe", 1791041400, kGap, at(2026, 10, 4, 2, 15), "2026-10-03T15:45Z", "2026-10-03T15:15Z", 1410},
    {"Australia/Lord_Howe", 1806764400, kFold, at(2027, 4, 4, 1, 45), "2027-04-03T14:45Z", "2027-04-03T15:15Z", 1470},
    {"Australia/Lord_Howe", 1822491000, kGap, at(2027, 10, 3, 2, 15), "2027-10-02T15:45Z", "2027-10-02T15:15Z", 1410},
};

int day_minutes(const Zone& zone, LocalTime day) {
    day.minute = 0;
    const Reading today = zone.read(day), tomorrow = zone.read(clock::add_days(day, 1));
    return static_cast<int>((tomorrow.first - today.first).count());
}

}  // namespace

TEST_CASE("a reading inside a changeover has both of its meanings, and the day its true length") {
    for (const Change& change : kChanges) {
        const std::string row = change.zone + " " + std::to_string(change.epoch);
        SUBCASE(row.c_str()) {
            const Zone zone = zone_of(change.zone);
            const Reading reading = zone.read(change.reading);
            CHECK(reading.kind == change.kind);
            CHECK(utc(reading.first) == change.with_before);
            CHECK(utc(reading.second) == change.with_after);
            CHECK(day_minutes(zone, change.reading) == change.day_minutes);
            CHECK(clock::weekday(change.reading) == 6);  // every one of them is a Sunday
        }
    }
}

TEST_CASE("the changeover is at exactly its minute") {
    for (const Change& change : kChanges) {
        const std::string row = change.zone + " " + std::to_string(change.epoch);
        SUBCASE(row.c_str()) {
            const Zone zone = zone_of(change.zone);
            const Instant instant = from_epoch(change.epoch);
            const LocalTime before = zone.local(instant - Minutes{1}), after = zone.local(instant);
            // A minute passes; the clock moves by that minute and by the change of offset.
            const int moved = after.minute - before.minute;
            const int offset = change.kind == kGap ? 1440 - change.day_minutes : change.day_minutes - 1440;
            CHECK(moved == (change.kind == kGap ? 1 + offset : 1 - offset));
            // The edges: half open on both kinds.
            LocalTime first = change.kind == kGap ? before : after;
            first.minute += change.kind == kGap ? 1 : 0;
            LocalTime last = change.kind == kGap ? after : before;
            last.minute -= change.kind == kGap ? 1 : 0;
            CHECK(zone.read(first).kind == change.kind);
            CHECK(zone.read(last).kind == change.kind);
            first.minute -= 1;
            last.minute += 1;
            CHECK(zone.read(first).kind == Reading::Kind::once);
            CHECK(zone.read(last).kind == Reading::Kind::once);
        }
    }
}

TEST_CASE("Kathmandu never changes its clocks") {
    const Zone zone = zone_of("Asia/Kathmandu");
    CHECK(utc(zone.read(at(2026, 6, 15, 12)).first) == "2026-06-15T06:15Z");
    for (int day = 0; day < 2 * 365; ++day) {
        const LocalTime date = clock::add_days(at(2026, 1, 1), day);
        REQUIRE(day_minutes(zone, date) == 1440);
        REQUIRE(zone.read(date).kind == Reading::Kind::once);
    }
}

TEST_CASE("RFC 5545 section 3.3.5: its own examples") {
    const Zone zone = zone_of("America/New_York");
    // "an ambiguous local time means the first occurrence": 01:30 is Eastern daylight time.
    const Reading twice = zone.read(at(2007, 11, 4, 1, 30));
    CHECK(twice.kind == kFold);
    CHECK(zone.abbreviation(twice.first) == "EDT");
    CHECK(clock::iso_text(zone, twice.first) == "2007-11-04T01:30-04:00");
    CHECK(clock::iso_text(zone, twice.second) == "2007-11-04T01:30-05:00");
    // "a nonexistent one is read with the offset before the gap": 02:30 is 03:30 daylight time.
    const Reading skipped = zone.read(at(2007, 3, 11, 2, 30));
    CHECK(skipped.kind == kGap);
    CHECK(clock::iso_text(zone, skipped.first) == "2007-03-11T03:30-04:00");
    CHECK(clock::iso_text(zone, skipped.second) == "2007-03-11T01:30-05:00");
}

TEST_CASE("counting back from a pickup is in real time, over a changeover too") {
    // check-values.md section 4: a twelve-hour proof before a Sunday 08:00 pickup in Paris.
    const Zone zone = zone_of("Europe/Paris");
    const auto start = [&](const LocalTime& pickup) {
        return clock::iso_text(zone, zone.read(pickup).first - std::chrono::hours(12));
    };
    CHECK(start(at(2026, 3, 29, 8)) == "2026-03-28T19:00+01:00");
    CHECK(start(at(2026, 10, 25, 8)) == "2026-10-24T21:00+02:00");
}

TEST_CASE("every local time of two years comes back from the instant that it means") {
    for (const char* name : {"Europe/London", "Australia/Lord_Howe", "America/New_York"}) {
        const Zone zone = zone_of(name);
        Instant instant = zone.read(at(2026, 1, 1)).first;
        for (int k = 0; k < 2 * 365 * 24; ++k, instant += Minutes{53}) {
            const LocalTime local = zone.local(instant);
            const Reading reading = zone.read(local);
            REQUIRE(reading.kind != kGap);
            REQUIRE((reading.first == instant || reading.second == instant));
        }
    }
}

TEST_CASE("zones that are not there") {
    for (const char* name : {"", "Europe/Londn", "europe/london", "/etc/passwd", "../../etc/passwd", "Europe",
                             "Europe/London\n", "posix/../Europe/London"}) {
        SUBCASE(name) { CHECK_FALSE(Zone::find(name).has_value()); }
    }
    CHECK_FALSE(Zone::find(std::string("Europe/London\0", 14)).has_value());
}

TEST_CASE("a misspelt zone is answered with the one that was meant") {
    for (const auto& [wrong, right] :
         std::vector<std::pair<std::string, std::string>>{{"Europe/Londn", "Europe/London"},
                                                          {"europe/paris", "Europe/Paris"},
                                                          {"London", "Europe/London"},
                                                          {"Kathmandu", "Asia/Kathmandu"},
                                                          {"New_York", "America/New_York"},
                                                          {"Amerika/New_York", "America/New_York"},
                                                          {"Lord Howe", "Australia/Lord_Howe"}}) {
        SUBCASE(wrong.c_str()) {
            const auto near = clock::near_zone_names(wrong, 3);
            REQUIRE_FALSE(near.empty());
            CHECK(near.front() == right);
        }
    }
    CHECK(clock::near_zone_names("nowhere at all", 3).empty());
}

TEST_CASE("dates") {
    CHECK(clock::valid_date(2028, 2, 29));
    CHECK_FALSE(clock::valid_date(2026, 2, 29));
    CHECK_FALSE(clock::valid_date(2100, 2, 29));
    CHECK(clock::valid_date(2000, 2, 29));
    CHECK_FALSE(clock::valid_date(2026, 0, 1));
    CHECK_FALSE(clock::valid_date(2026, 13, 1));
    CHECK_FALSE(clock::valid_date(2026, 4, 31));
    CHECK_FALSE(clock::valid_date(2026, 4, 0));
    CHECK_FALSE(clock::valid_date(2026, 257, 257));
    CHECK_FALSE(clock::valid_date(4'000'000, 1, 1));

    CHECK(clock::add_days(at(2026, 12, 31, 23, 5), 1) == at(2027, 1, 1, 23, 5));
    CHECK(clock::add_days(at(2026, 3, 1), -1) == at(2026, 2, 28));
    CHECK(clock::weekday(at(1970, 1, 1)) == 3);   // a Thursday
    CHECK(clock::weekday(at(2026, 10, 3)) == 5);  // a Saturday
    CHECK(clock::weekday_name(0) == "Mon");
    CHECK(clock::weekday_name(6) == "Sun");
    CHECK(clock::clock_text(at(2026, 10, 3, 5, 7)) == "05:07");
    CHECK(clock::date_text(at(2026, 10, 3)) == "Sat 3 Oct");
    CHECK(clock::iso_text(zone_of("Asia/Kathmandu"), from_epoch(0)) == "1970-01-01T05:30+05:30");  // +05:45 since 1986
    CHECK(clock::iso_text(zone_of("America/New_York"), from_epoch(0)) == "1969-12-31T19:00-05:00");
}

TEST_CASE("years at the ends of the calendar do no harm") {
    // Before there were zones, London's mean time lay 75 seconds behind Greenwich: a minute is lost in rounding.
    const Zone zone = zone_of("Europe/London");
    for (const std::int32_t year : {0, 1, 9999}) {
        const LocalTime local = at(year, 6, 15, 12), back = zone.local(zone.read(local).first);
        CHECK(back.year == local.year);
        CHECK(std::abs(back.minute - local.minute) <= 1);
    }
}

}  // namespace oventide
