/// Contract 9 and fine print (v), (y), (z): queues of sales and uses, batches, shares of a mass.

#include "expand/amounts.hpp"

#include <doctest/doctest.h>
#include <fmt/format.h>

#include <random>
#include <string>

#include "support/expansion_text.hpp"
#include "support/plan_text.hpp"
#include "support/planned.hpp"

namespace oventide::test {
namespace {

using Lines = std::vector<std::string>;

std::string orders(const std::string& first, const std::string& second) {
    return "timezone = \"UTC\"\nfrom = 2026-10-01T00:00:00\n" + std::string(kKitchen) +
           "[[order]]\nname = \"first\"\npickup = 2026-10-03T12:00:00\nitems = { " + first + " }\n" +
           "[[order]]\nname = \"second\"\npickup = 2026-10-03T18:00:00\nitems = { " + second + " }\n";
}

TEST_CASE("full batches, the rest last (v)") {
    const char* components = R"(
[[component]]
name  = "bun"
makes = "12 pieces"
steps = [{ name = "mix", takes = "10 min" }]
)";
    struct Row {
        int pieces;
        Lines batches;
    };
    const std::vector<Row> rows = {
        {1, {"bun 1 [0, 1)"}},
        {11, {"bun 1 [0, 11)"}},
        {12, {"bun 1 [0, 12)"}},
        {13, {"bun 1 [0, 12)", "bun 2 [12, 13)"}},
        {30, {"bun 1 [0, 12)", "bun 2 [12, 24)", "bun 3 [24, 30)"}},
    };
    for (const Row& row : rows) {
        CAPTURE(row.pieces);
        const Plan plan = plan_of(plan_for_buns(components, row.pieces));
        CHECK(batches_text(plan, expansion_of(plan), "bun") == row.batches);
    }
}

TEST_CASE("'most' limits what a bowl would take, and grows what no bowl limits") {
    const auto buns = [](const char* step, const char* most) {
        return std::string(
                   "[[component]]\nname = \"bun\"\nmakes = \"12 "
                   "pieces\"\nbowl_weight = \"1 kg\"\n") +
               most + "\nsteps = [{ name = \"mix\", takes = \"10 min\"" + step + " }]\n";
    };
    struct Row {
        const char* step;
        const char* most;
        Lines batches;
    };
    // The bowl takes 48.
    const std::vector<Row> rows = {
        {", uses = \"mixer\"", "", {"bun 1 [0, 48)", "bun 2 [48, 60)"}},
        {", uses = \"mixer\"", "most = \"20 pieces\"", {"bun 1 [0, 20)", "bun 2 [20, 40)", "bun 3 [40, 60)"}},
        {", uses = \"mixer\"", "most = \"600 pieces\"", {"bun 1 [0, 48)", "bun 2 [48, 60)"}},
        {"", "most = \"40 pieces\"", {"bun 1 [0, 40)", "bun 2 [40, 60)"}},
        {"", "most = \"6 pieces\"\neven = true", Lines(10)},
    };
    for (const Row& row : rows) {
        CAPTURE(row.most);
        std::string text = plan_for_buns(buns(row.step, row.most).c_str(), 60);
        text.insert(text.find("[[kitchen.hob]]"), "bowl = \"4 kg\"\n");
        const Plan plan = plan_of(text);
        const Lines batches = batches_text(plan, expansion_of(plan), "bun");
        if (row.batches.front().empty())
            CHECK(batches.size() == row.batches.size());
        else
            CHECK(batches == row.batches);
    }
}

TEST_CASE("batches alike, where the component asks for it") {
    const std::string components = R"(
[[component]]
name  = "bun"
makes = "12 pieces"
even  = true
best_within = "3 h"
steps = [{ name = "mix", takes = "10 min" }]
)";
    struct Row {
        int pieces;
        Lines batches;
    };
    const std::vector<Row> rows = {
        {1, {"bun 1 [0, 1)"}},
        {12, {"bun 1 [0, 12)"}},
        {13, {"bun 1 [0, 7)", "bun 2 [7, 13)"}},
        {25, {"bun 1 [0, 9)", "bun 2 [9, 17)", "bun 3 [17, 25)"}},
        {36, {"bun 1 [0, 12)", "bun 2 [12, 24)", "bun 3 [24, 36)"}},
    };
    for (const Row& row : rows) {
        CAPTURE(row.pieces);
        const Plan plan = plan_of(plan_for_buns(components, row.pieces));
        CHECK(batches_text(plan, expansion_of(plan), "bun") == row.batches);
    }
    // What the evening's order cannot wait with is not evened out with it.
    const Plan two = plan_of(orders("bun = 13", "bun = 20") + components);
    CHECK(batches_text(two, expansion_of(two), "bun") ==
          Lines{"bun 1 [0, 7)", "bun 2 [7, 13)", "bun 3 [13, 23)", "bun 4 [23, 33)"});
    // The first and the third order may each wait with the second, but not with each other: two full batches do.
    const Plan chained = plan_of(orders("bun = 8", "bun = 12") +
                                 "[[order]]\nname = \"third\"\npickup = 2026-10-03T22:00:00\nitems = { bun = 4 }\n"
                                 "[[component]]\nname = \"bun\"\nmakes = \"12 pieces\"\neven = true\n"
                                 "best_within = \"6 h\"\nsteps = [{ name = \"mix\", takes = \"10 min\" }]\n");
    CHECK(batches_text(chained, expansion_of(chained), "bun") == Lines{"bun 1 [0, 12)", "bun 2 [12, 24)"});
}

TEST_CASE("batches alike: the referee, which cuts them in its own way, agrees") {
    std::mt19937 random(1);
    const auto up_to = [&](std::uint32_t most) { return 1 + random() % most; };
    for (int day = 0; day < 60; ++day) {
        CAPTURE(day);
        std::string text = "timezone = \"UTC\"\nfrom = 2026-10-01T00:00:00\n" + std::string(kKitchen);
        const std::uint32_t orders = up_to(6);
        for (std::uint32_t hour = 4, order = 0; order < orders; ++order, hour += up_to(3))
            text +=
                fmt::format("[[order]]\nname = \"{0}\"\npickup = 2026-10-03T{1:02}:00:00\nitems = {{ bun = {2} }}\n",
                            order, hour, up_to(20));
        text += fmt::format(
            "[[component]]\nname = \"bun\"\nmakes = \"{} pieces\"\neven = true\nbest_within = \"{} h\"\n"
            "steps = [{{ name = \"mix\", takes = \"10 min\" }}]\n",
            2 + up_to(10), up_to(5));
        CHECK(planned(text, 1).timetable);
    }
}

TEST_CASE("a batch grows to what the smallest bowl takes, in whole pieces") {
    const std::string kitchen = R"(
timezone = "UTC"
[kitchen]
[[kitchen.crew]]
name  = "Ada"
hours = "05:00-20:00"
[[kitchen.mixer]]
name = "big"
bowl = "5 kg"
[[kitchen.mixer]]
name = "small"
bowl = "2 kg"
[[kitchen.mixer]]
name = "bottomless"
[[order]]
name   = "Ladder Street"
pickup = 2026-10-03T12:00:00
items  = { bun = 100 }
)";
    struct Row {
        std::string name;
        std::string component;
        Lines batches;
    };
    const std::vector<Row> rows = {
        // 12 * 2 kg / 700 g = 34.28...
        {"any mixer: the smallest bowl",
         "bowl_weight = \"700 g\"\nsteps = [{ name = \"mix\", takes = \"1 min\", uses = \"mixer\" }]",
         {"bun 1 [0, 34)", "bun 2 [34, 68)", "bun 3 [68, 100)"}},
        // 12 * 5 kg / 700 g = 85.7...
        {"the big mixer alone",
         "bowl_weight = \"700 g\"\nsteps = [{ name = \"mix\", takes = \"1 min\", uses = \"big\" }]",
         {"bun 1 [0, 85)", "bun 2 [85, 100)"}},
        // 12 * 2 kg / 9 kg = 2.67
        {"a formula too heavy for the bowl makes smaller batches",
         "bowl_weight = \"9 kg\"\nsteps = [{ name = \"mix\", takes = \"1 min\", uses = \"big\" }]",
         {"bun 1 [0, 6)", "bun 2 [6, 12)", "bun 3 [12, 18)", "bun 4 [18, 24)", "bun 5 [24, 30)", "bun 6 [30, 36)",
          "bun 7 [36, 42)", "bun 8 [42, 48)", "bun 9 [48, 54)", "bun 10 [54, 60)", "bun 11 [60, 66)", "bun 12 [66, 72)",
          "bun 13 [72, 78)", "bun 14 [78, 84)", "bun 15 [84, 90)", "bun 16 [90, 96)", "bun 17 [96, 100)"}},
        {"no bowl: one formula",
         "bowl_weight = \"100 g\"\nsteps = [{ name = \"mix\", takes = \"1 min\", uses = \"bottomless\" }]",
         {"bun 1 [0, 12)", "bun 2 [12, 24)", "bun 3 [24, 36)", "bun 4 [36, 48)", "bun 5 [48, 60)", "bun 6 [60, 72)",
          "bun 7 [72, 84)", "bun 8 [84, 96)", "bun 9 [96, 100)"}},
        {"two mixers in turn: the smaller bowl",
         "bowl_weight = \"300 g\"\nsteps = [{ name = \"mix\", takes = \"1 min\", uses = \"big\" }, "
         "{ name = \"beat\", takes = \"1 min\", uses = \"small\" }]",
         {"bun 1 [0, 80)", "bun 2 [80, 100)"}},
    };
    for (const Row& row : rows) {
        CAPTURE(row.name);
        const Plan plan = plan_of(kitchen + "[[component]]\nname = \"bun\"\nmakes = \"12 pieces\"\n" + row.component);
        CHECK(batches_text(plan, expansion_of(plan), "bun") == row.batches);
    }
    CHECK(refusal_of(kitchen + "[[component]]\nname = \"bun\"\nmakes = \"12 pieces\"\nbowl_weight = \"25 kg\"\n" +
                     "steps = [{ name = \"mix\", takes = \"1 min\", uses = \"small\" }]") ==
          "not even one piece of bun fits into the bowl of small\n");
}

// first  12:00   8 buns     pooled while 12:00 and 18:00 are no further apart than the buns keep
// second 18:00   8 buns
TEST_CASE("orders are pooled while the pickups lie no further apart than it keeps and is best within (z)") {
    const std::string head = orders("bun = 8", "bun = 8") + "[[component]]\nname = \"bun\"\nmakes = \"12 pieces\"\n";
    const Lines pooled = {"bun 1 [0, 12)", "bun 2 [12, 16)"};
    const Lines apart = {"bun 1 [0, 8)", "bun 2 [8, 16)"};
    struct Row {
        std::string limits;
        std::string step_keeps;
        Lines batches;
    };
    const std::vector<Row> rows = {
        {"", "", pooled},
        {"keeps = \"6 h\"\n", "", pooled},
        {"keeps = \"5h59m\"\n", "", apart},
        {"best_within = \"6 h\"\n", "", pooled},
        {"best_within = \"5h59m\"\n", "", apart},
        {"keeps = \"2 days\"\nbest_within = \"1 h\"\n", "", apart},
        {"", ", keeps = \"6 h\"", pooled},
        {"", ", keeps = \"5h59m\"", apart},
        {"keeps = \"1 day\"\n", ", keeps = \"5h59m\"", apart},
    };
    for (const Row& row : rows) {
        CAPTURE(row.limits);
        CAPTURE(row.step_keeps);
        const Plan plan =
            plan_of(head + row.limits + "steps = [{ name = \"cool\", takes = \"10 min\"" + row.step_keeps + " }]");
        CHECK(batches_text(plan, expansion_of(plan), "bun") == row.batches);
    }
}

TEST_CASE("a batch says which orders it serves, and with how much") {
    const Plan plan = plan_of(orders("bun = 8", "bun = 8") +
                              "[[component]]\nname = \"bun\"\nmakes = \"12 pieces\"\n"
                              "steps = [{ name = \"cool\", takes = \"10 min\" }]");
    const Expansion expansion = expansion_of(plan);
    REQUIRE(expansion.batches.size() == 2);
    REQUIRE(expansion.batches[0].sales.size() == 2);
    CHECK(expansion.batches[0].sales[0].order == 0);
    CHECK(expansion.batches[0].sales[0].amount == 8);
    CHECK(expansion.batches[0].sales[1].order == 1);
    CHECK(expansion.batches[0].sales[1].amount == 4);
    REQUIRE(expansion.batches[1].sales.size() == 1);
    CHECK(expansion.batches[1].sales[0].amount == 4);
    CHECK(expansion.batches[0].weight == 12);
    CHECK(expansion.batches[1].weight == 4);
}

//   queue of cream, 35 g a tart and 10 g a bun; cream makes 500 g
//
//   first   12:00  tart 20 (one batch)  700 g  [0, 700)
//   second  18:00  cream 50 g           sold   [700, 750)    sale before use where the pickups are equal
//                  bun 10               100 g  [750, 850)
TEST_CASE("sale and use are one queue, in the order of pickups, then as written (y)") {
    const Plan plan = plan_of(orders("tart = 20", "bun = 10, cream = \"50 g\"") + R"(
[[component]]
name  = "bun"
makes = "12 pieces"
steps = [{ name = "fill", takes = "10 min", with = { cream = "10 g" } }]
[[component]]
name  = "tart"
makes = "24 pieces"
steps = [{ name = "fill", takes = "10 min", with = { cream = "35 g" } }]
[[component]]
name  = "cream"
makes = "500 g"
steps = [{ name = "whip", takes = "10 min" }]
)");
    const Expansion expansion = expansion_of(plan);
    CHECK(batches_text(plan, expansion, "cream") == Lines{"cream 1 [0, 500000)", "cream 2 [500000, 850000)"});
    // 500 g of 700 g for 20 tarts: 14 (14.28...) of them, and 6 for the rest.
    CHECK(food_text(plan, expansion) == Lines{"cream 1 -> tart 1 / 0: 500000 (14)", "cream 2 -> tart 1 / 0: 200000 (6)",
                                              "cream 2 -> bun 1 / 0: 100000 (10)"});
    REQUIRE(expansion.batches.size() == 4);
    CHECK(expansion.batches[2].weight == 14);
    // 6 tarts, 10 buns, and what is collected counts as one piece a kilogram.
    CHECK(expansion.batches[3].weight == 17);
}

//   tart 30 pieces, makes 12: [0,12) [12,24) [24,30)
//   case 1 each,    makes 8:  [0,8) [8,16) [16,24) [24,30)
TEST_CASE("user pieces [a, b) need the batches that meet [a, b) (y)") {
    const Plan plan = plan_of(orders("tart = 30", "tart = 1") + R"(
[[component]]
name  = "tart"
makes = "12 pieces"
keeps = "1 h"
steps = [{ name = "fill", takes = "10 min", with = { case = 1 } }]
[[component]]
name  = "case"
makes = "8 pieces"
steps = [{ name = "bake", takes = "10 min" }]
)");
    const Expansion expansion = expansion_of(plan);
    CHECK(food_text(plan, expansion) == Lines{"case 1 -> tart 1 / 0: 8 (8)", "case 2 -> tart 1 / 0: 4 (4)",
                                              "case 2 -> tart 2 / 0: 4 (4)", "case 3 -> tart 2 / 0: 8 (8)",
                                              "case 4 -> tart 3 / 0: 6 (6)", "case 4 -> tart 4 / 0: 1 (1)"});
}

TEST_CASE("several pieces into one, and a mass into a mass, split so that they add up") {
    // 5 towers of 3 discs: 15 discs in batches of 7; a disc takes 20 g of paste: 300 g; a kilogram of paste 333.333 g
    // of nuts: 99.9999 g, rounded up to the milligram.
    const Plan plan = plan_of(plan_for_buns(R"(
[[component]]
name  = "bun"
makes = "5 pieces"
steps = [{ name = "stack", takes = "10 min", with = { disc = 3 } }]
[[component]]
name  = "disc"
makes = "7 pieces"
steps = [{ name = "bake", takes = "10 min", with = { paste = "20 g" } }]
[[component]]
name  = "paste"
makes = "200 g"
steps = [{ name = "grind", takes = "10 min", with = { nuts = "333.333 g" } }]
[[component]]
name  = "nuts"
makes = "60 g"
steps = [{ name = "roast", takes = "10 min" }]
)",
                                            5));
    const Expansion expansion = expansion_of(plan);
    CHECK(batches_text(plan, expansion, "disc") == Lines{"disc 1 [0, 7)", "disc 2 [7, 14)", "disc 3 [14, 15)"});
    CHECK(batches_text(plan, expansion, "paste") == Lines{"paste 1 [0, 200000)", "paste 2 [200000, 300000)"});
    // 200 g -> 66666.6 mg and 100 g -> 33333.3 mg, each rounded up.
    CHECK(batches_text(plan, expansion, "nuts") == Lines{"nuts 1 [0, 60000)", "nuts 2 [60000, 100001)"});
    // Discs count themselves where they are used: bun 1 is 5 pieces, of which floor(5 * 7 / 15) = 2 with the first.
    CHECK(food_text(plan, expansion) == Lines{"disc 1 -> bun 1 / 0: 7 (2)", "disc 2 -> bun 1 / 0: 7 (2)",
                                              "disc 3 -> bun 1 / 0: 1 (1)", "paste 1 -> disc 1 / 0: 140000 (7)",
                                              "paste 1 -> disc 2 / 0: 60000 (3)", "paste 2 -> disc 2 / 0: 80000 (4)",
                                              "paste 2 -> disc 3 / 0: 20000 (1)", "nuts 1 -> paste 1 / 0: 60000 (8)",
                                              "nuts 2 -> paste 1 / 0: 6667 (2)", "nuts 2 -> paste 2 / 0: 33334 (5)"});
    std::vector<std::int64_t> weights;
    for (const Batch& batch : expansion.batches) weights.push_back(batch.weight);
    CHECK(weights == std::vector<std::int64_t>{5, 7, 7, 1, 10, 5, 8, 7});
}

TEST_CASE("what nobody orders or uses is not made") {
    const Plan plan = plan_of(plan_for_buns(R"(
[[component]]
name  = "bun"
makes = "12 pieces"
steps = [{ name = "mix", takes = "10 min" }]
[[component]]
name  = "icing"
makes = "1 kg"
steps = [{ name = "stir", takes = "10 min" }]
)"));
    CHECK(tasks_text(expansion_of(plan), "") == Lines{"bun.1.mix [0, 12) 10"});
}

TEST_CASE("too much is an error before memory is taken") {
    // The reader knows this limit too: the amount is raised behind its back.
    Plan towers = plan_of(plan_for_buns(R"(
[[component]]
name  = "bun"
makes = "5 pieces"
steps = [{ name = "stack", takes = "10 min", with = { disc = 1 } }]
[[component]]
name  = "disc"
makes = "1000000 pieces"
steps = [{ name = "bake", takes = "10 min" }]
)",
                                        1001));
    towers.components[0].steps[0].draws[0].each.count = 1000;
    CHECK(refusal_of(towers) == "the orders come to more than 1000000 pieces of disc\n");
    const std::string singles = plan_for_buns(R"(
[[component]]
name  = "bun"
makes = "1 piece"
steps = [{ name = "mix", takes = "10 min" }, { name = "bake", takes = "10 min" }]
)",
                                              1'000'000);
    CHECK(refusal_of(singles) ==
          "with all batches and loads the plan comes to more than 50000 steps, counted up to bun\n");
}

}  // namespace
}  // namespace oventide::test
