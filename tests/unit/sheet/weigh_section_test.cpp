// The weigh sheet on the day sheet.

#include "sheet/weigh_section.hpp"

#include <doctest/doctest.h>

#include "oventide/sheet.hpp"
#include "support/planned.hpp"

using namespace oventide;
using namespace oventide::test;

namespace {

std::string sheet_of(const std::string& ingredients) {
    const Planned day = planned(plan_for_buns("[[component]]\nname = \"bun\"\nmakes = 12\n" + ingredients +
                                              "\nsteps = [{ name = \"mix\", takes = \"10 min\", hands = true }]\n"));
    REQUIRE(day.timetable);
    return sheet::write(day.plan, day.zone, *day.timetable, {});
}

bool has(const std::string& text, const std::string& part) { return text.find(part) != std::string::npos; }

}  // namespace

TEST_CASE("a batch that goes into another one is named by its number where it has several") {
    const auto page = [](const std::string& jam) {
        const Planned day = planned(
            plan_for_buns("[[component]]\nname = \"bun\"\nmakes = 12\ningredients = { flour = \"600 g\" }\n"
                          "steps = [{ name = \"fill\", takes = \"10 min\", hands = true, with = { jam = \"50 g\" } }]\n"
                          "[[component]]\nname = \"jam\"\nmakes = \"600 g\"\ningredients = { plums = \"700 g\" }\n" +
                          jam + "steps = [{ name = \"boil\", takes = \"10 min\", hands = true }]\n"));
        REQUIRE(day.timetable);
        return sheet::write(day.plan, day.zone, *day.timetable, {});
    };
    CHECK(has(page(""), "<bdi>jam</bdi>, to <bdi>fill</bdi></th><td>600 g</td>"));
    CHECK(has(page("most = \"300 g\"\n"), "<bdi>jam</bdi>, batch 2, to <bdi>fill</bdi></th><td>300 g</td>"));
}

TEST_CASE("the day sheet has a weigh sheet where ingredients are given, and no empty one") {
    const std::string page = sheet_of("ingredients = { \"<b>flour & rye\" = \"600 g\", egg = 2 }");
    CHECK(has(page, "<h2>Weigh sheet</h2>"));
    CHECK(has(page, "<bdi>&lt;b&gt;flour &amp; rye</bdi></th><td>600 g</td>"));
    CHECK(has(page, "<bdi>egg</bdi></th><td>2</td>"));
    CHECK(has(page, "not known"));
    CHECK_FALSE(has(page, "<b>flour"));
    // Mixed from 11:35, for noon less a quarter of an hour's margin; all on one day, whose name nobody needs.
    CHECK(has(page, "<caption><bdi>bun</bdi>, for 12: weighed by 11:35</caption>"));
    CHECK_FALSE(has(page, "That is"));
    CHECK_FALSE(has(page, "Of flour"));
    CHECK_FALSE(has(sheet_of(""), "Weigh sheet"));
    CHECK_FALSE(has(sheet_of("ingredients = {}"), "Weigh sheet"));
}
