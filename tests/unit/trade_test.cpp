// Facts of the trade, as DEVELOPERS.md lists them: common practice, no source. A plan that is written by them gets a
// timetable with the sequence and the lengths that a cook expects.
#include <doctest/doctest.h>

#include <algorithm>

#include "support/planned.hpp"

using namespace oventide;

namespace {

constexpr std::string_view kCases = R"(
title    = "Filled cases"
timezone = "UTC"

[kitchen]
crew   = [{ name = "Ada", hours = "06:00-18:00" }]
oven   = [{ trays = 2, heats = "10 C/min", cools = "4 C/min" }]
mixer  = [{}]
hob    = [{ rings = 2 }]
fridge = [{ shelves = 2 }]

[[component]]
name  = "case"
makes = "24 pieces"
steps = [
  { name = "cook dough", takes = "3 min", hands = true, uses = "hob" },
  { name = "beat",       takes = "8 min", within = "10 min", hands = true, uses = "mixer", wash = "5 min" },
  { name = "pipe",       takes = "12 min", within = "15 min", hands = true },
  { name = "bake",       oven = ["180 C 30 min", "off 12 min"], tray = 12, door_shut = "30 min", within = "15 min", hands = { first = "1 min", last = "1 min" } },
  { name = "cool",       takes = "20 min", keeps = "8 h" },
]

[[component]]
name  = "cream"
makes = "1 kg"
steps = [
  { name = "cook custard", takes = "12 min", hands = true, uses = "hob", cooked = true },
  { name = "chill",        takes = "2 h", within = "10 min", keeps = "1 day", uses = "fridge", chill = true },
  { name = "whip butter",  takes = "5 min", within = "2 h", hands = true, with = { "soft butter" = "500 g" }, uses = { mixer = { until = "last third" } } },
  { name = "first third",  takes = "3 min", at_once = true, hands = true },
  { name = "second third", takes = "3 min", at_once = true, hands = true },
  { name = "last third",   takes = "3 min", at_once = true, hands = true, uses = "mixer", wash = "5 min" },
]

[[component]]
name  = "soft butter"
makes = "500 g"
steps = [{ name = "soften", takes = "1h30m", keeps = "3 h" }]

[[component]]
name        = "filled case"
makes       = "24 pieces"
best_within = "1 h"
steps = [
  { name = "fill", takes = "15 min", hands = true, with = { case = 1, cream = "40 g" } },
]

[[order]]
name   = "Tea"
pickup = 2026-05-09T16:00:00
items  = { "filled case" = 24 }
)";

/// A step of a plan in which nothing is made twice.
const Row& row_of(const test::Planned& day, const std::string& component, const std::string& step) {
    const auto found = std::find_if(day.timetable->rows.begin(), day.timetable->rows.end(), [&](const Row& row) {
        const Component& made = day.plan.components[row.component];
        return made.name == component && made.steps[row.step].name == step;
    });
    REQUIRE(found != day.timetable->rows.end());
    return *found;
}

Minutes length(const Row& row) { return row.end - row.start; }

Instant event_at(const test::Planned& day, OvenEvent::Kind kind) {
    const auto found = std::find_if(day.timetable->oven.begin(), day.timetable->oven.end(),
                                    [&](const OvenEvent& event) { return event.kind == kind; });
    REQUIRE(found != day.timetable->oven.end());
    return found->at;
}

}  // namespace

TEST_CASE("cases are baked golden and dried in the switched-off oven") {
    const auto day = test::planned(kCases);
    REQUIRE(day.timetable);
    const Row& bake = row_of(day, "case", "bake");
    // The dough is cooked 2 to 3 min on the heat, and piped and baked before it sinks.
    const Row& dough = row_of(day, "case", "cook dough");
    CHECK(length(dough) >= Minutes{2});
    CHECK(length(dough) <= Minutes{3});
    CHECK(bake.start - dough.end <= Minutes{60});
    // About 30 min at 180 C, then 10 to 15 min in the oven that has been switched off.
    CHECK(event_at(day, OvenEvent::Kind::hot) <= bake.start);
    CHECK(event_at(day, OvenEvent::Kind::off) - bake.start == Minutes{30});
    CHECK(bake.end - event_at(day, OvenEvent::Kind::off) >= Minutes{10});
    CHECK(bake.end - event_at(day, OvenEvent::Kind::off) <= Minutes{15});
    // From the room's 20 C to 180 C at 10 C a minute: switched on 16 minutes before.
    CHECK(bake.start - event_at(day, OvenEvent::Kind::on) == Minutes{16});
}

TEST_CASE("the custard is set before the butter, soft by then, takes it by thirds") {
    const auto day = test::planned(kCases);
    REQUIRE(day.timetable);
    const Row& chill = row_of(day, "cream", "chill");
    const Row& whip = row_of(day, "cream", "whip butter");
    CHECK(chill.ready - chill.start >= Minutes{120});
    CHECK(whip.start >= chill.ready);
    CHECK(chill.start - row_of(day, "cream", "cook custard").end <= Minutes{10});
    // Butter to be whipped is at room temperature: an hour or two on the bench before.
    CHECK(row_of(day, "soft butter", "soften").ready <= whip.start);
    CHECK(length(row_of(day, "soft butter", "soften")) >= Minutes{60});
    Instant end = whip.end;
    for (const char* third : {"first third", "second third", "last third"}) {
        CHECK(row_of(day, "cream", third).start == end);
        end = row_of(day, "cream", third).end;
    }
    // One bowl from the butter to the last third.
    for (const EquipmentUse& use : whip.equipment) CHECK(use.span.to == row_of(day, "cream", "last third").start);
}

TEST_CASE("cases are filled at the last moment, since filled ones go soft") {
    const auto day = test::planned(kCases);
    REQUIRE(day.timetable);
    const Row& fill = row_of(day, "filled case", "fill");
    CHECK(fill.start >= row_of(day, "case", "cool").ready);
    CHECK(fill.start >= row_of(day, "cream", "last third").end);
    CHECK(fill.end == day.plan.orders.front().pickup - day.plan.orders.front().margin);
}
