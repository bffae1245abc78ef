#include "schedule/settle.hpp"

#include <doctest/doctest.h>

#include "oventide/check.hpp"
#include "support/planned.hpp"

using namespace oventide;

namespace {

/// mix -> proof (keeps) -> shape; what is said of the proof besides stands in `more`.
test::Planned bread(const std::string& more) {
    return test::planned(test::plan_for_buns(R"(
[[component]]
name  = "bun"
makes = "12 pieces"
steps = [
  { name = "mix",   takes = "10 min", hands = true, uses = "mixer" },
  { name = "proof", takes = "9 h", keeps = "15 h", uses = "fridge")" +
                                             more + R"( },
  { name = "shape", takes = "10 min", hands = true, who = "Ben" },
])"));
}

const Row& row_of(const test::Planned& day, StepIndex step) {
    for (const Row& row : day.timetable->rows)
        if (row.step == step) return row;
    FAIL("no such step");
    return day.timetable->rows.front();
}

}  // namespace

TEST_CASE("food waits where it keeps: dough goes into the fridge as soon as it is mixed") {
    const auto day = bread("");
    REQUIRE(day.timetable);
    CHECK(row_of(day, 1).start == row_of(day, 0).end);
    CHECK(row_of(day, 1).end == row_of(day, 2).start);
    CHECK(row_of(day, 2).end == day.plan.orders.front().pickup - Minutes{15});
}

TEST_CASE("a rest before it still holds") {
    const auto day = bread(R"(, rest = "20 min")");
    REQUIRE(day.timetable);
    CHECK(row_of(day, 1).start == row_of(day, 0).end + Minutes{20});
}

TEST_CASE("settling moves what keeps, within its lags and the room there is, and worsens no goal") {
    // 0: made by 10; 1: needs resource 0 for 20 from 10 on, keeps, used by 2 at 100; 3: has resource 0 until 40.
    Project project;
    project.horizon = 200;
    project.goals = {Goal::alarm};
    project.resources = {{"shelf", {{0, 1}}, false, false, {}}};
    project.activities.resize(4);
    project.activities[0].duration = 10;
    project.activities[1].duration = 20;
    project.activities[1].stretchable = true;
    project.activities[1].keep = 100;
    project.activities[1].users = {2};
    Demand shelf;
    shelf.choices = {0};
    project.activities[1].demands = {shelf};
    project.activities[2].duration = 5;
    project.activities[3].duration = 40;
    project.activities[3].demands = {shelf};
    for (std::size_t i = 0; i < 4; ++i) project.activities[i].name = std::to_string(i);
    project.lags = {{0, 1, 10, kNoPromise}, {1, 2, 20, kNoPromise}};
    Schedule schedule;
    schedule.start = {0, 80, 100, 0};
    schedule.chosen = {{}, {0}, {}, {0}};
    complete(project, schedule);
    REQUIRE(check(project, schedule).empty());
    scheduling::settle(project, schedule);
    CHECK(schedule.start == std::vector<Time>{0, 40, 100, 0});
    CHECK(schedule.end[1] == 100);
    CHECK(check(project, schedule).empty());

    project.activities[1].keep = 30;  // ready no earlier than 30 before its use
    schedule.start[1] = 80;
    complete(project, schedule);
    scheduling::settle(project, schedule);
    CHECK(schedule.start[1] == 50);
    CHECK(check(project, schedule).empty());
}
