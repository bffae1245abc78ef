// The weigh sheet on the day sheet.

#include "sheet/weigh_section.hpp"

#include <doctest/doctest.h>

#include "oventide/sheet.hpp"
#include "support/planned.hpp"

using namespace oventide;
using namespace oventide::test;

namespace {

std::string sheet_of(const std::string& ingredients, int makes = 12) {
    const Planned day =
        planned(plan_for_buns("[[component]]\nname = \"bun\"\nmakes = " + std::to_string(makes) + "\n" + ingredients +
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
    CHECK(has(page(""), "<bdi>jam</bdi>, to <bdi>fill</bdi> at 11:35</th><td>600 g</td>"));
    CHECK(has(page("most = \"300 g\"\n"), "<bdi>jam</bdi>, batch 2, to <bdi>fill</bdi> at 11:35</th><td>300 g</td>"));
}

TEST_CASE("what is weighed on several days says on which: by the weekday within a week") {
    const auto page = [](const std::string& rest) {
        const Planned day = planned(plan_for_buns(
            "[[component]]\nname = \"bun\"\nmakes = 12\ningredients = { flour = \"600 g\" }\n"
            "steps = [{ name = \"fill\", takes = \"10 min\", hands = true, with = { jam = { each = \"50 g\", rest = "
            "\"" +
            rest +
            "\" } } }]\n[[component]]\nname = \"jam\"\nmakes = \"600 g\"\ningredients = { plums = \"700 g\" }\n"
            "steps = [{ name = \"boil\", takes = \"10 min\", hands = true }]\n"));
        REQUIRE(day.timetable);
        return sheet::write(day.plan, day.zone, *day.timetable, {});
    };
    // Filled at 11:35 on Saturday; boiled by then less the rest.
    CHECK(has(page("1 h"), "<bdi>jam</bdi>, for 600 g, by\u00a010:25</caption>"));
    CHECK(has(page("20 h"), "<bdi>jam</bdi>, for 600 g, by\u00a0Fri\u00a015:25</caption>"));
    CHECK(has(page("20 h"), "for 12 pieces, by\u00a0Sat\u00a011:35</caption>"));
}

TEST_CASE("what was made before is asked for by the steps that it goes into, not by the first one") {
    // Collected at noon, done by 11:45: cap from 11:40, and nothing but what was made goes in; fill from 11:30.
    const Planned day = planned(plan_for_buns(
        "[[component]]\nname = \"bun\"\nmakes = 12\ningredients = {}\nsteps = [\n"
        "{ name = \"fill\", takes = \"10 min\", hands = true, with = { jam = \"50 g\" } },\n"
        "{ name = \"cap\", takes = \"5 min\", hands = true, at_once = true, with = { cream = \"20 g\" } }]\n"
        "[[component]]\nname = \"jam\"\nmakes = \"600 g\"\ningredients = { plums = \"700 g\" }\n"
        "steps = [{ name = \"boil\", takes = \"10 min\", hands = true }]\n"
        "[[component]]\nname = \"cream\"\nmakes = \"240 g\"\ningredients = { milk = \"300 g\" }\n"
        "steps = [{ name = \"whip\", takes = \"3 min\", hands = true }]\n"));
    REQUIRE(day.timetable);
    const std::string page = sheet::write(day.plan, day.zone, *day.timetable, {});
    CHECK(has(page, "<caption><bdi>bun</bdi>, for 12 pieces, from\u00a011:30</caption>"));
    CHECK(has(page, "<bdi>jam</bdi>, to <bdi>fill</bdi> at 11:30</th>"));
    CHECK(has(page, "<bdi>cream</bdi>, to <bdi>cap</bdi> at 11:40</th>"));
    const std::string text = report::weigh_text(day.subject(), {});
    CHECK(has(text, "bun, for 12 pieces: put together from Sat 3 Oct 11:30\n"));
    CHECK(has(text, "[ ] 11:30 fill: jam"));
    CHECK(has(text, "[ ] 11:40 cap: cream"));
    CHECK(has(report::weigh_json(day.subject()), "\"step\": \"cap\""));
}

TEST_CASE("the day sheet has a weigh sheet where ingredients are given, and no empty one") {
    const std::string page = sheet_of("ingredients = { \"<b>flour & rye\" = \"600 g\", egg = 2 }");
    CHECK(has(page, "<h2>Weigh sheet</h2>"));
    CHECK(has(page, "<bdi>&lt;b&gt;flour &amp; rye</bdi></th><td>600 g</td>"));
    CHECK(has(page, "<bdi>egg</bdi></th><td>2</td>"));
    CHECK(has(page, "not known"));
    CHECK_FALSE(has(page, "<b>flour"));
    // Mixed from 11:35, for noon less a quarter of an hour's margin; all on one day, whose name nobody needs.
    CHECK(has(page, "<caption><bdi>bun</bdi>, for 12 pieces, by\u00a011:35</caption>"));
    CHECK_FALSE(has(page, "That is"));
    CHECK_FALSE(has(page, "Of flour"));
    CHECK_FALSE(has(page, "nine are taken"));
    CHECK(has(sheet_of("ingredients = { egg = 5 }", 24), "nine are taken"));
    CHECK_FALSE(has(sheet_of(""), "Weigh sheet"));
    CHECK_FALSE(has(sheet_of("ingredients = {}"), "Weigh sheet"));
}

TEST_CASE("what is put out to stand is on a list and on the weigh sheet as what it is, not as what it makes") {
    // Collected at noon, done by 11:45: beaten from 11:35; the butter out from 10:35. A tenth of it sticks to its
    // paper.
    const Planned day = planned(plan_for_buns(
        "[[component]]\nname = \"bun\"\nmakes = 12\nsteps = [{ name = \"beat\", takes = \"10 min\", hands = true, "
        "with = { \"soft butter\" = \"30 g\" } }]\n[[component]]\nname = \"soft butter\"\nmakes = \"900 g\"\n"
        "loss = \"10 %\"\ningredients = { \"butter <salted>\" = \"1 kg\" }\n"
        "steps = [{ name = \"soften\", takes = \"1 h\" }]\n"
        "[larder]\n\"butter <salted>\" = {}\n"));
    REQUIRE(day.timetable);
    const std::string page = sheet::write(day.plan, day.zone, *day.timetable, {});
    const std::size_t from = page.find("<div class=\"person\">");
    const std::string person = page.substr(from, page.find("<h2>Weigh sheet") - from);
    CHECK(has(person, "10:35: <bdi>soft butter</bdi>, to put out: 400 g <bdi>butter &lt;salted&gt;</bdi></li>"));
    CHECK(has(person, "<bdi>soft butter</bdi>: <bdi>soften</bdi> - put out: 400 g <bdi>butter &lt;salted&gt;</bdi>"));
    CHECK(has(page, "<caption><bdi>soft butter</bdi>, to put out by\u00a010:35</caption>"));
    CHECK_FALSE(has(person, "360 g</td>"));
}

TEST_CASE("of a day under way what has been weighed out is ticked, batch by batch and line by line") {
    const Planned day = planned(plan_for_buns(
        "[[component]]\nname = \"bun\"\nmakes = 12\ningredients = { flour = \"600 g\" }\n"
        "steps = [{ name = \"mix\", takes = \"10 min\", hands = true }, { name = \"fill\", takes = \"5 min\", hands = "
        "true, with = { jam = \"50 g\" } }]\n[[component]]\nname = \"jam\"\nmakes = \"600 g\"\n"
        "ingredients = { plums = \"700 g\" }\nsteps = [{ name = \"boil\", takes = \"20 min\", hands = true }]\n"));
    REQUIRE(day.timetable);
    const auto ticks = [&](std::optional<std::string> after) {
        sheet::Notes notes;
        for (const Row& row : day.timetable->rows)
            if (after == row.id) notes.now = row.start + Minutes{1};
        const std::string page = sheet::write(day.plan, day.zone, *day.timetable, notes);
        std::string text;
        const std::size_t from = page.find("<h2>Weigh sheet");
        for (const char* what : {"flour", "plums", "jam"}) {
            const std::size_t at = page.find(std::string("</span><bdi>") + what + "</bdi>", from);
            REQUIRE(at != std::string::npos);
            if (page.substr(at - 3, 3) == "\u2713") text += std::string(what) + " ";
        }
        return text;
    };
    CHECK(ticks(std::nullopt) == "");
    CHECK(ticks("jam.1.boil") == "plums ");
    CHECK(ticks("bun.1.mix") == "flour plums ");
    CHECK(ticks("bun.1.fill") == "flour plums jam ");
}
