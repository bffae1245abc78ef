/// Clock times as the cook reads them.

#include "report/days.hpp"

#include <doctest/doctest.h>

#include "oventide/clock.hpp"

using namespace oventide;

namespace {

Instant at(const clock::Zone& zone, int month, std::uint32_t day, int hour, int minute) {
    return zone.read({2026, static_cast<std::uint32_t>(month), day, hour * 60 + minute}).first;
}

}  // namespace

TEST_CASE("weekdays where the day is another one") {
    const auto zone = clock::Zone::find("Europe/London");
    REQUIRE(zone);
    const Instant evening = at(*zone, 10, 2, 20, 40);
    const Instant morning = at(*zone, 10, 3, 7, 5);
    const report::Days days(*zone, {evening, morning});
    CHECK(days.changes().empty());
    CHECK(days.time(morning) == "07:05");
    CHECK(days.day_time(morning) == "Sat 3 Oct 07:05");
    CHECK(days.time_from(morning, morning) == "07:05");
    CHECK(days.time_from(morning, evening) == "Sat 07:05");
    CHECK(days.time_from(evening, morning) == "Fri 20:40");
    CHECK(days.time_from(at(*zone, 10, 9, 7, 5), evening) == "Fri 9 Oct 07:05");
}

TEST_CASE("the night in which the clocks change") {
    // Transitions of 2026: /work/shared/check-values.md, section 4 (the system's time-zone database).
    SUBCASE("back: one o'clock comes twice") {
        const auto zone = clock::Zone::find("Europe/London");
        REQUIRE(zone);
        const auto twice = zone->read({2026, 10, 25, 90});
        const report::Days days(*zone, {at(*zone, 10, 24, 12, 0), at(*zone, 10, 26, 12, 0)});
        CHECK(days.time(twice.first) == "01:30 BST");
        CHECK(days.time(twice.second) == "01:30 GMT");
        CHECK(days.time(at(*zone, 10, 24, 23, 0)) == "23:00");
        CHECK(days.time(at(*zone, 10, 26, 1, 30)) == "01:30");
        REQUIRE(days.changes().size() == 1);
        CHECK(days.change_text(days.changes()[0]) == "clocks go back from 02:00 BST to 01:00 GMT");
    }
    SUBCASE("forward") {
        const auto zone = clock::Zone::find("Europe/Paris");
        REQUIRE(zone);
        const report::Days days(*zone, {at(*zone, 3, 28, 12, 0), at(*zone, 3, 30, 12, 0)});
        REQUIRE(days.changes().size() == 1);
        CHECK(days.change_text(days.changes()[0]) == "clocks go forward from 02:00 CET to 03:00 CEST");
    }
    SUBCASE("by half an hour") {
        const auto zone = clock::Zone::find("Australia/Lord_Howe");
        REQUIRE(zone);
        const report::Days days(*zone, {at(*zone, 10, 3, 12, 0), at(*zone, 10, 5, 12, 0)});
        REQUIRE(days.changes().size() == 1);
        CHECK(days.change_text(days.changes()[0]) == "clocks go forward from 02:00 +1030 to 02:30 +11");
    }
    SUBCASE("a span that ends before the change knows none") {
        const auto zone = clock::Zone::find("Europe/London");
        REQUIRE(zone);
        const report::Days days(*zone, {at(*zone, 10, 24, 12, 0), at(*zone, 10, 24, 20, 0)});
        CHECK(days.changes().empty());
    }
}
