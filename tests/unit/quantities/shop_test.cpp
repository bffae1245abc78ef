// What has to be bought.

#include <doctest/doctest.h>

#include <map>
#include <string>

#include "oventide/quantities.hpp"
#include "support/planned.hpp"

namespace oventide {
namespace {

using test::plan_for_buns;
using test::Planned;
using test::planned;

constexpr std::int64_t kUnit = 1'000'000;  // of Figure::millionths

std::string buns(const std::string& larder, const std::string& head, int pieces = 12) {
    return plan_for_buns("[[component]]\nname = \"bun\"\n" + head +
                             "\nsteps = [{ name = \"mix\", takes = \"10 min\", hands = true }]\n",
                         pieces) +
           "[larder]\n" + larder;
}

std::map<std::string, ShopLine> bought(const Planned& day) {
    REQUIRE(day.timetable);
    std::map<std::string, ShopLine> lines;
    for (const ShopLine& line : shop(day.plan, *day.timetable, day.zone).lines)
        lines[day.plan.ingredients[line.ingredient].name] = line;
    return lines;
}

}  // namespace

TEST_CASE("what is there is taken off, and packs are rounded up to whole ones") {
    const auto lines =
        bought(planned(buns("flour = { pack = \"1 kg\", have = \"700 g\" }\n"
                            "butter = { pack = \"250 g\" }\n"
                            "sugar = { have = \"2 kg\" }\n"
                            "salt = {}\nwater = { bought = false }\nunused = { pack = \"1 kg\" }\n",
                            "makes = 12\ningredients = { flour = \"1 kg\", butter = \"500 g\", sugar = "
                            "\"300 g\", salt = \"18 g\", water = \"1 l\" }",
                            24)));
    CHECK(lines.size() == 4);
    CHECK(lines.at("flour").needed == Figure{Measure::mass, 2'000 * kUnit});
    CHECK(lines.at("flour").missing == Figure{Measure::mass, 1'300 * kUnit});
    CHECK(lines.at("flour").packs == 2);
    CHECK(lines.at("flour").buy == Figure{Measure::mass, 2'000 * kUnit});
    CHECK(lines.at("flour").over == Figure{Measure::mass, 700 * kUnit});
    CHECK(lines.at("butter").packs == 4);
    CHECK(lines.at("butter").over.millionths == 0);
    CHECK(lines.at("sugar").missing.millionths == 0);
    CHECK(lines.at("sugar").buy.millionths == 0);
    CHECK(lines.at("salt").buy == Figure{Measure::mass, 36 * kUnit});
}

/// Twelve batches of a twelfth of a pound each are a pound: sums that are rounded on the way ask for a second pack.
TEST_CASE("a pack that is just enough is enough") {
    for (const char* formula : {"1/12 lb", "0.0833333333 lb"}) {
        CAPTURE(formula);
        const std::string text = buns("butter = { pack = \"1 lb\" }\n",
                                      std::string("makes = 1\ningredients = { butter = \"") + formula + "\" }", 12);
        if (std::string(formula) == "1/12 lb")
            CHECK(bought(planned(text)).at("butter").packs == 1);
        else
            CHECK(test::diagnostics_of(text) != "");  // no more than six decimals
    }
    const auto thirds = bought(planned(
        buns("milk = { pack = \"1 US gallon\" }\n", "makes = 7\ningredients = { milk = \"1/3 US cup\" }", 7 * 48)));
    CHECK(thirds.at("milk").packs == 1);
    CHECK(thirds.at("milk").over.millionths == 0);
    const auto more = bought(planned(
        buns("milk = { pack = \"1 US gallon\" }\n", "makes = 7\ningredients = { milk = \"1/3 US cup\" }", 7 * 48 + 1)));
    CHECK(more.at("milk").packs == 2);
}

TEST_CASE("what is trimmed off is bought too, and pieces are whole") {
    const auto lines =
        bought(planned(buns("pear = { piece = \"200 g\", trim = \"25 %\", have = 2 }\n"
                            "lemon = { piece = \"120 g\" }\n"
                            "milk = { density = \"1.03 kg/l\", pack = \"2 l\" }\n"
                            "egg = { size = \"M\", pack = 6 }\n",
                            "makes = 12\ningredients = { pear = \"1.5 kg\", lemon = 1, milk = \"1.03 kg\", "
                            "egg = \"522 g\" }",
                            18)));
    // 2.25 kg peeled are 3 kg as bought: 15 pears, two of them there.
    CHECK(lines.at("pear").needed == Figure{Measure::pieces, 15 * kUnit});
    CHECK(lines.at("pear").missing == Figure{Measure::pieces, 13 * kUnit});
    // One and a half lemons.
    CHECK(lines.at("lemon").missing == Figure{Measure::pieces, kUnit * 3 / 2});
    CHECK(lines.at("lemon").buy == Figure{Measure::pieces, 2 * kUnit});
    CHECK(lines.at("lemon").over == Figure{Measure::pieces, kUnit / 2});
    CHECK(lines.at("milk").needed == Figure{Measure::volume, 1'500 * kUnit});
    CHECK(lines.at("milk").packs == 1);
    // 783 g without shells, 52.2 g each: 15 eggs.
    CHECK(lines.at("egg").needed == Figure{Measure::pieces, 15 * kUnit});
    CHECK(lines.at("egg").packs == 3);
}

TEST_CASE("whites and yolks come out of the same eggs") {
    const std::string larder =
        "egg = { size = \"L\", pack = 10 }\n\"egg yolk\" = { of = \"egg\", share = \"30 %\" }\n"
        "\"egg white\" = { of = \"egg\", share = \"60 %\" }\n";
    const auto eggs = [&](const std::string& ingredients) {
        const Planned day = planned(buns(larder, "makes = 12\ningredients = " + ingredients));
        const auto lines = bought(day);
        REQUIRE(lines.size() == 1);
        return lines.at("egg").needed.millionths;
    };
    CHECK(eggs("{ \"egg yolk\" = 6, \"egg white\" = 4 }") == 6 * kUnit);
    CHECK(eggs("{ \"egg yolk\" = 6, \"egg white\" = 4, egg = 2 }") == 8 * kUnit);
    // A white of an egg of 68 g weighs 40.8 g.
    CHECK(eggs("{ \"egg white\" = \"204 g\", \"egg yolk\" = 1 }") == 5 * kUnit);
}

TEST_CASE("each day's needs add up to all") {
    std::string text = plan_for_buns(R"(
[[component]]
name = "bun"
makes = 12
ingredients = { flour = "700 g", butter = "1/3 lb" }
steps = [{ name = "mix", takes = "10 min", hands = true }, { name = "prove", takes = "20 h" }, { name = "shape", takes = "10 min", hands = true }]
[[component]]
name = "bread"
makes = 4
ingredients = { flour = "2 kg" }
steps = [{ name = "mix", takes = "10 min", hands = true }]
[[order]]
name   = "Bread"
pickup = 2026-10-03T12:00:00
items  = { bread = 6 }
)",
                                     30);
    const Planned day = planned(text);
    REQUIRE(day.timetable);
    const Shopping shopping = shop(day.plan, *day.timetable, day.zone);
    REQUIRE(shopping.days.size() == 2);
    CHECK(shopping.days[0].first < shopping.days[1].first);
    std::map<IngredientIndex, std::int64_t> by_day;
    for (const DayNeed& need : shopping.days)
        for (const DayNeed::Line& line : need.lines) by_day[line.ingredient] += line.needed.millionths;
    for (const ShopLine& line : shopping.lines) {
        // Each day is rounded once.
        CHECK(by_day.at(line.ingredient) >= line.needed.millionths - 1);
        CHECK(by_day.at(line.ingredient) <= line.needed.millionths + 1);
    }
    CHECK(shopping.lines[0].needed == Figure{Measure::mass, 4'750 * kUnit});

    // The weigh sheet and the shopping are of the same batches.
    std::map<IngredientIndex, std::int64_t> weighed;
    for (const WeighedBatch& sheet : weigh(day.plan, *day.timetable))
        for (const WeighLine& line : sheet.lines) weighed[line.ingredient] += line.amount.millionths;
    for (const ShopLine& line : shopping.lines) {
        CHECK(weighed.at(line.ingredient) >= line.needed.millionths - 5);
        CHECK(weighed.at(line.ingredient) <= line.needed.millionths + 5);
    }
}

}  // namespace oventide
