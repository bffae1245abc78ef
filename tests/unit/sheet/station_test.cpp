/// Everybody's page of the day sheet, from a plan whose times can be worked out on paper.

#include <doctest/doctest.h>

#include <string>

#include "support/planned.hpp"

using namespace oventide;
using namespace oventide::test;

namespace {

/// Collected at noon, done by 11:45. Ben's buns: cool from 11:25, bake from 11:05, prove from 10:05, mix from 9:55; the
/// oven on at 10:47. Ada's pies: fill from 11:35, chill from 11:05, roll from 11:00.
const char* const kDay = R"(
timezone = "UTC"

[kitchen]
crew   = [{ name = "Ada", hours = "05:00-20:00" }, { name = "Ben", hours = "05:00-11:30" }]
oven   = [{ trays = 4, heats = "10 C/min", cools = "5 C/min" }]
fridge = [{ shelves = 10 }]
equipment = [{ name = "rack", count = 20 }]

[[order]]
name   = "Hall"
pickup = 2026-10-03T12:00:00
items  = { bun = 12, pie = 12 }

[[component]]
name  = "bun"
makes = "12 pieces"
steps = [
  { name = "mix",   takes = "10 min", hands = true, who = "Ben" },
  { name = "prove", takes = "1 h", uses = "fridge" },
  { name = "bake",  takes = "20 min", oven = "200 C", tray = 12, hands = { first = "2 min", last = "1 min" }, who = "Ben" },
  { name = "cool",  takes = "20 min", uses = "rack" },
]

[[component]]
name  = "pie"
makes = "12 pieces"
steps = [
  { name = "roll",  takes = "5 min", hands = true, who = "Ada" },
  { name = "chill", takes = "30 min", uses = "fridge" },
  { name = "fill",  takes = "10 min", hands = true, who = "Ada" },
]
)";

/// What a person's page says, without its marks.
std::string page_of(const std::string& html, const std::string& person) {
    const std::size_t from = html.find("<div class=\"person\"><h3><bdi>" + person);
    REQUIRE(from != std::string::npos);
    const std::string part = html.substr(from, html.find("</p>\n</div>", from) - from);
    std::string text;
    bool inside = false;
    for (const char c : part) {
        inside = c == '<' || (inside && c != '>');
        if (c == '<') text += text.empty() || text.back() == ' ' ? "" : " ";
        if (!inside && c != '>') text += c == '\n' ? ' ' : c;
    }
    return text;
}

std::string without_spaces(std::string text) {
    for (std::size_t at = text.find("\u00a0"); at != std::string::npos; at = text.find("\u00a0")) text.erase(at, 2);
    std::erase(text, ' ');
    return text;
}

bool says(const std::string& page, const std::string& part) {
    return without_spaces(page).find(without_spaces(part)) != std::string::npos;
}

}  // namespace

TEST_CASE("everybody has a page: who is when there for what, what to have ready and to mind, and what is done") {
    const Planned day = planned(kDay);
    const auto subject = day.subject();
    const std::string html = sheet::write(day.plan, day.zone, *day.timetable, report::sheet_notes(subject, {}));
    const std::string ada = page_of(html, "Ada"), ben = page_of(html, "Ben");

    CHECK(says(ada, "Sat 3 Oct 11:00 to 11:45 For Sat 12:00 Hall"));
    CHECK(says(ben, "Sat 3 Oct 09:55 to 11:25 For Sat 12:00 Hall"));
    CHECK(says(ada, "Have ready clean and free: fridge Have weighed out, by 11:00: pie for 12 pieces"));
    CHECK(says(ben, "clean and free: fridge, oven Have weighed out, by 09:55: bun for 12 pieces"));
    CHECK(says(ben, "Mind Burns: ovens and trays are hot"));
    CHECK_FALSE(says(ada, "Burns"));

    // An oven's line says what for, a step what has waited in the cold for it, and how long it can wait itself.
    CHECK(says(ben, "10:47 oven : switch on, 200 C, ready 11:05 - for bun"));
    CHECK(says(ben, "bun : bake - into oven at 200 C, 20 min (from fridge)"));
    CHECK(says(ada, "pie : fill (from fridge)"));
    CHECK(says(ada, "12 0 +15m"));
    CHECK(says(ben, "Slip: how much later it can start"));

    // Paper has the name for notes where a step begins, and nowhere else.
    const auto kept = [&](const std::string& id) {
        const std::string mark = "<span class=\"id kept\"><bdi>" + id;
        const std::size_t first = html.find(mark);
        return first != std::string::npos && html.find(mark, first + 1) == std::string::npos;
    };
    CHECK(kept("bun.1.mix"));
    CHECK(kept("bun.1.bake.1"));
    CHECK(kept("pie.1.chill"));
    CHECK_FALSE(kept("bun.1.cool"));
    CHECK(says(ben, "The small names are for notes of what happens: oventide note PLAN started bun.1.mix"));

    // The buns are cool when Ben has gone: whoever is there is told.
    CHECK(says(ada, "11:45 bun : cool - ready \u00b7 rack bun.1.cool 12"));
    CHECK_FALSE(says(ben, "cool - ready"));
    // The chill is over when it is used: that line says so.
    CHECK_FALSE(says(ada, "chill - ready"));

    // Nobody is at work at noon, and Ben is not even there.
    CHECK(says(ada, "12:00 Pickup Hall"));
    CHECK_FALSE(says(ben, "Pickup"));
}

TEST_CASE("what falls to nobody stands where everybody sees it first") {
    // Nobody is there any more when the dough goes into the cold at 21:00 for seven hours, to be baked at four.
    const Planned day = planned(R"(
timezone = "UTC"
[kitchen]
crew   = [{ name = "Ada", hours = ["Fri 18:00-20:30", "Sat 04:00-08:00"] }]
oven   = [{ trays = 4, heats = "10 C/min", cools = "5 C/min", timer = true }]
fridge = [{ shelves = 10 }]
[[order]]
name   = "Hall"
pickup = 2026-10-03T05:00:00
items  = { bun = 12 }
[[component]]
name  = "bun"
makes = "12 pieces"
steps = [
  { name = "mix",   takes = "10 min", hands = true },
  { name = "rise",  takes = "40 min" },
  { name = "prove", takes = "7 h", keeps = "1 h", at_once = true, uses = "fridge" },
  { name = "bake",  takes = "20 min", oven = "200 C", tray = 12, hands = { first = "2 min", last = "1 min" } },
]
)");
    REQUIRE(day.timetable);
    const std::string html = sheet::write(day.plan, day.zone, *day.timetable, {});
    const std::size_t nobody = html.find("<div class=\"nobody\"><h3>In nobody's hours</h3>");
    REQUIRE(nobody != std::string::npos);
    CHECK(nobody < html.find("<svg"));
    CHECK(html.find("into fridge", nobody) < html.find("<svg"));
}

TEST_CASE("what falls to somebody before they come is on their page, and to be minded there") {
    // The butter is wanted soft at 11:30, for Ada's only work; it has to be put out at 8:30.
    const Planned day = planned(R"(
timezone = "UTC"
[kitchen]
crew = [{ name = "Ada", hours = "05:00-20:00" }, { name = "Ben", hours = "13:00-20:00" }]
[[order]]
name   = "Hall"
pickup = 2026-10-03T12:00:00
items  = { cream = 12 }
[[component]]
name  = "cream"
makes = "12 pieces"
steps = [
  { name = "soften", takes = "3 h" },
  { name = "whip",   takes = "15 min", hands = true },
]
)");
    REQUIRE(day.timetable);
    const auto subject = day.subject();
    const std::string html = sheet::write(day.plan, day.zone, *day.timetable, report::sheet_notes(subject, {}));
    const std::string ada = page_of(html, "Ada");
    CHECK(says(ada, "Sat 3 Oct 11:30 to 11:45"));
    CHECK(says(ada, "08:30 cream: soften - put out"));
    CHECK(html.find("<bdi>soften</bdi> <span class=\"id\"><bdi>cream.1.soften</bdi></span></th><td>12</td>"
                    "<td><bdi>Ada</bdi></td>") != std::string::npos);
    CHECK(says(ada, "Nobody at work: Sat 3 Oct 08:30 cream: soften - put out."));
}

TEST_CASE("who works alone has all that is to be ready on their page, and on paper nowhere else") {
    const auto sheet = [](const std::string& more) {
        const Planned day = planned(R"(
timezone = "UTC"
[kitchen]
crew = [{ name = "Ada", hours = "05:00-20:00" })" +
                                    more + R"(]
equipment = [{ name = "rack", count = 2 }]
[[order]]
name   = "Hall"
pickup = 2026-10-03T12:00:00
items  = { bun = 12 }
[[component]]
name  = "bun"
makes = "12 pieces"
steps = [
  { name = "shape", takes = "15 min", hands = true, who = "Ada" },
  { name = "dry",   takes = "1 h", uses = "rack" },
]
)");
        REQUIRE(day.timetable);
        return sheet::write(day.plan, day.zone, *day.timetable, report::sheet_notes(day.subject(), {}));
    };
    const std::string alone = sheet(""), two = sheet(R"(, { name = "Ben", hours = "05:00-20:00" })");
    CHECK(says(page_of(alone, "Ada"), "Have ready clean and free: rack"));
    CHECK(alone.find("<div class=\"twice\"><h2>Have ready</h2>") != std::string::npos);
    CHECK_FALSE(says(page_of(two, "Ada"), "clean and free"));
    CHECK(two.find("<div class=\"twice\">") == std::string::npos);
    CHECK(two.find("<h2>Have ready</h2>") != std::string::npos);
}
