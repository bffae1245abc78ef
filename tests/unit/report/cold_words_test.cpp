/// What a chill must come to, in words, wherever a page says it.

#include "report/cold_words.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <string>

#include "oventide/safety.hpp"
#include "support/planned.hpp"

using namespace oventide;
using namespace oventide::report;

namespace {

/// Collected at noon, done by 11:45: fill from 11:35, the chill from 9:35, poured from 9:30, cooked from 9:20 to 9:30.
std::string day(const std::string& rule, const std::string& cools) {
    return R"(
timezone = "UTC"
safety = ")" +
           rule + R"("
[kitchen]
crew   = [{ name = "Ada", hours = "05:00-20:00" }]
fridge = [{ shelves = 4 }]
[[order]]
name   = "Hall"
pickup = 2026-10-03T12:00:00
items  = { cup = 12 }
[[component]]
name  = "cup"
makes = "12 pieces"
steps = [
  { name = "cook",  takes = "10 min", hands = true, cooked = true },
  { name = "pour",  takes = "5 min", hands = true },
  { name = "chill", takes = "2 h", chill = true, uses = "fridge")" +
           cools + R"( },
  { name = "fill",  takes = "10 min", hands = true },
]
)";
}

struct Said {
    sheet::Cold cold;
    std::string timetable, checklist, sheet;
};

/// However it is broken.
std::string flat(std::string text) {
    for (const std::string space : {"\u00a0", "\n", "  "})
        for (std::size_t at = text.find(space); at != std::string::npos; at = text.find(space))
            text.replace(at, space.size(), " ");
    return text;
}

Said said(const std::string& rule, const std::string& cools) {
    const auto planned = test::planned(day(rule, cools));
    const auto subject = planned.subject();
    const auto& rows = planned.timetable->rows;
    const auto row = std::find_if(rows.begin(), rows.end(), [](const Row& each) { return each.id == "cup.1.chill"; });
    REQUIRE(row != rows.end());
    const Days days(planned.zone, {row->start, row->end});
    const sheet::Cold cold = cold_words(subject, days, static_cast<std::size_t>(row - rows.begin()));
    return {{cold.in_by, flat(cold.wanted), flat(cold.inside)},
            flat(timetable_text(subject, {})),
            flat(checklist_text(subject, {})),
            flat(sheet::write(planned.plan, planned.zone, *planned.timetable, sheet_notes(subject, {})))};
}

std::size_t count(const std::string& text, const std::string& part) {
    std::size_t found = 0;
    for (std::size_t at = text.find(part); at != std::string::npos; at = text.find(part, at + 1)) ++found;
    return found;
}

const std::string kCools = R"(, cools = { from = "75 C", to = "10 C", depth = "1 cm" })";

}  // namespace

TEST_CASE("cold: by when it goes in, where the rule says so, and how cold the plan wants it") {
    // 9:30 and 90 minutes (East Devon District Council, as safety.hpp has it).
    const Said plain = said("90-minutes", "");
    CHECK(plain.cold.in_by == "in by 11:00");
    CHECK(plain.cold.wanted == "");
    CHECK(plain.cold.inside == "");
    const Said cools = said("90-minutes", kCools);
    CHECK(cools.cold.in_by == "in by 11:00");
    CHECK(cools.cold.wanted == "10 C by 11:35, probe");
    CHECK(cools.cold.inside == "10 C inside, probe");
    CHECK(said("none", kCools).cold.in_by == "");
    CHECK(said("none", kCools).cold.wanted == "10 C by 11:35, probe");
    CHECK(said("none", "").cold.wanted == "");
}

TEST_CASE("cold: by when it goes in, by the plan's own limit where that is tighter than the rule's, or the only one") {
    // Poured by 9:35; by the rule (see above) 11:00 will do.
    CHECK(said("90-minutes", R"(, within = "20 min")").cold.in_by == "in by 09:55");
    CHECK(said("90-minutes", R"(, within = "2 h")").cold.in_by == "in by 11:00");
    CHECK(said("90-minutes", R"(, at_once = true)").cold.in_by == "at once");
    CHECK(said("none", R"(, within = "20 min")").cold.in_by == "in by 09:55");
}

TEST_CASE("cold: the stages of a rule, by the clock where it is known from when they count") {
    // FSAI Guidance Note 15: 3 C within 150 minutes of the end of cooking.
    CHECK(said("ireland", "").cold.wanted == "3 C by 12:00, probe");
    CHECK(said("ireland", kCools).cold.wanted == "10 C by 11:35, 3 C by 12:00, probe");
    // FDA Food Code 3-501.14(A): from 57 C. How the food cools is not said, so neither is when it is at 57 C.
    CHECK(said("us-food-code", "").cold.wanted == "57 C to 21 C within 2 h, 57 C to 5 C within 6 h, probe");
    CHECK(said("us-food-code", "").cold.in_by == "");
    const auto planned = test::planned(day("us-food-code", kCools));
    const auto subject = planned.subject();
    std::string expected;
    for (const auto& remark : subject.chills)
        if (remark.kind == chill::Remark::Kind::stage)
            expected +=
                (expected.empty() ? "21 C by " : ", 5 C by ") + clock::clock_text(planned.zone.local(*remark.due));
    CHECK(said("us-food-code", kCools).cold.wanted.find(expected.substr(0, 13)) != std::string::npos);
    CHECK(said("us-food-code", kCools).cold.wanted.find(expected.substr(15)) != std::string::npos);
}

TEST_CASE("cold: timetable, checklist and sheet say the same of it") {
    const Said cools = said("90-minutes", kCools);
    CHECK(count(cools.timetable, "cup: chill; 10 C by 11:35, probe") == 1);
    CHECK(count(cools.checklist, "in by 11:00; 10 C by") == 1);
    CHECK(count(cools.sheet, "into fridge; in by 11:00; 10 C by 11:35, probe") == 1);  // in Ada's list
    CHECK(count(cools.sheet, "; 10 C by 11:35, probe") == 2);                          // and in the timetable
    CHECK(count(cools.sheet, "(from <bdi>fridge</bdi>, 10 C inside, probe)") == 1);    // where it is taken out
}

TEST_CASE("cold: whoever has had the food in their hands is told of all that is measured, though they go home before") {
    const auto planned = test::planned(day("us-food-code", kCools));
    const auto subject = planned.subject();
    std::size_t stages = 0, told = 0;
    for (const auto& remark : subject.chills) {
        if (remark.kind != chill::Remark::Kind::stage) continue;
        ++stages;
        for (const sheet::Mind& mind : sheet_notes(subject, {}).mind)
            if (mind.text.find(remark.text) != std::string::npos && mind.text.find("Probe: ") == 0)
                told += static_cast<std::size_t>(std::ranges::count(mind.people, 0));
    }
    CHECK(stages == 2);  // FDA Food Code 3-501.14(A) has two; the second ends at 15:30 or later, Ada's day at 11:45
    CHECK(told == 2);
}

TEST_CASE("a limit that is not kept stands in the timetable, in the checklist and on everybody's page") {
    const auto planned = test::planned(day("90-minutes", kCools));
    auto subject = planned.subject();
    CHECK(count(timetable_text(subject, {}), "not kept") == 0);
    subject.broken.push_back({2, "cup / chill starts within 90 min of cup / cook", Minutes{10}});
    const std::string expected = "Limit that is not kept: cup / chill starts within 90 min of cup / cook: 10 min over";
    CHECK(count(flat(timetable_text(subject, {})), expected) == 1);
    CHECK(count(flat(checklist_text(subject, {})), expected) == 1);
    const auto notes = sheet_notes(subject, {});
    CHECK(count(sheet::write(planned.plan, planned.zone, *planned.timetable, notes), expected) == 2);  // page 1, Ada's
}
