/// What is done to a bake and its oven, in the words that every page has.

#include <doctest/doctest.h>

#include "oventide/timetable.hpp"
#include "support/planned.hpp"

namespace oventide::test {
namespace {

/// A bun that is baked so, in the morning of Saturday 3 October 2026.
Planned baked(const std::string& bake) {
    return planned(plan_for_buns("[[component]]\nname = \"bun\"\nmakes = 12\nsteps = [{ name = \"bake\", " + bake +
                                 ", tray = 12, hands = { first = \"2 min\", last = \"2 min\" } }]\n"));
}

std::string clock(Instant at) {
    const auto minutes = at.time_since_epoch().count() % (24 * 60);
    return (minutes / 60 < 10 ? "0" : "") + std::to_string(minutes / 60) + ":" + (minutes % 60 < 10 ? "0" : "") +
           std::to_string(minutes % 60);
}

std::string turns_of(const Planned& day) {
    std::string text;
    for (std::size_t i = 0; i < day.timetable->oven.size(); ++i)
        if (day.timetable->oven[i].kind != OvenEvent::Kind::hot)
            text += clock(day.timetable->oven[i].at) + " " +
                    turning(day.plan, *day.timetable, static_cast<std::int32_t>(i), clock) + "\n";
    return text;
}

}  // namespace

TEST_CASE("a bake says its heat, and a turn of the oven with food in it says until when that stays") {
    // Collected at 12:00, with a quarter of an hour's margin: out at 11:45. From 20 C to 180 C at 10 C/min: 16 min.
    struct Case {
        std::string bake, heat, turns;
    };
    const Case cases[] = {
        {R"(oven = "180 C", takes = "70 min")", "180 C, 1 h 10 min",
         "10:19 switch on, 180 C, ready 10:35\n11:45 switch off\n"},
        {R"(oven = ["180 C 30 min", "off 12 min"])", "180 C, 30 min, then off, 12 min",
         "10:47 switch on, 180 C, ready 11:03\n11:33 switch off; leave it in, door shut, until 11:45\n"},
        {R"(oven = ["180 C 30 min", "off ajar 12 min"], door_shut = "25 min")",
         "180 C, 30 min, then off with the door ajar, 12 min; door shut until 11:28",
         "10:47 switch on, 180 C, ready 11:03\n11:33 switch off; leave it in, door ajar, until 11:45\n"},
        {R"(oven = ["356 F 30 min", "off 60 min"], door_shut = "2 h")",
         "356 F, 30 min, then off, 1 h; door shut until 11:45",
         "09:59 switch on, 356 F, ready 10:15\n10:45 switch off; leave it in, door shut, until 11:45\n"},
        {R"(oven = ["180 C 10 min", "150 C 20 min"])", "180 C, 10 min, then 150 C, 20 min",
         "10:59 switch on, 180 C, ready 11:15\n11:25 turn to 150 C; leave it in until 11:45\n11:45 switch off\n"},
    };
    for (const Case& one : cases) {
        CAPTURE(one.bake);
        const Planned day = baked(one.bake);
        REQUIRE(day.timetable);
        REQUIRE(day.timetable->rows.size() == 1);
        CHECK(baking(day.plan, day.timetable->rows[0], clock) == one.heat);
        CHECK(turns_of(day) == one.turns);
        std::string jobs;
        for (const Job& job : day.timetable->jobs)
            if (job.row >= 0) jobs += doing(day.plan, *day.timetable, job, clock) + "\n";
        CHECK(jobs == "into oven at " + one.heat + "\nout of oven\n");
    }
}

TEST_CASE("a breakdown is no part of the setting in which it falls") {
    const Planned day = baked(R"(oven = ["180 C 30 min", "150 C 20 min"])");
    REQUIRE(day.timetable);
    Row row = day.timetable->rows[0];
    const Instant start = row.start;
    const auto heat = [&](int from, int to, std::optional<MilliCelsius> temperature) {
        return Heat{{start + Minutes{from}, start + Minutes{to}}, temperature, false, !temperature};
    };
    row.heat = {heat(0, 10, 180'000), heat(10, 25, {}), heat(25, 45, 180'000), heat(45, 65, 150'000)};
    CHECK(baking(day.plan, row, clock) == "180 C, 30 min, then 150 C, 20 min; oven broken, not hot " +
                                              clock(start + Minutes{10}) + " to " + clock(start + Minutes{25}));
    // Between two settings, and in the last one.
    row.heat = {heat(0, 30, 180'000), heat(30, 40, {}), heat(40, 50, 150'000), heat(50, 55, {}), heat(55, 65, 150'000)};
    const std::string text = baking(day.plan, row, clock);
    CHECK(text.find("180 C, 30 min, then 150 C, 20 min; oven broken") == 0);
    CHECK(text.find("; oven broken", text.find("; oven broken") + 1) != std::string::npos);
}

TEST_CASE("no door is shut and ajar at once") {
    const auto said = [](const std::string& bake) {
        return diagnostics_of(plan_for_buns(
            "[[component]]\nname = \"bun\"\nmakes = 12\nsteps = [{ name = \"bake\", tray = 12, " + bake + " }]\n"));
    };
    CHECK(said(R"(oven = ["180 C 30 min", "off ajar 12 min"], door_shut = "30 min")").empty());
    CHECK(said(R"(oven = ["180 C 30 min", "off ajar 12 min"], door_shut = "31 min")")
              .find("the door is shut for 31 min, and ajar after 30 min") != std::string::npos);
    CHECK(
        said(R"(takes = "1 h", oven = ["180 C 30 min", "off ajar"], door_shut = "31 min")").find("ajar after 30 min") !=
        std::string::npos);
    CHECK(
        said(R"(takes = "1 h", oven = ["180 C", "off ajar 12 min"], door_shut = "49 min")").find("ajar after 48 min") !=
        std::string::npos);
    CHECK(said(R"(oven = ["180 C 30 min ajar", "off 12 min"])").find("error") != std::string::npos);
}

}  // namespace oventide::test
