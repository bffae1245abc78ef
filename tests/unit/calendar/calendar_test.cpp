#include "oventide/calendar.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <set>
#include <sstream>

#include "support/planned.hpp"
#include "timetable/jobs.hpp"

using namespace oventide;

namespace {

Instant at(int hour, int minute) { return Instant{Minutes{60 * 24 * 20000 + 60 * hour + minute}}; }  // 2024-10-04

Plan small_plan() {
    Plan plan;
    plan.title = "Tea, cakes; and more";
    plan.kitchen.crew = {{"Ann", {{at(6, 0), at(15, 0)}}, {}}, {"Bea", {{at(6, 0), at(15, 0)}}, {}}};
    Equipment oven;
    oven.name = "oven";
    oven.kind = EquipmentKind::oven;
    plan.kitchen.equipment = {oven};
    Component cake;
    cake.name = "cake";
    Step bake;
    bake.name = "bake";
    cake.steps = {bake};
    plan.components = {cake};
    plan.orders = {{"Tea", at(15, 0), Minutes{15}, {}, {}}};
    return plan;
}

Timetable small_timetable(const Plan& plan = small_plan()) {
    Timetable timetable;
    Row row;
    row.id = "cake.1.bake.1";
    row.load = 1;
    row.start = at(9, 0);
    row.ready = row.end = at(9, 30);
    row.hands = {{0, {at(9, 0), at(9, 2)}, false}, {1, {at(9, 28), at(9, 30)}, false}};
    timetable.rows = {row};
    timetable.oven = {{OvenEvent::Kind::on, 0, at(8, 40), 180'000}};
    timetable.alarm = at(8, 40);
    add_jobs(plan, timetable);
    return timetable;
}

/// Content lines, unfolded as section 3.1 says: each CRLF and one space taken out.
std::vector<std::string> content_lines(std::string text) {
    for (std::size_t i; (i = text.find("\r\n ")) != std::string::npos;) text.erase(i, 3);
    std::vector<std::string> lines;
    for (std::size_t i; (i = text.find("\r\n")) != std::string::npos; text.erase(0, i + 2))
        lines.push_back(text.substr(0, i));
    CHECK(text.empty());
    return lines;
}

std::multiset<std::string> values(const std::vector<std::string>& lines, const std::string& name) {
    std::multiset<std::string> found;
    for (const auto& line : lines)
        if (line.rfind(name + ":", 0) == 0) found.insert(line.substr(name.size() + 1));
    return found;
}

}  // namespace

// RFC 5545, section 3.1: lines of at most 75 octets, ended by CRLF, folded with one space; no UTF-8 character is cut.
TEST_CASE("lines are folded by octets and never inside a character") {
    for (const std::string& piece :
         {std::string("a"), std::string("\xC3\xA9"), std::string("\xE2\x82\xAC"), std::string("\xF0\x9F\xA5\xA7")}) {
        for (int count : {1, 18, 24, 25, 37, 38, 74, 75, 76, 400}) {
            std::string line;
            for (int i = 0; i < count; ++i) line += piece;
            const std::string folded = calendar::fold(line);
            CHECK(content_lines(folded) == std::vector<std::string>{line});
            std::istringstream stream(folded);
            for (std::string physical; std::getline(stream, physical);) {
                REQUIRE(!physical.empty());
                CHECK(physical.back() == '\r');
                physical.pop_back();
                CHECK(physical.size() <= 75);
                const std::string body = physical.front() == ' ' ? physical.substr(1) : physical;
                CHECK((static_cast<unsigned char>(body.front()) & 0xC0U) != 0x80U);
            }
        }
    }
}

// RFC 5545, section 3.3.11.
TEST_CASE("text is escaped") {
    struct Row {
        std::string text, escaped;
    };
    for (const Row& row :
         {Row{"a, b; c", "a\\, b\\; c"}, Row{"back\\slash", "back\\\\slash"}, Row{"two\nlines", "two\\nlines"},
          Row{"two\r\nlines", "two\\nlines"}, Row{"colon: stays", "colon: stays"}, Row{"bell\x07", "bell "}})
        CHECK(calendar::escape_text(row.text) == row.escaped);
}

TEST_CASE("a calendar has what RFC 5545 requires of it") {
    const Plan plan = small_plan();
    const auto lines = content_lines(calendar::write(plan, small_timetable(), {at(7, 0), Minutes{5}, {}}));
    CHECK(lines.front() == "BEGIN:VCALENDAR");
    CHECK(lines.back() == "END:VCALENDAR");
    CHECK(values(lines, "VERSION") == std::multiset<std::string>{"2.0"});  // section 3.7.4
    CHECK(values(lines, "PRODID").size() == 1);                            // section 3.7.3
    CHECK(values(lines, "NAME") == std::multiset<std::string>{"Tea\\, cakes\\; and more"});

    // Two times for hands, the oven, the pickup, and an alarm clock each for Ann, who switches it on, and Bea.
    const std::size_t events = values(lines, "BEGIN").count("VEVENT");
    CHECK(events == 6);
    const auto identifiers = values(lines, "UID");
    CHECK(identifiers.size() == events);
    CHECK(std::set<std::string>(identifiers.begin(), identifiers.end()).size() == events);
    CHECK(values(lines, "DTSTAMP") == [&] {
        std::multiset<std::string> stamps;
        for (std::size_t i = 0; i < events; ++i) stamps.insert("20241004T070000Z");
        return stamps;
    }());
    CHECK(values(lines, "DTSTART") == std::multiset<std::string>{"20241004T084000Z", "20241004T084000Z",
                                                                 "20241004T090000Z", "20241004T092800Z",
                                                                 "20241004T092800Z", "20241004T150000Z"});
    CHECK(values(lines, "DTEND") == std::multiset<std::string>{"20241004T090200Z", "20241004T093000Z"});

    // Section 3.6.6: ACTION and TRIGGER once in each alarm, and DESCRIPTION, since the action is DISPLAY.
    const std::size_t alarms = values(lines, "BEGIN").count("VALARM");
    CHECK(alarms == events - 1);  // all but the first hands, that begin where there is no oven
    CHECK(values(lines, "ACTION").count("DISPLAY") == alarms);
    CHECK(values(lines, "TRIGGER") == std::multiset<std::string>{"-PT5M", "-PT5M", "-PT5M", "-PT5M", "-PT15M"});
    CHECK(values(lines, "DESCRIPTION").size() >= alarms);
}

namespace {

/// What rings, and how long before: "-PT5M bun: bake - out of oven".
std::multiset<std::string> ringing(const test::Planned& day, const calendar::Options& options) {
    std::multiset<std::string> found;
    std::string summary, trigger;
    for (const auto& line : content_lines(calendar::write(day.plan, *day.timetable, options))) {
        if (line.rfind("SUMMARY:", 0) == 0) summary = line.substr(8);
        if (line.rfind("TRIGGER:", 0) == 0) trigger = line.substr(8);
        if (line == "END:VALARM") found.insert(trigger + " " + summary);
    }
    return found;
}

}  // namespace

TEST_CASE("what one must be in time for rings, and nothing else unless it is asked for") {
    // Done by 11:45: fill from 11:35, the custard out of the cold for it; bake from 10:55 to 11:15, cool till 11:35;
    // shape from 10:45; prove from 9:45; mix from 9:35. The custard is ready by 11:05: chill from 10:05, boil from
    // 9:55. The butter is put out at 10:35.
    const test::Planned day = test::planned(test::plan_for_buns(R"(
[[component]]
name  = "bun"
makes = "12 pieces"
steps = [
  { name = "mix",   takes = "10 min", hands = true, who = "Ada", uses = "mixer", wash = "3 min" },
  { name = "prove", takes = "1 h" },
  { name = "shape", takes = "10 min", hands = true, who = "Ada" },
  { name = "bake",  takes = "20 min", oven = "200 C", tray = 12, hands = { first = "2 min", last = "1 min" }, who = "Ada" },
  { name = "cool",  takes = "20 min" },
  { name = "fill",  takes = "10 min", hands = true, who = "Ada", with = { butter = "20 g", custard = { each = "50 g", rest = "30 min" } } },
]
[[component]]
name  = "butter"
makes = "240 g"
steps = [{ name = "soften", takes = "1 h" }]
[[component]]
name  = "custard"
makes = "600 g"
steps = [
  { name = "boil",  takes = "10 min", hands = true, who = "Ada" },
  { name = "chill", takes = "1 h", keeps = "3 h", at_once = true, uses = "fridge", chill = true },
]
)"));
    REQUIRE(day.timetable);
    const calendar::Options some{at(7, 0), Minutes{5}, {}};
    const auto key = ringing(day, some);
    calendar::Options every = some;
    every.alarms = calendar::Alarms::all;
    every.rise = Minutes{75};
    const auto all = ringing(day, every);
    CHECK(key.size() < all.size());
    CHECK(all.size() == day.timetable->jobs.size() + day.timetable->shifts.size() + 2);  // a pickup, a chill
    CHECK(all.count("-PT75M alarm clock: plan (Ada)") == 1);
    CHECK(key.count("-PT5M alarm clock: plan (Ada)") == 1);
    for (const char* rings :
         {"-PT5M bun: bake - into oven at 200 C\\, 20 min (Ada)", "-PT5M bun: bake - out of oven (Ada)",
          "-PT5M custard: chill - ready (Ada)", "-PT5M oven: switch on\\, 200 C\\, ready Sat 10:55 - for bun (Ada)",
          "-PT5M butter: soften - put out (Ada)", "-PT15M pickup: Ladder Street"})
        CHECK_MESSAGE(key.count(rings) == 1, rings);
    for (const char* silent : {"-PT5M wash up after bun: mix (Ada)", "-PT5M custard: chill - into fridge (Ada)",
                               "-PT5M oven: switch off (Ada)"}) {
        CHECK_MESSAGE(key.count(silent) == 0, silent);
        CHECK_MESSAGE(all.count(silent) == 1, silent);
    }
    CHECK(key.count("-PT5M bun: shape (Ada)") == 1);  // after a break
}

TEST_CASE("a pickup that cannot be kept is called late, and when it can be is said") {
    Timetable timetable = small_timetable();
    const auto titles = [&] {
        return values(content_lines(calendar::write(small_plan(), timetable, {at(7, 0), Minutes{5}, {}})), "SUMMARY");
    };
    const auto late = [](const std::string& title) { return title.find("LATE") != std::string::npos; };
    CHECK(std::ranges::none_of(titles(), late));
    const Instant pickup = small_plan().orders.front().pickup;
    timetable.pickups = {{0, pickup, pickup + Minutes{12}, {}}};
    CHECK(std::ranges::count_if(titles(), late) == 1);
}

TEST_CASE("a replanned day moves events instead of doubling them; another day gets its own") {
    Plan plan = small_plan();
    Timetable timetable = small_timetable();
    const auto identifiers = [&] {
        return values(content_lines(calendar::write(plan, timetable, {at(7, 0), Minutes{5}, {}})), "UID");
    };
    const auto before = identifiers();
    Row& row = timetable.rows.front();
    row.start += Minutes{40};
    row.ready += Minutes{40};
    row.end += Minutes{40};
    for (HandsUse& hands : row.hands) hands.span = {hands.span.from + Minutes{40}, hands.span.to + Minutes{40}};
    timetable.jobs.clear();
    timetable.shifts.clear();
    add_jobs(plan, timetable);
    plan.orders.front().pickup += Minutes{30};
    CHECK(identifiers() == before);
    plan.orders.front().pickup += Minutes{7 * 24 * 60};
    for (const std::string& uid : identifiers()) CHECK(before.count(uid) == 0);
}

TEST_CASE("one person's calendar leaves the others' hands out") {
    const auto lines = content_lines(calendar::write(small_plan(), small_timetable(), {at(7, 0), Minutes{5}, {1}}));
    int hands = 0;
    for (const auto& summary : values(lines, "SUMMARY")) hands += summary.find("bake") != std::string::npos;
    CHECK(hands == 1);
}

TEST_CASE("what is done of one step has titles of its own, and numbers only where there are several") {
    const auto lines = content_lines(calendar::write(small_plan(), small_timetable(), {at(7, 0), Minutes{5}, {}}));
    CHECK(values(lines, "SUMMARY") ==
          std::multiset<std::string>{"alarm clock: Tea\\, cakes\\; and more (Ann)",
                                     "alarm clock: Tea\\, cakes\\; and more (Bea)", "oven: switch on\\, 180 C (Ann)",
                                     "cake: bake - begin (Ann)", "cake: bake - finish (Bea)", "pickup: Tea"});
}
