/// Contract 3, 5, 6 and fine print (f), (k), (l), (m), (n): equipment, hands, washing, hours.

#include <doctest/doctest.h>

#include <string>

#include "support/expansion_text.hpp"
#include "support/plan_text.hpp"

namespace oventide::test {
namespace {

using Lines = std::vector<std::string>;

std::string bun(const std::string& steps) {
    return plan_for_buns("[[component]]\nname = \"bun\"\nmakes = \"12 pieces\"\nsteps = [" + steps + "]\n");
}

TEST_CASE("what a step demands, and when") {
    struct Row {
        std::string step;
        Lines demands;
    };
    const std::vector<Row> rows = {
        {R"(takes = "10 min")", {}},
        {R"(takes = "10 min", uses = "mixer")", {"mixer [start, end)"}},
        {R"(takes = "10 min", uses = { rack = 3 })", {"3 rack [start, end)"}},
        {R"(takes = "10 min", keeps = "2 h", uses = "fridge")", {"fridge [start, end)"}},
        {R"(takes = "10 min", uses = { mixer = { from = "2 min", for = "3 min" } })", {"mixer [start + 2, start + 5)"}},
        {R"(takes = "10 min", uses = { mixer = { from = "2 min" } })", {"mixer [start + 2, end)"}},
        {R"(takes = "10 min", uses = { mixer = { then = "4 min" } })", {"mixer [start, end + 4)"}},
        // (f): all that it takes, not all that it lasts
        {R"(takes = "10 min", hands = true)", {"Ada|Ben [start, start + 10)"}},
        {R"(takes = "10 min", keeps = "2 h", hands = true)", {"Ada|Ben [start, start + 10)"}},
        {R"(takes = "10 min", hands = true, who = "Ben")", {"Ben [start, start + 10)"}},
        {R"(takes = "10 min", hands = { first = "2 min", last = "3 min" })",
         {"Ada|Ben [start, start + 2)", "Ada|Ben [start + 7, start + 10)"}},
        {R"(takes = "10 min", keeps = "1 h", hands = { first = "2 min", last = "3 min" })",
         {"Ada|Ben [start, start + 2)", "Ada|Ben [end - 3, end)"}},
        {R"(takes = "10 min", hands = { then = "3 min" })", {"Ada|Ben [end, end + 3)"}},
        // (l): overlapping first and last are hands throughout; what only touches is not
        {R"(takes = "10 min", hands = { first = "6 min", last = "5 min" })", {"Ada|Ben [start, start + 10)"}},
        {R"(takes = "10 min", hands = { first = "6 min", last = "4 min" })",
         {"Ada|Ben [start, start + 6)", "Ada|Ben [start + 6, start + 10)"}},
        // (m): two hands are two people
        {R"(takes = "10 min", hands = { first = "2 min", people = 2 })",
         {"Ada|Ben [start, start + 2)", "Ada|Ben [start, start + 2)"}},
        // (k): the wash holds what is used, from the minute in which the step ends, and one person
        {R"(takes = "10 min", uses = ["mixer", "rack"], wash = "5 min")",
         {"mixer [start, end + 5)", "rack [start, end + 5)", "Ada|Ben [end, end + 5)"}},
        {R"(takes = "10 min", uses = ["mixer", "rack"], wash = { takes = "5 min", what = "mixer" })",
         {"mixer [start, end + 5)", "rack [start, end)", "Ada|Ben [end, end + 5)"}},
        {R"(takes = "10 min", keeps = "1 h", uses = "mixer", wash = "5 min")",
         {"mixer [start, end + 5)", "Ada|Ben [end, end + 5)"}},
        // used for a while only, it stays dirty until it is washed
        {R"(takes = "10 min", uses = { mixer = { from = "2 min", for = "3 min" } }, wash = "5 min")",
         {"mixer [start + 2, end + 5)", "Ada|Ben [end, end + 5)"}},
        {R"(takes = "10 min", uses = { mixer = { then = "8 min" } }, wash = "5 min")",
         {"mixer [start, end + 8)", "Ada|Ben [end, end + 5)"}},
        // the wash of a bake does not hold the oven
        {R"(takes = "10 min", oven = "180 C", tray = 6, uses = "rack", wash = "5 min")",
         {"rack [start, end + 5)", "2 oven [start, end), 180 C 10", "Ada|Ben [end, end + 5)"}},
    };
    for (const Row& row : rows) {
        CAPTURE(row.step);
        const Expansion expansion = expansion_of(bun("{ name = \"x\", " + row.step + " }"));
        const std::string name = row.step.find("oven") == std::string::npos ? "bun.1.x" : "bun.1.x.1";
        CHECK(demands_text(expansion, name) == row.demands);
    }
}

TEST_CASE("demands say what they are for") {
    const Expansion expansion = expansion_of(bun(
        R"({ name = "x", takes = "10 min", oven = "180 C", tray = 6, uses = ["rack", "hob"], hands = { first = "2 min", last = "2 min", people = 2 }, wash = { takes = "5 min", what = "rack" } })"));
    using Kind = DemandInfo::Kind;
    struct Wanted {
        Kind kind;
        std::int32_t entry;
        std::int32_t person;
    };
    const std::vector<Wanted> wanted = {{Kind::equipment, 0, 0}, {Kind::equipment, 1, 0}, {Kind::oven, 0, 0},
                                        {Kind::hands, 0, 0},     {Kind::hands, 0, 1},     {Kind::hands, 1, 0},
                                        {Kind::hands, 1, 1},     {Kind::wash_hands, 0, 0}};
    const auto& infos = expansion.demands[activity_named(expansion, "bun.1.x.1")];
    REQUIRE(infos.size() == wanted.size());
    for (std::size_t i = 0; i < wanted.size(); ++i) {
        CAPTURE(i);
        CHECK(infos[i].kind == wanted[i].kind);
        CHECK(infos[i].entry == wanted[i].entry);
        CHECK(infos[i].person == wanted[i].person);
    }
}

TEST_CASE("equipment is held until a later step starts: until its last load") {
    const Expansion expansion = expansion_of(bun(
        R"({ name = "mix", takes = "10 min", uses = { mixer = { until = "bake" } } },
           { name = "wait", takes = "5 min" },
           { name = "bake", takes = "10 min", oven = "180 C", tray = 2 })"));
    CHECK(demands_text(expansion, "bun.1.mix") == Lines{"mixer [start, end) until bun.1.bake.1 until bun.1.bake.2"});
}

TEST_CASE("one of several: by kind, by name, and only those that are big enough") {
    const std::string kitchen = R"(
timezone = "UTC"
[kitchen]
[[kitchen.crew]]
name  = "Ada"
hours = "05:00-20:00"
[[kitchen.fridge]]
name    = "tall fridge"
shelves = 8
[[kitchen.fridge]]
name    = "low fridge"
shelves = 2
[[kitchen.mixer]]
count = 2
[[order]]
name   = "Ladder Street"
pickup = 2026-10-03T12:00:00
items  = { bun = 12 }
[[component]]
name  = "bun"
makes = "12 pieces"
steps = [{ name = "x", takes = "10 min", )";
    CHECK(demands_text(expansion_of(kitchen + "uses = \"fridge\" }]"), "bun.1.x") ==
          Lines{"tall fridge|low fridge [start, end)"});
    CHECK(demands_text(expansion_of(kitchen + "uses = { fridge = 3 } }]"), "bun.1.x") ==
          Lines{"3 tall fridge [start, end)"});
    CHECK(demands_text(expansion_of(kitchen + "uses = \"low fridge\" }]"), "bun.1.x") ==
          Lines{"low fridge [start, end)"});
    const Expansion mixers = expansion_of(kitchen + "uses = \"mixer\" }]");
    CHECK(capacity_text(mixers, "mixer") == "0:2");
}

// Times below are minutes from 3 October, 00:00 UTC; the pickup is at 12:00, minute 720.
std::string day(const std::string& kitchen, const std::string& zone = "UTC") {
    return "timezone = \"" + zone + "\"\nfrom = 2026-10-03T00:00:00\n[kitchen]\n" + kitchen + R"(
[[order]]
name   = "Ladder Street"
pickup = 2026-10-03T12:00:00
items  = { bun = 12 }
[[component]]
name  = "bun"
makes = "12 pieces"
steps = [{ name = "x", takes = "10 min", hands = true, wash = "25 min" }]
)";
}

TEST_CASE("hours are a calendar; nothing is after the horizon but what reaches past the last pickup (k), (m), (n)") {
    struct Row {
        std::string hours;
        std::string calendar;
    };
    // The horizon is the pickup and the washing behind it: minute 745.
    const std::vector<Row> rows = {
        {"\"05:00-11:00\"", "0:0 300:1 660:0"},
        {"\"05:00-20:00\"", "0:0 300:1 745:0"},
        {"\"00:00-24:00\"", "0:1 745:0"},
        {"\"22:00-06:00\"", "0:1 360:0"},
        {"\"Sat 06:00-07:00, 07:00-08:00\"", "0:0 360:1 480:0"},
        {"\"Sun 06:00-07:00\"", "0:0"},
    };
    for (const Row& row : rows) {
        CAPTURE(row.hours);
        const Expansion expansion = expansion_of(day("[[kitchen.crew]]\nname = \"Ada\"\nhours = " + row.hours + "\n"));
        CHECK(expansion.project.horizon == 745);
        CHECK(capacity_text(expansion, "Ada") == row.calendar);
        CHECK(expansion.project.resources.back().wakes);
    }
}

TEST_CASE("somebody is there in the hours of anybody, merged where they touch") {
    const Expansion expansion =
        expansion_of(day("[[kitchen.crew]]\nname = \"Ada\"\nhours = \"05:00-08:00\"\n"
                         "[[kitchen.crew]]\nname = \"Ben\"\nhours = [\"Sat 08:00-09:00, 10:00-11:00\"]\n"));
    CHECK(expansion.project.attended == std::vector<Interval>{{300, 540}, {600, 660}});
    CHECK(expansion.project.reset_after == 60);
}

TEST_CASE("closed times are capacity 0 (6), (u)") {
    const Expansion expansion =
        expansion_of(day("[[kitchen.crew]]\nname = \"Ada\"\nhours = \"05:00-20:00\"\n"
                         "[[kitchen.oven]]\ntrays = 3\nheats = \"10 C/min\"\ncools = \"5 C/min\"\n"
                         "closed = [\"2026-10-03 10:00-11:00\", \"daily 00:00-01:00\"]\n"));
    CHECK(capacity_text(expansion, "oven") == "0:0 60:3 600:0 660:3");
}

// Lisbon is an hour ahead of UTC in summer: 05:00 there is 04:00 UTC, and the plan begins at 23:00 UTC the day before.
TEST_CASE("the origin is the plan's beginning, and hours are those of its zone (n)") {
    const Plan plan = plan_of(day("[[kitchen.crew]]\nname = \"Ada\"\nhours = \"05:00-11:00\"\n", "Europe/Lisbon"));
    const Expansion expansion = expansion_of(plan);
    CHECK(expansion.origin == plan.from);
    CHECK(capacity_text(expansion, "Ada") == "0:0 300:1 660:0");
    CHECK(activity_of(expansion, "bun.1.x").due == 705);
}

TEST_CASE("resources are the equipment and then the crew") {
    const Plan plan = plan_of(bun(R"({ name = "x", takes = "10 min" })"));
    const Expansion expansion = expansion_of(plan);
    REQUIRE(expansion.resources.size() == plan.kitchen.equipment.size() + plan.kitchen.crew.size());
    for (std::size_t i = 0; i < expansion.resources.size(); ++i) {
        const ResourceInfo& info = expansion.resources[i];
        const bool is_person = i >= plan.kitchen.equipment.size();
        REQUIRE(info.person.has_value() == is_person);
        REQUIRE(info.equipment.has_value() == !is_person);
        CHECK(expansion.project.resources[i].name ==
              (is_person ? plan.kitchen.crew[*info.person].name : plan.kitchen.equipment[*info.equipment].name));
    }
}

TEST_CASE("goals follow the plan's aims") {
    CHECK(expansion_of(bun(R"({ name = "x", takes = "1 min" })")).project.goals ==
          std::vector<Goal>{Goal::overrun, Goal::alarm, Goal::waiting});
    CHECK(expansion_of("aim = [\"waiting\", \"alarm\"]\n" + bun(R"({ name = "x", takes = "1 min" })")).project.goals ==
          std::vector<Goal>{Goal::waiting, Goal::alarm});
}

TEST_CASE("what no kitchen time can give is an error") {
    CHECK(refusal_of(
              bun(R"({ name = "x", takes = "4 min", keeps = "1 h", hands = { first = "3 min", last = "2 min" } })")) ==
          "the hands at the beginning and at the end of bun / x come to more than it takes\n");
    // The reader finds these first: they are changed behind its back.
    Plan plan =
        plan_of(bun(R"({ name = "x", takes = "4 min", uses = "rack", hands = { first = "1 min", people = 2 } })"));
    plan.components[0].steps[0].uses[0].amount = 21;
    CHECK(refusal_of(plan) == "bun / x wants 21 of rack, which has 20\n");
    plan.components[0].steps[0].uses[0].amount = 20;
    plan.components[0].steps[0].hands[0].people = 3;
    CHECK(refusal_of(plan) == "bun / x wants the hands of 3, and there are only 2 who may do it\n");
    plan.components[0].steps[0].hands[0].people = 2;
    plan.components[0].steps[0].each = std::chrono::days{3};
    CHECK(refusal_of(plan) == "bun / x takes more than 31 days for 12 pieces\n");
}

}  // namespace
}  // namespace oventide::test
