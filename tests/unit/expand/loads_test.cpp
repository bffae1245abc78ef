/// Contract 9 and fine print (x), (w), (o): oven loads, the times of what is really in them, programmes.

#include <doctest/doctest.h>

#include <string>

#include "support/expansion_text.hpp"
#include "support/plan_text.hpp"

namespace oventide::test {
namespace {

using Lines = std::vector<std::string>;

/// The test kitchen's oven takes four trays.
std::string buns(const std::string& steps, int pieces, const std::string& makes = "100 pieces") {
    return plan_for_buns("[[component]]\nname = \"bun\"\nmakes = \"" + makes + "\"\nsteps = [" + steps + "]\n", pieces);
}

//   shape ──> bake 1 ──> turn 1 ──> glaze      30 buns, 3 a tray, 4 trays: loads of 12, 12, 6
//        ├──> bake 2 ──> turn 2 ──┤            'turn' is at once with the bake, 'glaze' waits for all
//        └──> bake 3 ──> turn 3 ──┘
TEST_CASE("the oven steps and what is at once with them go load by load (x)") {
    const Expansion expansion = expansion_of(buns(
        R"({ name = "shape", takes = "10 min" },
           { name = "bake", takes = "20 min", oven = "180 C", tray = 3 },
           { name = "turn", takes = "2 min", at_once = true },
           { name = "glaze", takes = "5 min" })",
        30));
    CHECK(tasks_text(expansion, "") == Lines{"bun.1.shape [0, 30) 10", "bun.1.bake.1 [0, 12) 20",
                                             "bun.1.bake.2 [12, 24) 20", "bun.1.bake.3 [24, 30) 20",
                                             "bun.1.turn.1 [0, 12) 2", "bun.1.turn.2 [12, 24) 2",
                                             "bun.1.turn.3 [24, 30) 2", "bun.1.glaze [0, 30) 5"});
    CHECK(demands_text(expansion, "bun.1.bake.1") == Lines{"4 oven [start, end), 180 C 20"});
    CHECK(demands_text(expansion, "bun.1.bake.3") == Lines{"2 oven [start, end), 180 C 20"});
    CHECK(lags_text(expansion) == Lines{"bun.1.bake.1 + 20 <= bun.1.turn.1", "bun.1.bake.1 <= bun.1.bake.2",
                                        "bun.1.bake.2 + 20 <= bun.1.turn.2", "bun.1.bake.2 <= bun.1.bake.3",
                                        "bun.1.bake.3 + 20 <= bun.1.turn.3", "bun.1.shape + 10 <= bun.1.bake.1",
                                        "bun.1.shape + 10 <= bun.1.bake.2", "bun.1.shape + 10 <= bun.1.bake.3",
                                        "bun.1.turn.1 + 2 <= bun.1.glaze", "bun.1.turn.1 - 20 <= bun.1.bake.1",
                                        "bun.1.turn.1 <= bun.1.turn.2", "bun.1.turn.2 + 2 <= bun.1.glaze",
                                        "bun.1.turn.2 - 20 <= bun.1.bake.2", "bun.1.turn.2 <= bun.1.turn.3",
                                        "bun.1.turn.3 + 2 <= bun.1.glaze", "bun.1.turn.3 - 20 <= bun.1.bake.3"});
    CHECK(waiting_text(expansion) == Lines{"bun.1.bake.1 -> bun.1.turn.1 12", "bun.1.bake.2 -> bun.1.turn.2 12",
                                           "bun.1.bake.3 -> bun.1.turn.3 6", "bun.1.glaze -> @5040 30",
                                           "bun.1.shape -> bun.1.bake.1 12", "bun.1.shape -> bun.1.bake.2 12",
                                           "bun.1.shape -> bun.1.bake.3 6", "bun.1.turn.1 -> bun.1.glaze 12",
                                           "bun.1.turn.2 -> bun.1.glaze 12", "bun.1.turn.3 -> bun.1.glaze 6"});
}

//   par 1 [0,12)  ──┬─> cool ──> bake 1 [0,8)
//   par 2 [12,20) ──┘       ...  bake 2 [8,16)        cool, by load, is cut like the bake before it
TEST_CASE("two bakes with different trays have cuts of their own; loads that meet are linked") {
    const Expansion expansion = expansion_of(buns(
        R"({ name = "par", takes = "9 min", oven = "150 C", tray = 3 },
           { name = "cool", takes = "1 min", by = "load" },
           { name = "bake", takes = "7 min", oven = "220 C", tray = 2 })",
        20));
    CHECK(tasks_text(expansion, "") ==
          Lines{"bun.1.par.1 [0, 12) 9", "bun.1.par.2 [12, 20) 9", "bun.1.cool.1 [0, 12) 1", "bun.1.cool.2 [12, 20) 1",
                "bun.1.bake.1 [0, 8) 7", "bun.1.bake.2 [8, 16) 7", "bun.1.bake.3 [16, 20) 7"});
    CHECK(lags_text(expansion, "bun.1.cool") ==
          Lines{"bun.1.cool.1 + 1 <= bun.1.bake.1", "bun.1.cool.1 + 1 <= bun.1.bake.2", "bun.1.cool.1 <= bun.1.cool.2",
                "bun.1.cool.2 + 1 <= bun.1.bake.2", "bun.1.cool.2 + 1 <= bun.1.bake.3",
                "bun.1.par.1 + 9 <= bun.1.cool.1", "bun.1.par.2 + 9 <= bun.1.cool.2"});
    CHECK(waiting_text(expansion) ==
          Lines{"bun.1.bake.1 -> @5040 8", "bun.1.bake.2 -> @5040 8", "bun.1.bake.3 -> @5040 4",
                "bun.1.cool.1 -> bun.1.bake.1 8", "bun.1.cool.1 -> bun.1.bake.2 4", "bun.1.cool.2 -> bun.1.bake.2 4",
                "bun.1.cool.2 -> bun.1.bake.3 4", "bun.1.par.1 -> bun.1.cool.1 12", "bun.1.par.2 -> bun.1.cool.2 8"});
}

TEST_CASE("bakes at once with each other, and a by-load step in front of a bake, share the cut") {
    struct Row {
        std::string name;
        std::string steps;
        Lines tasks;
    };
    const std::vector<Row> rows = {
        {"the smaller of two at once",
         R"({ name = "par", takes = "9 min", oven = "150 C", tray = 3 },
            { name = "bake", takes = "7 min", oven = "220 C", tray = 2, at_once = true })",
         {"bun.1.par.1 [0, 8) 9", "bun.1.par.2 [8, 10) 9", "bun.1.bake.1 [0, 8) 7", "bun.1.bake.2 [8, 10) 7"}},
        {"dip is cut like the bake behind it",
         R"({ name = "dip", takes = "1 min", by = "load" },
            { name = "bake", takes = "7 min", oven = "220 C", tray = 2 })",
         {"bun.1.dip.1 [0, 8) 1", "bun.1.dip.2 [8, 10) 1", "bun.1.bake.1 [0, 8) 7", "bun.1.bake.2 [8, 10) 7"}},
    };
    for (const Row& row : rows) {
        CAPTURE(row.name);
        CHECK(tasks_text(expansion_of(buns(row.steps, 10)), "") == row.tasks);
    }
}

TEST_CASE("loads are cut for the smallest oven that may be used") {
    const std::string text = R"(
timezone = "UTC"
[kitchen]
[[kitchen.crew]]
name  = "Ada"
hours = "05:00-20:00"
[[kitchen.oven]]
name  = "deck"
trays = 6
heats = "10 C/min"
cools = "5 C/min"
[[kitchen.oven]]
name  = "little"
trays = 2
heats = "10 C/min"
cools = "5 C/min"
[[order]]
name   = "Ladder Street"
pickup = 2026-10-03T12:00:00
items  = { bun = 10 }
[[component]]
name  = "bun"
makes = "12 pieces"
steps = [{ name = "bake", takes = "7 min", oven = "220 C", tray = 2 )";
    CHECK(tasks_text(expansion_of(text + "}]"), "") ==
          Lines{"bun.1.bake.1 [0, 4) 7", "bun.1.bake.2 [4, 8) 7", "bun.1.bake.3 [8, 10) 7"});
    const Expansion in_deck = expansion_of(text + ", in = \"deck\" }]");
    CHECK(tasks_text(in_deck, "") == Lines{"bun.1.bake.1 [0, 10) 7"});
    CHECK(demands_text(in_deck, "bun.1.bake.1") == Lines{"5 deck [start, end), 220 C 7"});
}

TEST_CASE("times are summed in seconds for the real pieces and rounded up once (w)") {
    struct Row {
        std::string steps;
        int pieces;
        Lines tasks;
    };
    const std::vector<Row> rows = {
        // 5 min + 13 * 40 s = 820 s
        {R"({ name = "line", takes = "5 min", each = "40 s" })", 13, {"bun.1.line [0, 13) 14"}},
        // 90 s + 30 s is two minutes exactly; 90 s + 31 s is three
        {R"({ name = "line", takes = "90 s", each = "30 s" })", 1, {"bun.1.line [0, 1) 2"}},
        {R"({ name = "line", takes = "90 s", each = "31 s" })", 1, {"bun.1.line [0, 1) 3"}},
        // by load: 12 and 1 pieces
        {R"({ name = "bake", takes = "10 min", each = "10 s", oven = "180 C", tray = 3 })",
         13,
         {"bun.1.bake.1 [0, 12) 12", "bun.1.bake.2 [12, 13) 11"}},
        {R"({ name = "wait", takes = "0 min" })", 13, {"bun.1.wait [0, 13) 0"}},
    };
    for (const Row& row : rows) {
        CAPTURE(row.steps);
        CHECK(tasks_text(expansion_of(buns(row.steps, row.pieces)), "") == row.tasks);
    }
}

TEST_CASE("for a mass `each` is for every kilogram") {
    const Plan plan = plan_of(plan_for_buns(R"(
[[component]]
name  = "bun"
makes = "100 pieces"
steps = [{ name = "fill", takes = "1 min", with = { cream = "123.456 g" } }]
[[component]]
name  = "cream"
makes = "5 kg"
steps = [{ name = "whip", takes = "4 min", each = "90 s" }]
)",
                                            10));
    // 1.23456 kg * 90 s = 111.1 s
    CHECK(tasks_text(expansion_of(plan), "cream") == Lines{"cream.1.whip [0, 1234560) 6"});
}

TEST_CASE("a plan can be made with the long times") {
    const std::string steps = R"({ name = "prove", takes = ["50 min", "1 h", "80 min"] })";
    CHECK(tasks_text(expansion_of(buns(steps, 12)), "") == Lines{"bun.1.prove [0, 12) 60"});
    CHECK(tasks_text(expansion_of("times = \"long\"\n" + buns(steps, 12)), "") == Lines{"bun.1.prove [0, 12) 80"});
}

TEST_CASE("a programme runs straight on, in whole minutes that add up (o), (w)") {
    struct Row {
        std::string step;
        std::string stages;
    };
    const std::vector<Row> rows = {
        {R"(oven = ["200 C 10 min", "170 C 5 min"])", "200 C 10, 170 C 5"},
        // changes after 90 s and 180 s: minutes 2 and 3
        {R"(oven = ["200 C 90 s", "170 C 90 s"])", "200 C 2, 170 C 1"},
        {R"(takes = "30 min", oven = ["200 C 10 min", "170 C", "off 12 min"])",
         "200 C 10, 170 C 8, off for 12 min from 170 C 12"},
        {R"(takes = "30 min", oven = ["200 C", "off 12 min"])", "200 C 18, off for 12 min from 200 C 12"},
    };
    for (const Row& row : rows) {
        CAPTURE(row.step);
        const Expansion expansion = expansion_of(buns("{ name = \"bake\", tray = 3, " + row.step + " }", 12));
        CHECK(demands_text(expansion, "bun.1.bake.1") == Lines{"4 oven [start, end), " + row.stages});
    }
}

TEST_CASE("a door that stays shut seals the oven from the load's start") {
    const Expansion expansion =
        expansion_of(buns(R"({ name = "bake", takes = "30 min", oven = "180 C", tray = 3, door_shut = "25 min" })", 3));
    CHECK(demands_text(expansion, "bun.1.bake.1") == Lines{"oven [start, end), 180 C 30, sealed 25"});
}

}  // namespace
}  // namespace oventide::test
