/// The pages that a cook reads, from small plans.

#include <doctest/doctest.h>

#include <algorithm>
#include <sstream>
#include <string>
#include <vector>

#include "common/text.hpp"
#include "oventide/report.hpp"
#include "support/planned.hpp"

using namespace oventide;
using namespace oventide::report;
using namespace oventide::test;

namespace {

std::vector<std::string> lines_of(const std::string& text) {
    std::vector<std::string> lines;
    std::istringstream stream(text);
    for (std::string line; std::getline(stream, line);) lines.push_back(line);
    return lines;
}

bool has(const std::string& text, const std::string& part) { return text.find(part) != std::string::npos; }

/// The first line with this in it; empty where there is none.
std::string line_with(const std::string& text, const std::string& part) {
    for (const std::string& line : lines_of(text))
        if (has(line, part)) return line;
    return "";
}

/// One bun, mixed by hand, baked, cooled: everything about it can be worked out on paper. Collected at noon, done by
/// 11:45: cool from 11:25, bake from 11:05, prove from 10:05, mix from 9:55. 20 C to 200 C at 10 C a minute: on 10:47.
const char* const kBun = R"(
[[component]]
name  = "bun"
makes = "12 pieces"
steps = [
  { name = "mix",   takes = "10 min", hands = true, uses = "mixer", wash = "5 min", who = "Ada" },
  { name = "prove", takes = "1 h" },
  { name = "bake",  takes = "20 min", oven = "200 C", tray = 12, hands = { first = "2 min", last = "1 min" }, who = "Ben" },
  { name = "cool",  takes = "20 min", uses = "rack" },
]
)";

}  // namespace

TEST_CASE("a timetable that can be worked out on paper") {
    const Planned day = planned(plan_for_buns(kBun));
    const std::string text = timetable_text(day.subject(), {});
    CHECK(has(text,
              "ALARM CLOCK: Sat 3 Oct 09:55\n  Sat 3 Oct 09:55 to 10:47 Ada bun: mix\n"
              "  Sat 3 Oct 11:05 to 11:25 Ben bun: bake - into oven at 200 C, 20 min\n"));
    CHECK(has(text, "ready 11:45, margin 15 min\n      12 bun\n"));
    CHECK(has(text, "\nSat 3 Oct\n"));
    struct Row {
        const char* has;
        const char* from;
        const char* to;
        const char* with;
        const char* who;
    };
    for (const Row& row : {Row{" bun: mix", "09:55", "10:05", "mixer", "Ada"},
                           {"wash up", "10:05", "10:10", "mixer", "Ada"},
                           {"bun: prove", "10:05", "11:05", "", ""},
                           {"switch on, 200 C, ready 11:05", "10:47", "", "oven", ""},
                           {"bun: bake", "11:05", "11:25", "oven", "Ben"},
                           {"switch off", "11:25", "", "oven", ""},
                           {"bun: cool", "11:25", "11:45", "rack", ""},
                           {"PICKUP", "12:00", "", "", ""}}) {
        CAPTURE(row.has);
        const std::string run = text.substr(text.find("start end"));
        const std::string line = line_with(run, row.has);
        CHECK(line.substr(0, 5) == row.from);
        CHECK(has(line, row.to));
        CHECK(has(line, row.with));
        CHECK(has(line, row.who));
    }
}

TEST_CASE("a pickup that cannot be kept is called late in its row too") {
    Planned day = planned(plan_for_buns(kBun));
    CHECK_FALSE(has(timetable_text(day.subject(), {}), "LATE"));
    day.timetable->pickups.front().done = day.timetable->pickups.front().pickup + Minutes{12};
    const std::string text = timetable_text(day.subject(), {});
    const std::size_t row = text.find("PICKUP");
    REQUIRE(row != std::string::npos);
    CHECK(has(text.substr(row, 200), "LATE"));
    CHECK(has(text.substr(row, 200), "12:12"));
}

TEST_CASE("what must be in every timetable") {
    const Planned day = planned(plan_for_buns(kBun));
    const std::string text = timetable_text(day.subject(), {});
    CHECK(has(text, "Local rules and a trained person decide"));
    CHECK(has(text, "'90-minutes'"));
    CHECK_FALSE(has(text, " safe"));  // never claimed
    CHECK_FALSE(has(text, "\x1b"));
    Style colourful;
    colourful.colour = true;
    std::string coloured = timetable_text(day.subject(), colourful);
    CHECK(has(coloured, "\x1b[1m"));
    for (std::size_t at; (at = coloured.find('\x1b')) != std::string::npos;)
        coloured.erase(at, coloured.find('m', at) - at + 1);
    CHECK(coloured == text);  // colour carries no meaning of its own
}

TEST_CASE("the distance to the best possible") {
    Planned day = planned(plan_for_buns(kBun));
    const std::int64_t alarm = day.timetable->alarm->time_since_epoch().count();
    day.timetable->optimal = false;
    day.timetable->goals = {
        {Aim::freshness, 0, 0, true}, {Aim::alarm, alarm, alarm + 10, false}, {Aim::waiting, 12'345, 1'000, false}};
    CHECK(has(timetable_text(day.subject(), {}),
              "Alarm clock 09:55; no timetable can have it later than 10:05. Cannot be\n    bettered: freshness."));
    day.timetable->goals[1].proven = true;
    CHECK(has(timetable_text(day.subject(), {}), "until its pickup, food waits 17 h 9 min for each"));
    day.timetable->goals[0] = {Aim::freshness, 75, 60, false};
    CHECK(has(timetable_text(day.subject(), {}), "Freshness: 1 h 15 min beyond 'best within' in all"));
    day.timetable->optimal = true;
    CHECK(has(timetable_text(day.subject(), {}), "This timetable cannot be bettered."));
}

TEST_CASE("slip: what is not held back, and what was not asked for") {
    Planned day = planned(plan_for_buns(kBun));
    Timetable& timetable = *day.timetable;
    for (Row& row : timetable.rows) row.slip.reset();
    CHECK_FALSE(has(timetable_text(day.subject(), {}), " slip"));
    timetable.rows[0].slip = Minutes{65};
    const std::string text = timetable_text(day.subject(), {});
    CHECK(has(line_with(text, " bun: mix  "), "1h05m"));
    CHECK(has(line_with(text, "bun: prove"), "free"));
}

TEST_CASE("slip: what the margin has room for besides") {
    Planned day = planned(plan_for_buns(kBun));
    CHECK(has(line_with(timetable_text(day.subject(), {}), " bun: mix  "), " 0 +15m"));
    for (Row& row : day.timetable->rows) row.slip_to_pickup = row.slip;
    CHECK_FALSE(has(timetable_text(day.subject(), {}), "+15m"));
}

TEST_CASE("every page keeps its width, whatever the names") {
    const std::vector<std::string> names = {
        "bun",
        "cr\\u00e8me br\\u00fbl\\u00e9e au four",
        "cre\\u0300me bru\\u0302le\\u0301e",
        "\\u86cb\\u7cd5\\u7684\\u9762\\u56e2\\u548c\\u5976\\u6cb9\\u548c\\u679c\\u9171\\u548c\\u51b0",
        "\\U0001F950\\U0001F469\\u200D\\U0001F373 baker\\u2764\\uFE0F",
        "averyveryverylongnamethatisonewordandwouldnotfitanywhereatallonapageofsixtycolumnsorevenofeighty",
        "a name of very many words that goes on and on for longer than a line of the page can be in the end",
    };
    const std::string plan = plan_for_buns(kBun, 30);
    for (const std::string& name : names) {
        CAPTURE(name);
        std::string text = plan;
        const auto replace = [&](const std::string& from, const std::string& to) {
            for (std::size_t at = 0; (at = text.find(from, at)) != std::string::npos; at += to.size())
                text.replace(at, from.size(), to);
        };
        replace("{ bun =", "{ \"bun\" =");
        replace("\"bun\"", "\"" + name + "\"");
        replace("\"rack\"", "\"" + name + " rack\"");
        replace("\"Ada\"", "\"Ada " + name + "\"");
        const Planned day = planned(text);
        const auto clashes = day.clashes();
        for (const int width : {60, 80, 132}) {
            for (const bool ascii : {false, true}) {
                Style style;
                style.width = width;
                style.ascii = ascii;
                for (const std::string& page :
                     {timetable_text(day.subject(), style), checklist_text(day.subject(), style),
                      clashes_text(day.subject(), clashes, style)}) {
                    for (const std::string& line : lines_of(page)) {
                        CAPTURE(line);
                        CHECK(text::columns(line) <= width);
                        CHECK((line.empty() || line.back() != ' '));
                        if (!ascii) continue;
                        CHECK(std::all_of(line.begin(), line.end(), [](char c) { return c >= 0x20 && c < 0x7F; }));
                    }
                }
            }
        }
    }
}

TEST_CASE("nothing from a name moves the cursor") {
    Planned day = planned(plan_for_buns(kBun));
    const std::string hostile =
        "x\x1b]0;y\x07\n\r\x9b"
        "2J\u202e";
    day.plan.title = hostile;
    day.plan.components[0].name = hostile;
    day.plan.components[0].steps[0].name = hostile;
    day.plan.orders[0].name = hostile;
    for (Person& person : day.plan.kitchen.crew) person.name = hostile;
    for (Equipment& equipment : day.plan.kitchen.equipment) equipment.name = hostile;
    for (Promise& promise : day.expansion.promises) promise.text = hostile;
    for (Sources::File& file : day.sources.files) file.path = hostile;
    std::string pages = timetable_text(day.subject(), {}) + checklist_text(day.subject(), {}) +
                        clashes_text(day.subject(), day.clashes(), {});
    day.timetable.reset();
    day.outcome.obstacles = {{0, 0, 60, Obstacle::Cause::resource, 0, {1, 2}}};
    day.outcome.contradiction = {{0, 1, 5, 0}};
    pages += no_timetable_text(day.subject(), {});
    CHECK(std::all_of(pages.begin(), pages.end(),
                      [](char c) { return c == '\n' || static_cast<unsigned char>(c) >= 0x20; }));
    CHECK_FALSE(has(pages, "\u202e"));
    CHECK_FALSE(has(pages, "\xc2\x9b"));
    CHECK(has(pages, "x\uFFFD]0;y"));
}

TEST_CASE("a checklist holds what hands must do, by person, and nothing else") {
    const Planned day = planned(plan_for_buns(kBun));
    const std::string text = checklist_text(day.subject(), {});
    const auto ada = text.find("\nAda, Sat 3 Oct\n");
    const auto ben = text.find("\nBen, Sat 3 Oct\n");
    REQUIRE(ada != std::string::npos);
    REQUIRE(ben != std::string::npos);
    const std::string of_ada = text.substr(ada, ben - ada);
    const std::string of_ben = text.substr(ben);
    CHECK(has(of_ada, "[ ] 09:55 to 10:05 bun: mix"));
    CHECK(has(of_ada, "[ ] 10:05 to 10:10 wash up after bun: mix"));
    CHECK(has(of_ada, "[ ] 10:47          oven: switch on, 200 C, ready 11:05"));
    CHECK(has(of_ben, "[ ] 11:05 to 11:07 bun: bake - into oven at 200 C"));
    CHECK(has(of_ben, "[ ] 11:24 to 11:25 bun: bake - out of oven"));
    CHECK(has(of_ben, "[ ] 11:25          oven: switch off"));  // it is he who has just been at it
    CHECK_FALSE(has(text, "prove"));
    CHECK_FALSE(has(text, "Nobody is there"));
    CHECK(has(text, "[ ] bun: 12"));

    const std::string one = checklist_text(day.subject(), {}, {1});
    CHECK_FALSE(has(one, "\nAda, Sat 3 Oct\n"));
    CHECK(has(one, of_ben));
}

TEST_CASE("a lone cook switches the oven; an oven with a timer is set beforehand") {
    std::string alone = plan_for_buns(kBun);
    alone.replace(alone.find("hours = \"05:00-20:00\""), 21, "hours = \"05:00-10:20\"");  // Ada goes early
    CHECK(has(line_with(checklist_text(planned(alone).subject(), {}), "switch on"), "10:47"));
    CHECK_FALSE(has(checklist_text(planned(alone).subject(), {}), "Nobody"));

    std::string timed = plan_for_buns(kBun);
    timed.replace(timed.find("trays = 4"), 9, "trays = 4\ntimer = true");
    const std::string text = checklist_text(planned(timed).subject(), {});
    CHECK(has(text, "set its timer to come on at 10:47 for"));
    CHECK_FALSE(has(text, "switch on"));
    CHECK(has(timetable_text(planned(timed).subject(), {}), "comes on by its timer, 200 C"));
}

TEST_CASE("mind: what nobody is at work for, and what is hardly worth making") {
    // Everybody goes at 20:00; the buns are mixed by then, and put into the fridge half an hour later.
    const char* const night = R"(
[[component]]
name  = "bun"
makes = "12 pieces"
steps = [
  { name = "mix",   takes = "10 min", hands = true, who = "Ada" },
  { name = "proof", takes = "10 h", keeps = "30 min", uses = "fridge", rest = "45 min", within = "45 min" },
  { name = "shape", takes = "20 min", hands = true, who = "Ben" },
  { name = "bake",  takes = "4 h", oven = "200 C", tray = 12 },
]
)";
    const Planned day = planned(plan_for_buns(night, 13));
    const std::string text = timetable_text(day.subject(), {});
    CHECK(has(text, "ALARM CLOCK: Fri 2 Oct 19:"));
    CHECK(has(text, ", Sat 3 Oct 06:"));
    CHECK(has(text, "Nobody at work: Fri 2 Oct 20:"));
    CHECK(has(text, "Small: bun, batch 2 holds 1, the largest 12. 1 less and it falls away; 11"));
    CHECK(has(text, "`even = true`"));
    const std::string even =
        plan_for_buns(std::string(night).replace(std::string(night).find("steps"), 0, "even = true\n"), 13);
    CHECK_FALSE(has(timetable_text(planned(even).subject(), {}), "Small:"));
}

TEST_CASE("pickups: from which batch, where there are several") {
    const Planned day = planned(plan_for_buns(kBun, 30));
    CHECK(has(timetable_text(day.subject(), {}), "      30 bun (from batch 1: 12, batch 2: 12, batch 3: 6)\n"));
    CHECK(has(checklist_text(day.subject(), {}), "      30 bun (from batch 1: 12, batch 2: 12, batch 3: 6)\n"));
}

TEST_CASE("no timetable: what could not be placed, why, and where it is written") {
    // The oven is promised to somebody else at just the time at which a bun that keeps for 5 minutes must be baked.
    std::string text = plan_for_buns(R"(
[[component]]
name  = "bun"
makes = "12 pieces"
keeps = "20 min"
steps = [
  { name = "mix",  takes = "10 min", hands = true },
  { name = "bake", takes = "20 min", oven = "200 C", tray = 12, within = "5 min" },
]
)");
    text.replace(text.find("trays = 4"), 9, "trays = 4\nclosed = \"2026-10-03 11:00-12:00\"");
    const Planned day = planned(text);
    REQUIRE_FALSE(day.timetable);
    const std::string page = no_timetable_text(day.subject(), {});
    CHECK(has(page, "NO TIMETABLE"));
    CHECK(has(page, "bun: bake (plan.toml:"));
    CHECK(has(page, "takes 20 min; would have to start between Sat 3 Oct 11:"));
    CHECK(has(page, "oven"));
    CHECK(timetable_text(day.subject(), {}) == page);
    CHECK(checklist_text(day.subject(), {}) == page);
}

TEST_CASE("a night in which the clocks change is marked") {
    std::string text = plan_for_buns(R"(
[[component]]
name  = "bun"
makes = "12 pieces"
steps = [
  { name = "mix",   takes = "10 min", hands = true },
  { name = "prove", takes = "11 h" },
  { name = "bake",  takes = "20 min", oven = "200 C", tray = 12, hands = { first = "2 min" } },
]
)");
    text.replace(text.find("\"UTC\""), 5, "\"Europe/London\"");
    text.replace(text.find("2026-10-03T12:00:00"), 19, "2026-10-25T09:00:00");
    const std::string page = timetable_text(planned(text).subject(), {});
    // Done by 08:45 GMT: bake 08:25, prove 21:25 GMT, which is 22:25 BST; mix by 20:00, when the last one goes home.
    CHECK(has(page, "ALARM CLOCK: Sat 24 Oct 19:50"));
    CHECK(has(page, "19:50     20:00     bun: mix"));
    CHECK(has(page, "22:25     Sun 08:25 bun: prove"));
    CHECK(has(page, "clocks go back from"));
    CHECK(has(page, "08:25 GMT 08:45 GMT bun: bake"));
}
