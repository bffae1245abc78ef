#include "oventide/replan.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <string>
#include <vector>

#include "support/planned.hpp"

using namespace oventide;
using replan::Replanned;
using replan::State;

namespace {

/// A planned day, its timetable published, and what is noted down afterwards.
struct Day {
    test::Planned planned;
    journal::Journal journal{"UTC", {}, {}};

    explicit Day(std::string_view text, std::int64_t schedules = 60) : planned(test::planned(text, schedules)) {
        if (planned.timetable) note(journal::publication(planned.plan, *planned.timetable, "0"));
    }
    void note(journal::Event event) {
        journal.entries.push_back({static_cast<std::int32_t>(journal.entries.size()) + 1, {}, std::move(event)});
    }
    const Row& row(const std::string& id) const {
        const auto found = std::ranges::find(planned.timetable->rows, id, &Row::id);
        REQUIRE(found != planned.timetable->rows.end());
        return *found;
    }
    ActivityId id(const std::string& name) const {
        const auto& all = planned.expansion.project.activities;
        const auto found = std::ranges::find(all, name, &Activity::name);
        REQUIRE(found != all.end());
        return static_cast<ActivityId>(found - all.begin());
    }
    /// Everything that was to start by then has, and what was to be ready by then is finished.
    void as_told(Instant until) {
        for (const Row& row : planned.timetable->rows) {
            if (row.start <= until) note(journal::Started{row.id, row.start});
            if (row.ready <= until) note(journal::Finished{row.id, row.ready});
        }
    }
    replan::Situation situation(Instant now) const {
        return replan::situation(planned.plan, planned.expansion, journal, now);
    }
    Replanned replan(Instant now) const {
        Replanned result = replan::replan(planned.plan, planned.expansion, journal, situation(now));
        for (const std::string& fault : result.unsound) FAIL_CHECK(fault);
        return result;
    }
    /// The ids of the steps that move.
    static std::vector<std::string> moved(const Replanned& result) {
        std::vector<std::string> names;
        for (const replan::Change& change : result.changes)
            names.push_back(result.expansion->project.activities[change.step].name);
        return names;
    }
};

/// mix -> prove -> bake (once the oven is hot) -> cool, and a glaze that nothing but the pickup hurries.
const std::string kBuns = test::plan_for_buns(R"(
[[component]]
name  = "bun"
makes = "12 pieces"
steps = [
  { name = "mix",   takes = "20 min", hands = true, uses = "mixer" },
  { name = "prove", takes = "1 h", keeps = "30 min" },
  { name = "bake",  takes = "30 min", oven = "200 C", tray = 12, hands = { first = "2 min", last = "2 min" } },
  { name = "cool",  takes = "15 min", keeps = "5 h" },
]
)");

}  // namespace

TEST_CASE("no news: nothing changes, at whatever minute it is asked") {
    Day day(kBuns);
    REQUIRE(day.planned.timetable);
    const Instant first = day.planned.timetable->rows.front().start;
    for (const Minutes after : {Minutes{-30}, Minutes{0}, Minutes{45}, Minutes{95}, Minutes{130}}) {
        CAPTURE(after.count());
        Day asked = day;
        asked.as_told(first + after);
        const Replanned result = asked.replan(first + after);
        CHECK(result.way == Replanned::Way::unchanged);
        CHECK(result.changes.empty());
        CHECK(result.overdue.empty());
    }
}

TEST_CASE("a step that runs long pushes what must move, and the margin says by how much") {
    Day day(kBuns);
    REQUIRE(day.planned.timetable);
    const Row& mix = day.row("bun.1.mix");
    day.note(journal::Started{"bun.1.mix", mix.start});
    day.note(journal::WillEnd{"bun.1.mix", mix.ready + Minutes{10}});
    const Replanned result = day.replan(mix.start + Minutes{5});
    REQUIRE(result.timetable);
    CHECK(Day::moved(result) == std::vector<std::string>{"bun.1.prove", "bun.1.bake.1", "bun.1.cool"});
    for (const replan::Change& change : result.changes) CHECK(change.to == *change.from + Minutes{10});
    REQUIRE(result.pickups.size() == 1);
    CHECK(result.pickups[0].done == *result.pickups[0].before + Minutes{10});
    CHECK(result.pickups[0].done <= result.pickups[0].at);
    CHECK(!result.pickups[0].last);
}

TEST_CASE("a delay beyond the margin is late by exactly what it must be, and is not hidden") {
    Day day(kBuns);
    REQUIRE(day.planned.timetable);
    const Row& mix = day.row("bun.1.mix");
    day.note(journal::Started{"bun.1.mix", mix.start});
    day.note(journal::WillEnd{"bun.1.mix", mix.ready + Minutes{40}});
    const Replanned result = day.replan(mix.start + Minutes{5});
    REQUIRE(result.timetable);
    REQUIRE(result.pickups.size() == 1);
    CHECK(result.pickups[0].done == *result.pickups[0].before + Minutes{40});
    REQUIRE(result.pickups[0].last);
    CHECK(*result.pickups[0].last == day.id("bun.1.cool"));
}

TEST_CASE("a step without an entry is overdue and has not started") {
    Day day(kBuns);
    REQUIRE(day.planned.timetable);
    const Instant now = day.row("bun.1.mix").start + Minutes{7};
    const Replanned result = day.replan(now);
    CHECK(result.overdue == std::vector<ActivityId>{day.id("bun.1.mix")});
    REQUIRE(result.timetable);
    REQUIRE(!result.changes.empty());
    CHECK(result.changes.front().to == now);
}

TEST_CASE("what must be over before a step that has started counts as finished") {
    Day day(kBuns);
    REQUIRE(day.planned.timetable);
    const Row& prove = day.row("bun.1.prove");
    day.note(journal::Started{"bun.1.prove", prove.start});
    const auto situation = day.situation(prove.start + Minutes{1});
    const replan::StepState& mix = situation.steps[day.id("bun.1.mix")];
    CHECK(mix.state == State::finished);
    CHECK(mix.inferred);
    CHECK(mix.ready <= prove.start);
    CHECK(day.replan(prove.start + Minutes{1}).way == Replanned::Way::unchanged);
}

TEST_CASE("a prove that cannot be kept as promised is reported by how much") {
    Day day(kBuns);
    REQUIRE(day.planned.timetable);
    const Row& prove = day.row("bun.1.prove");
    const Row& bake = day.row("bun.1.bake.1");
    const Instant now = prove.ready - Minutes{1};
    day.as_told(now);
    day.note(journal::Broken{"oven", now, bake.start + Minutes{50}});
    const Replanned result = day.replan(now);
    REQUIRE(result.timetable);
    REQUIRE(result.broken.size() == 1);
    CHECK(result.broken[0].over >= Minutes{20});
    CHECK(result.broken[0].promise.find("prove keeps 30 min") != std::string::npos);
}

TEST_CASE("names that the plan does not have are named; a pickup that moves later keeps everything") {
    Day day(kBuns);
    REQUIRE(day.planned.timetable);
    const Instant now = day.planned.timetable->rows.front().start - Minutes{60};
    day.note(journal::Broken{"blender", now, std::nullopt});
    day.note(journal::Started{"bun.9.mix", now});
    const std::string order = day.planned.plan.orders[0].name;
    day.note(journal::PickupMoved{order, day.planned.plan.orders[0].pickup + Minutes{30}});
    CHECK(day.situation(now).unknown == std::vector<std::string>{"blender", "bun.9.mix"});
    const Replanned result = day.replan(now);
    CHECK(result.way == Replanned::Way::unchanged);
    CHECK(result.pickups[0].at == day.planned.plan.orders[0].pickup + Minutes{30});
}

TEST_CASE("a probe's forecast is taken for the end, until somebody says otherwise") {
    Day day(kBuns);
    REQUIRE(day.planned.timetable);
    const Row& prove = day.row("bun.1.prove");
    const ActivityId id = day.id("bun.1.prove");
    const Instant now = prove.start + Minutes{20};
    day.as_told(now);
    day.note(journal::WillEnd{"bun.1.prove", prove.ready + Minutes{5}});
    day.note(journal::Probe{"bun.1.prove", now, 24'000});
    const auto in_an_hour = [&](ActivityId step, Instant start, const std::vector<journal::Probe>& readings) {
        CHECK(step == id);
        CHECK(start == prove.start);
        CHECK(readings.size() == 1);
        return std::optional(now + Minutes{60});
    };
    const auto ready = [&](const replan::Forecast& forecast) {
        return replan::situation(day.planned.plan, day.planned.expansion, day.journal, now, forecast).steps[id].ready;
    };
    CHECK(ready({}) == prove.ready + Minutes{5});
    CHECK(ready(in_an_hour) == now + Minutes{60});
    CHECK(ready([](auto...) { return std::nullopt; }) == prove.ready + Minutes{5});
    day.note(journal::WillEnd{"bun.1.prove", prove.ready + Minutes{7}});
    CHECK(ready(in_an_hour) == prove.ready + Minutes{7});
}

TEST_CASE("a late pickup says what holds it up and what would help; each way was tried") {
    Day day(kBuns);
    REQUIRE(day.planned.timetable);
    const Row& mix = day.row("bun.1.mix");
    const Row& bake = day.row("bun.1.bake.1");
    const Instant now = mix.ready - Minutes{5};
    day.as_told(now);
    day.note(journal::Broken{"oven", now, bake.start + Minutes{90}});
    const Replanned result = day.replan(now);
    REQUIRE(result.timetable);
    REQUIRE(result.pickups[0].last);
    const Minutes late = result.pickups[0].done - result.pickups[0].at;
    REQUIRE(result.pickups[0].held_up.size() == 2);
    CHECK(result.pickups[0].held_up[0].cause == replan::HoldUp::Cause::step);
    CHECK(result.pickups[0].held_up[0].by == day.id("bun.1.bake.1"));
    CHECK(result.pickups[0].held_up[1].cause == replan::HoldUp::Cause::closed);
    REQUIRE(!result.ways.empty());
    CHECK(result.ways[0].kind == replan::WayOut::Kind::borrow);
    CHECK(result.ways[0].late.empty());
    for (const replan::WayOut& way : result.ways)
        for (const auto& one : way.late) CHECK(one.by < late);
}

TEST_CASE("a broken oven is cold when it comes back") {
    Day day(kBuns);
    REQUIRE(day.planned.timetable);
    const Row& bake = day.row("bun.1.bake.1");
    const Instant now = bake.start - Minutes{60};
    day.as_told(now);
    day.note(journal::Broken{"oven", now, bake.start});
    const Replanned result = day.replan(now);
    REQUIRE(result.timetable);
    const ActivityId id = day.id("bun.1.bake.1");
    const Activity& activity = day.planned.expansion.project.activities[id];
    Time heating = 0;
    for (const Demand& demand : activity.demands)
        if (!demand.stages.empty())
            heating = day.planned.expansion.project.resources[demand.choices.front()]
                          .state.startup[demand.stages.front().setting];
    REQUIRE(heating > 0);
    CHECK(day.planned.expansion.origin + Minutes{result.outcome.schedule->start[id]} == bake.start + Minutes{heating});
}

TEST_CASE("somebody else takes over where somebody leaves: only that changes, and it is said") {
    Day day(kBuns);
    REQUIRE(day.planned.timetable);
    REQUIRE(day.planned.plan.kitchen.crew.size() > 1);
    const Row& mix = day.row("bun.1.mix");
    REQUIRE(mix.hands.size() == 1);
    const Instant now = mix.start - Minutes{30};
    day.note(journal::Left{day.planned.plan.kitchen.crew[mix.hands[0].person].name, now, mix.ready});
    const Replanned result = day.replan(now);
    REQUIRE(result.timetable);
    REQUIRE(result.changes.size() == 1);
    CHECK(result.changes[0].step == day.id("bun.1.mix"));
    CHECK(result.changes[0].from == result.changes[0].to);
    CHECK(result.changes[0].others);
    CHECK(result.way == Replanned::Way::reordered);
}
