// What goes into each batch, against published baker's percentages and by the conservation of what goes in.

#include <doctest/doctest.h>

#include <string>

#include "oventide/quantities.hpp"
#include "support/planned.hpp"

namespace oventide {
namespace {

using test::plan_for_buns;
using test::Planned;
using test::planned;

constexpr std::int64_t kGram = 1'000'000;  // of Figure::millionths

/// A larder, and buns of one formula.
std::string buns(const std::string& larder, const std::string& head, int pieces = 12,
                 const std::string& steps = R"({ name = "mix", takes = "10 min", hands = true })") {
    std::string plan = plan_for_buns("[[component]]\nname = \"bun\"\n" + head + "\nsteps = [" + steps + "]\n", pieces);
    return larder.empty() ? plan : plan + "[larder]\n" + larder;
}

WeighedBatch only_batch(const Planned& day) {
    REQUIRE(day.timetable);
    const auto sheets = weigh(day.plan, *day.timetable);
    REQUIRE(sheets.size() == 1);
    return sheets.front();
}

}  // namespace

/// sourdough.co.uk: 1000 g of flour, 600 water, 2 yeast, 10 salt are 100, 60, 0.2 and 1 %; their sum is 161.2 %.
TEST_CASE("baker's percentages as published") {
    const Planned day =
        planned(buns("flour = { flour = true }\nwater = {}\nyeast = {}\nsalt = {}\n",
                     "makes = 12\ningredients = { flour = \"1000 g\", water = \"600 g\", yeast = \"2 g\", "
                     "salt = \"10 g\" }"));
    const WeighedBatch sheet = only_batch(day);
    REQUIRE(sheet.lines.size() == 4);
    CHECK(sheet.lines[0].of_flour == 1'000'000);
    CHECK(sheet.lines[1].of_flour == 600'000);
    CHECK(sheet.lines[2].of_flour == 2'000);
    CHECK(sheet.lines[3].of_flour == 10'000);
    CHECK(sheet.of_flour == 1'612'000);
    CHECK(sheet.mass == Figure{Measure::mass, 1612 * kGram});
}

/// bakingbusiness.com, dictionary: 10 lb of flour and 5 lb of water are 50 %. Two flours count as one.
TEST_CASE("baker's percentages in pounds, and of all flour together") {
    const Planned day =
        planned(buns("white = { flour = true }\nrye = { flour = true }\nwater = {}\n",
                     "makes = 12\ningredients = { white = \"8 lb\", rye = \"2 lb\", water = \"5 lb\" }"));
    const WeighedBatch sheet = only_batch(day);
    CHECK(sheet.lines[0].of_flour == 800'000);
    CHECK(sheet.lines[2].of_flour == 500'000);
    CHECK(sheet.of_flour == 1'500'000);
}

TEST_CASE("nothing is called flour by its name alone, and an unknown weight is said to be unknown") {
    const Planned plain = planned(buns("", "makes = 12\ningredients = { flour = \"1 kg\", water = \"600 ml\" }"));
    const WeighedBatch sheet = only_batch(plain);
    CHECK_FALSE(sheet.lines[0].of_flour);
    CHECK(sheet.lines[1].amount == Figure{Measure::volume, 600 * kGram});
    CHECK_FALSE(sheet.lines[1].mass);
    CHECK_FALSE(sheet.mass);

    const Planned marked = planned(buns("flour = { flour = true }\nwater = {}\n",
                                        "makes = 12\ningredients = { flour = \"1 kg\", water = \"600 ml\" }"));
    CHECK(only_batch(marked).lines[0].of_flour == 1'000'000);
    CHECK_FALSE(only_batch(marked).lines[1].of_flour);
    CHECK_FALSE(only_batch(marked).of_flour);
}

TEST_CASE("volumes and pieces are weighed by density, piece, and what is trimmed off") {
    const Planned day = planned(buns(
        "milk = { density = \"1.03 kg/l\" }\negg = { size = \"M\" }\npear = { piece = \"200 g\", trim = \"25 %\" }\n",
        "makes = 12\ningredients = { milk = \"500 ml\", egg = 4, pear = 2 }"));
    const WeighedBatch sheet = only_batch(day);
    CHECK(sheet.lines[0].mass == Figure{Measure::mass, 515 * kGram});
    CHECK(sheet.lines[1].amount == Figure{Measure::pieces, 4 * kGram});
    // The middle of M, 58 g, less a tenth of shell.
    CHECK(sheet.lines[1].mass == Figure{Measure::mass, 208'800'000});
    CHECK(sheet.lines[2].mass == Figure{Measure::mass, 300 * kGram});
}

TEST_CASE("each batch gets its share of the formula, and a piece its weight") {
    const Planned day = planned(buns("", "makes = 12\nloss = \"12 %\"\ningredients = { flour = \"1 kg\" }", 18));
    REQUIRE(day.timetable);
    const auto sheets = weigh(day.plan, *day.timetable);
    REQUIRE(sheets.size() == 2);
    CHECK(sheets[0].batch == 1);
    CHECK(sheets[0].needed <= sheets[1].needed);
    std::int64_t all = 0;
    for (const WeighedBatch& sheet : sheets) all += sheet.lines[0].amount.millionths;
    CHECK(all == 1'500 * kGram);
    CHECK(sheets[0].each == Figure{Measure::mass, 83'333'333});
    CHECK(sheets[0].each_after_loss == Figure{Measure::mass, 73'333'333});
}

TEST_CASE("what of other components goes in stands on the sheet too") {
    const std::string text = plan_for_buns(R"(
[[component]]
name = "jam"
makes = "1 kg"
ingredients = { plums = "1 kg" }
steps = [{ name = "cook", takes = "10 min", hands = true, uses = "hob" }]
[[component]]
name = "bun"
makes = 12
ingredients = { flour = "600 g" }
steps = [
  { name = "mix", takes = "10 min", hands = true },
  { name = "fill", takes = "10 min", hands = true, with = { jam = "20 g" } },
]
)");
    const Planned day = planned(text);
    REQUIRE(day.timetable);
    const auto sheets = weigh(day.plan, *day.timetable);
    REQUIRE(sheets.size() == 2);
    const WeighedBatch& bun = sheets[0].component == 1 ? sheets[0] : sheets[1];
    const WeighedBatch& jam = sheets[0].component == 1 ? sheets[1] : sheets[0];
    CHECK(jam.lines[0].amount == Figure{Measure::mass, 240 * kGram});
    REQUIRE(bun.drawn.size() == 1);
    CHECK(bun.drawn[0].component == 0);
    CHECK(bun.drawn[0].amount == 240'000);
    CHECK(bun.drawn[0].step == 1);
    CHECK_FALSE(bun.each);
}

// --------------------------------------------------------------------------------------------------- the bowl

TEST_CASE("what is only put together from other components is on the sheet for what it takes of them") {
    for (const char* own : {"ingredients = {}", ""}) {
        const std::string text = plan_for_buns(
            R"(
[[component]]
name = "jam"
makes = "1 kg"
ingredients = { plums = "1 kg" }
steps = [{ name = "cook", takes = "10 min", hands = true, uses = "hob" }]
[[component]]
name = "bun"
makes = 12
)" + std::string(own) +
            "\nsteps = [{ name = \"fill\", takes = \"10 min\", hands = true, with = { jam = \"20 g\" } }]\n");
        const Planned day = planned(text);
        REQUIRE(day.timetable);
        const auto sheets = weigh(day.plan, *day.timetable);
        REQUIRE(sheets.size() == 2);
        CHECK(sheets[1].component == 1);
        CHECK(sheets[1].lines.empty());
        CHECK_FALSE(sheets[1].mass);
        REQUIRE(sheets[1].drawn.size() == 1);
        CHECK(sheets[1].drawn[0].amount == 240'000);
    }
}

TEST_CASE("the bowl is filled by what the ingredients weigh") {
    const auto batches = [](const std::string& head) {
        const std::string steps = R"({ name = "mix", takes = "10 min", hands = true, uses = "mixer" })";
        std::string text = buns("egg = { size = \"M\" }\nflour = {}\nwater = {}\n", head, 24, steps);
        text.replace(text.find("[[kitchen.mixer]]"), 17, "[[kitchen.mixer]]\nbowl = \"1.2 kg\"");
        const Planned day = planned(text);
        std::vector<std::int64_t> amounts;
        for (const Batch& batch : day.expansion.batches) amounts.push_back(batch.share.to - batch.share.from);
        // Where the cook says what lies in the bowl, the rest of a formula may go elsewhere.
        if (day.plan.components[0].ingredients && head.find("bowl_weight") == std::string::npos)
            for (const WeighedBatch& sheet : weigh(day.plan, *day.timetable))
                if (sheet.mass) CHECK(sheet.mass->millionths <= 1'200 * kGram);
        return amounts;
    };
    using Amounts = std::vector<std::int64_t>;
    // 700 + 5 * 58 * 0.9 = 961 g in the bowl for 12: 14 fit into 1.2 kg.
    CHECK(batches("makes = 12\ningredients = { flour = \"700 g\", egg = 5 }") == Amounts{14, 10});
    // What the cook says of the bowl counts: only a part goes in.
    CHECK(batches("makes = 12\nbowl_weight = \"600 g\"\ningredients = { flour = \"700 g\", egg = 5 }") == Amounts{24});
    // Not known: a batch is one formula at most.
    CHECK(batches("makes = 12\ningredients = { flour = \"700 g\", water = \"200 ml\" }") == Amounts{12, 12});
    CHECK(batches("makes = 12") == Amounts{12, 12});
}

TEST_CASE("a mass that is mixed counts with what goes in, and with what is drawn into the bowl") {
    const std::string text = plan_for_buns(R"(
[[component]]
name = "custard"
makes = "1 kg"
ingredients = {}
steps = [{ name = "cook", takes = "10 min", hands = true }]
[[component]]
name = "cream"
makes = "1 kg"
loss = "20 %"
ingredients = { butter = "650 g" }
steps = [{ name = "whip", takes = "10 min", hands = true, uses = "mixer", with = { custard = "600 g" } }]
[[component]]
name = "bun"
makes = 12
ingredients = {}
steps = [{ name = "fill", takes = "10 min", hands = true, with = { cream = "50 g" } }]
)");
    std::string bowl = text;
    bowl.replace(bowl.find("[[kitchen.mixer]]"), 17, "[[kitchen.mixer]]\nbowl = \"5 kg\"");
    const Plan plan = test::plan_of(bowl);
    CHECK(plan.components[1].bowl_weight == 1'250'000);
    // No bowl has a size: what it makes, as ever.
    CHECK(test::plan_of(text).components[1].bowl_weight == 1'000'000);
}

TEST_CASE("what a formula makes follows from what goes in, less the loss") {
    const Plan plan = test::plan_of(plan_for_buns(R"(
[[component]]
name = "jam"
loss = "20 %"
ingredients = { plums = "1 lb", sugar = "1/2 lb" }
steps = [{ name = "cook", takes = "10 min", hands = true }]
[[component]]
name = "bun"
makes = 12
steps = [{ name = "fill", takes = "10 min", hands = true, with = { jam = "20 g" } }]
)"));
    // 1.5 * 453.59237 * 0.8 = 544.310844 g, rounded down.
    CHECK(plan.components[0].makes == Amount{Amount::Unit::milligrams, 544'310});
}

}  // namespace oventide
