#include "oventide/replan.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <memory>
#include <string>
#include <vector>

#include "oventide/check.hpp"
#include "replan/ground.hpp"
#include "support/planned.hpp"

using namespace oventide;
using replan::Replanned;
using replan::State;

namespace {

/// Nothing is noted before it happens.
struct Happened {
    std::optional<Instant> operator()(const journal::Started& event) const { return event.at; }
    std::optional<Instant> operator()(const journal::Finished& event) const { return event.at; }
    std::optional<Instant> operator()(const journal::Probe& event) const { return event.at; }
    std::optional<Instant> operator()(const journal::SpreadOut& event) const { return event.at; }
    std::optional<Instant> operator()(const journal::Broken& event) const { return event.at; }
    std::optional<Instant> operator()(const journal::Mended& event) const { return event.at; }
    std::optional<Instant> operator()(const journal::Arrived& event) const { return event.at; }
    template <class Event>
    std::optional<Instant> operator()(const Event&) const {
        return std::nullopt;
    }
};

/// A planned day, its timetable published, and what is noted down afterwards.
struct Day {
    test::Planned planned;
    journal::Journal journal{"UTC", {}, {}};
    Instant recorded;  ///< what is noted down next

    explicit Day(std::string_view text, std::int64_t schedules = 60) : planned(test::planned(text, schedules)) {
        if (planned.timetable) note(journal::publication(planned.plan, *planned.timetable, "0"));
    }
    void note(journal::Event event) {
        recorded = std::max(recorded, std::visit(Happened{}, event).value_or(recorded));
        journal.entries.push_back({static_cast<std::int32_t>(journal.entries.size()) + 1, recorded, std::move(event)});
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

/// The page with its lines run on.
std::string running_on(const Day& day, Instant now, const Replanned& result) {
    const auto situation = day.situation(now);
    std::string text = report::replan_text({day.planned.expansion, day.planned.zone, situation, result, {}}, {});
    std::string words;
    for (const char c : text)
        if (const char one = c == '\n' ? ' ' : c; one != ' ' || words.empty() || words.back() != ' ') words += one;
    return words;
}

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

/// kBuns with a cook who goes home at 13:00 and comes again the next morning.
std::string one_cook_until_one() {
    std::string text = kBuns;
    const std::string ben = "[[kitchen.crew]]\nname  = \"Ben\"\nhours = \"05:00-20:00\"\n";
    text.erase(text.find(ben), ben.size());
    const std::string hours = "05:00-20:00";
    return text.replace(text.find(hours), hours.size(), "05:00-13:00");
}

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

TEST_CASE("what cools on the bench does so as soon as it is out, sooner than announced as well") {
    Day day(kBuns);
    REQUIRE(day.planned.timetable);
    const Row& bake = day.row("bun.1.bake.1");
    const Instant out = bake.ready - Minutes{8};
    day.as_told(bake.start);
    SUBCASE("it is out") {
        day.note(journal::Finished{"bun.1.bake.1", out});
        const auto situation = day.situation(out + Minutes{3});
        CHECK(situation.steps[day.id("bun.1.cool")].by_itself);
        CHECK(situation.steps[day.id("bun.1.cool")].start == out);
        const Replanned result = day.replan(out + Minutes{3});
        REQUIRE(result.timetable);
        CHECK(result.pickups[0].done == out + Minutes{15});
    }
    SUBCASE("it will be out") {
        day.note(journal::WillEnd{"bun.1.bake.1", out});
        const Replanned result = day.replan(bake.start + Minutes{5});
        REQUIRE(result.timetable);
        CHECK(Day::moved(result) == std::vector<std::string>{"bun.1.cool"});
        CHECK(result.changes.front().to == out);
    }
}

TEST_CASE("a prove that nobody noted has begun when the dough was ready, and what it keeps counts") {
    Day day(kBuns);
    REQUIRE(day.planned.timetable);
    const Row& mix = day.row("bun.1.mix");
    const ActivityId prove = day.id("bun.1.prove");
    SUBCASE("the dough is noted to be ready: by itself, then") {
        day.note(journal::Started{"bun.1.mix", mix.start});
        for (const Minutes early : {Minutes{0}, Minutes{2}, Minutes{-5}}) {  // as announced, sooner, later
            Day noted = day;
            const Instant ready = mix.ready - early;
            noted.note(journal::Finished{"bun.1.mix", ready});
            const auto situation = noted.situation(ready + Minutes{20});
            CHECK(situation.steps[prove].state == State::running);
            CHECK(situation.steps[prove].by_itself);
            CHECK(situation.steps[prove].start == ready);
            CHECK(situation.steps[prove].ready == ready + Minutes{60});
            CHECK(noted.replan(ready + Minutes{20}).overdue.empty());
        }
    }
    SUBCASE("and is ready an hour later, though nobody said so: 30 minutes from then it must go into the oven") {
        day.note(journal::Started{"bun.1.mix", mix.start});
        day.note(journal::Finished{"bun.1.mix", mix.ready});
        const Instant now = mix.ready + Minutes{100};
        const auto situation = day.situation(now);
        CHECK(situation.steps[prove].ready_then);
        CHECK(situation.steps[prove].ready == mix.ready + Minutes{60});
        const Replanned result = day.replan(now);
        REQUIRE(result.broken.size() == 1);
        CHECK(result.broken[0].step == prove);
        CHECK(result.broken[0].over >= Minutes{10});
    }
    SUBCASE("its start is noted, and its end not: it ended when it was to, or when the cook said it would") {
        day.note(journal::Started{"bun.1.mix", mix.start});
        day.note(journal::Started{"bun.1.prove", mix.ready});
        CHECK(day.situation(mix.ready + Minutes{70}).steps[prove].ready == mix.ready + Minutes{60});
        day.note(journal::WillEnd{"bun.1.prove", mix.ready + Minutes{90}});
        CHECK(day.situation(mix.ready + Minutes{70}).steps[prove].ready == mix.ready + Minutes{90});
        CHECK(day.situation(mix.ready + Minutes{95}).steps[prove].ready == mix.ready + Minutes{90});
    }
    SUBCASE("the dough is not noted to be ready: nothing begins by itself") {
        day.note(journal::Started{"bun.1.mix", mix.start});
        CHECK(day.situation(mix.ready + Minutes{20}).steps[prove].state == State::waiting);
    }
    SUBCASE("a bake is not over before somebody takes it out") {
        const Row& bake = day.row("bun.1.bake.1");
        day.as_told(bake.start);
        const Instant now = bake.ready + Minutes{6};
        CHECK(day.situation(now).steps[day.id("bun.1.bake.1")].ready == now);
        CHECK(day.situation(now).steps[day.id("bun.1.cool")].state == State::waiting);
    }
    SUBCASE("what needs a fridge, or brings into the cold, has not begun before it is put there") {
        std::string cold = kBuns;
        const std::string keeps = "keeps = \"30 min\"";
        Day chilled(cold.replace(cold.find(keeps), keeps.size(), keeps + ", uses = \"fridge\""));
        REQUIRE(chilled.planned.timetable);
        const Row& mixed = chilled.row("bun.1.mix");
        chilled.note(journal::Started{"bun.1.mix", mixed.start});
        chilled.note(journal::Finished{"bun.1.mix", mixed.ready});
        const auto situation = chilled.situation(mixed.ready + Minutes{20});
        CHECK(situation.steps[prove].state == State::waiting);
        CHECK(chilled.replan(mixed.ready + Minutes{20}).overdue == std::vector<ActivityId>{prove});
    }
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
    const auto unknown = day.situation(now).unknown;
    REQUIRE(unknown.size() == 2);
    CHECK(unknown[0].name == "blender");
    CHECK(unknown[0].entry > 0);
    CHECK(!unknown[0].step);
    CHECK(unknown[1].name == "bun.9.mix");
    CHECK(unknown[1].step);
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
    CHECK(result.pickups[0].held_up[1].cause == replan::HoldUp::Cause::cold);
    REQUIRE(!result.ways.empty());
    CHECK(result.ways[0].kind == replan::WayOut::Kind::borrow);
    CHECK(result.ways[0].late.empty());
    for (const replan::WayOut& way : result.ways)
        for (const auto& one : way.late) CHECK(one.by < late);
}

TEST_CASE("what holds it up leads back to what is really in the way: a bake that stood still, somebody who is busy") {
    Day day(kBuns);
    REQUIRE(day.planned.timetable);
    SUBCASE("the oven was broken while it baked") {
        const Instant now = day.row("bun.1.bake.1").start + Minutes{5};
        day.as_told(now);
        day.note(journal::Broken{"oven", now, now + Minutes{60}});
        const Replanned result = day.replan(now);
        REQUIRE(result.pickups[0].last);
        const auto& chain = result.pickups[0].held_up;
        REQUIRE(chain.size() == 2);
        CHECK(chain[0].cause == replan::HoldUp::Cause::step);
        CHECK(chain[1].cause == replan::HoldUp::Cause::stood);
        CHECK(chain[1].step == day.id("bun.1.bake.1"));
        CHECK(chain[1].resource);
    }
    SUBCASE("the oven is broken, and what is proved for it comes later for that alone") {
        const Instant now = day.row("bun.1.mix").start + Minutes{5};
        day.as_told(now);
        day.note(journal::Broken{"oven", now, now + Minutes{180}});
        const Replanned result = day.replan(now);
        REQUIRE(result.pickups[0].last);
        CHECK(result.pickups[0].held_up.back().cause == replan::HoldUp::Cause::cold);
        CHECK(result.pickups[0].held_up.back().step == day.id("bun.1.bake.1"));
    }
    SUBCASE("what leaves a rack with room to spare is not in the way") {
        std::string text = kBuns;
        text.replace(text.find("{ bun = 12 }"), 12, "{ bun = 12, roll = 6 }");
        const std::string keeps = "keeps = \"30 min\"";
        text.replace(text.find(keeps), keeps.size(), "uses = \"rack\"");
        const std::string oven = "oven = \"200 C\"";  // at once, so that the prove begins as late as the oven makes it
        text.replace(text.find(oven), oven.size(), oven + ", at_once = true");
        Day racked(text + R"(
[[component]]
name  = "roll"
makes = "6 pieces"
steps = [{ name = "stand", takes = "3 h", uses = "rack" }]
)");
        REQUIRE(racked.planned.timetable);
        const Instant now = racked.row("bun.1.mix").start + Minutes{5};
        racked.as_told(now);
        racked.note(journal::Broken{"oven", now, now + Minutes{180}});
        const Replanned first = racked.replan(now);
        const auto prove = std::ranges::find(first.timetable->rows, "bun.1.prove.1", &Row::id);
        REQUIRE(prove != first.timetable->rows.end());
        racked.note(journal::WillEnd{"roll.1.stand", prove->start});
        const Replanned result = racked.replan(now);
        REQUIRE(result.pickups[0].last);
        for (const replan::HoldUp& one : result.pickups[0].held_up) CHECK(one.by != racked.id("roll.1.stand"));
        CHECK(result.pickups[0].held_up.back().cause == replan::HoldUp::Cause::cold);
    }
    SUBCASE("the only one who can is at what has begun") {
        Day alone(one_cook_until_one());
        const Row& mix = alone.row("bun.1.mix");
        alone.note(journal::Started{"bun.1.mix", mix.start});
        alone.note(journal::WillEnd{"bun.1.mix", mix.ready + Minutes{60}});
        const Replanned result = alone.replan(mix.start + Minutes{5});
        REQUIRE(result.pickups[0].last);
        CHECK(result.pickups[0].held_up.back().cause == replan::HoldUp::Cause::step);
        CHECK(result.pickups[0].held_up.back().by == alone.id("bun.1.mix"));
    }
}

TEST_CASE("an oven that all were away for when it was to be switched on is cold, unless its timer does it") {
    for (const bool timer : {false, true}) {
        std::string text = kBuns;
        if (timer) text.replace(text.find("trays = 4"), 9, "trays = 4\ntimer = true");
        Day day(text);
        REQUIRE(day.planned.timetable);
        const Instant on = day.planned.timetable->oven.front().at;
        REQUIRE(day.planned.timetable->oven.front().kind == OvenEvent::Kind::on);
        for (const char* who : {"Ada", "Ben"}) day.note(journal::Left{who, on - Minutes{1}, on + Minutes{1}});
        const auto situation = day.situation(on + Minutes{2});
        CAPTURE(timer);
        const auto& oven = day.planned.plan.kitchen.equipment;
        const auto index = std::ranges::find(oven, EquipmentKind::oven, &Equipment::kind) - oven.begin();
        CHECK(situation.told_turns[static_cast<std::size_t>(index)].size() == (timer ? 1U : 0U));
    }
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

// Common sense, no source: an oven without heat gets no hotter.
TEST_CASE("an oven that breaks while it heats up is cold again: what it had come to does not count") {
    Day day(kBuns);
    REQUIRE(day.planned.timetable);
    const Row bake = day.row("bun.1.bake.1");
    const ActivityId id = day.id("bun.1.bake.1");
    const Minutes heating{18};  // from 20 C to 200 C, by 10 C a minute
    const Instant on = bake.start - heating;
    REQUIRE(day.planned.timetable->oven.front().kind == OvenEvent::Kind::on);
    REQUIRE(day.planned.timetable->oven.front().at == on);
    const auto start = [&](const Replanned& result) {
        return day.planned.expansion.origin + Minutes{result.outcome.schedule->start[id]};
    };
    const auto publish = [&](const Replanned& result) {
        REQUIRE(result.timetable);
        day.note(journal::publication(day.planned.plan, *result.timetable, "0"));
    };
    const auto turned = [](const Replanned& result, Instant at) {
        const auto event = std::ranges::find_if(result.timetable->oven, [&](const OvenEvent& each) {
            return each.kind != OvenEvent::Kind::hot && each.at == at;
        });
        REQUIRE(event != result.timetable->oven.end());
        return event->kind;
    };
    const Instant breaks = on + Minutes{10};
    const Instant mended = breaks + Minutes{6};
    day.as_told(breaks);
    day.note(journal::Broken{"oven", breaks, mended});
    const Replanned first = day.replan(breaks);
    REQUIRE(first.timetable);
    CHECK(start(first) == mended + heating);
    CHECK(turned(first, mended) == OvenEvent::Kind::on);
    CHECK(first.timetable->oven.front().at == on);
    CHECK(turned(first, breaks) == OvenEvent::Kind::off);

    SUBCASE("announced: it is switched on when it is mended, and hot so much later, not before") {
        publish(first);
        const Replanned after = day.replan(mended + Minutes{3});
        CHECK(after.way == Replanned::Way::unchanged);
        CHECK(start(after) == mended + heating);
    }
    SUBCASE("nobody was told to switch it on again: from now on at the earliest") {
        const Replanned after = day.replan(mended + Minutes{3});
        REQUIRE(after.timetable);
        CHECK(start(after) == mended + Minutes{3} + heating);
        CHECK(turned(after, mended + Minutes{3}) == OvenEvent::Kind::on);
    }
    SUBCASE("mended sooner than was said") {
        publish(first);
        day.note(journal::Mended{"oven", breaks + Minutes{2}});
        const Replanned after = day.replan(breaks + Minutes{2});
        REQUIRE(after.timetable);
        CHECK(start(after) == breaks + Minutes{2} + heating);
    }
    SUBCASE("it breaks again while it heats up again") {
        publish(first);
        const Instant again = mended + Minutes{10};
        const Instant whole = again + Minutes{7};
        day.note(journal::Broken{"oven", again, whole});
        const Replanned second = day.replan(again);
        CHECK(start(second) == whole + heating);
        publish(second);
        const Replanned after = day.replan(whole + Minutes{1});
        CHECK(after.way == Replanned::Way::unchanged);
        CHECK(start(after) == whole + heating);
        day.note(journal::TakenBack{static_cast<std::int32_t>(day.journal.entries.size()) - 1});
        CHECK(start(day.replan(again + Minutes{1})) >= mended + heating);  // it was on since then, as announced before
    }
    SUBCASE("what the cook puts in is in there: the kitchen is right") {
        publish(first);
        day.note(journal::Started{"bun.1.bake.1", mended + Minutes{5}});
        const auto situation = day.situation(mended + Minutes{6});
        CHECK(situation.steps[id].start == mended + Minutes{5});
        CHECK(day.replan(mended + Minutes{6}).timetable);
    }
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
    CHECK(result.changes[0].other_people);
    CHECK(!result.changes[0].other_equipment);
    CHECK(result.way == Replanned::Way::reordered);
}

namespace {

/// Trays in the oven at that minute, by the plan's own figures and the answer's starts: what runs, and what is to
/// start.
int trays_in(const Day& day, const Replanned& result, Instant minute) {
    int trays = 0;
    for (std::size_t k = 0; k < day.planned.expansion.project.activities.size(); ++k) {
        const Row& told = day.row(day.planned.expansion.project.activities[k].name);
        const Instant start = day.planned.expansion.origin + Minutes{result.outcome.schedule->start[k]};
        const Instant end = start + Minutes{result.expansion->project.activities[k].duration};
        for (const EquipmentUse& use : told.equipment)
            if (day.planned.plan.kitchen.equipment[use.equipment].kind == EquipmentKind::oven && start <= minute &&
                minute < end)
                trays += use.amount;
    }
    return trays;
}

/// Two loads of three trays, one after the other, in an oven of three.
const std::string kTwoLoads = test::plan_for_buns(R"(
[[component]]
name  = "bun"
makes = "12 pieces"
steps = [
  { name = "mix",  takes = "10 min", hands = true },
  { name = "bake", takes = "40 min", oven = "200 C", tray = 2, hands = { first = "2 min", last = "2 min" } },
  { name = "cool", takes = "15 min", keeps = "5 h" },
]
)");

}  // namespace

namespace {

/// The oven of the plan cools by 5 C a minute, and heats by 10: it is as hot again in half the time, in whole minutes.
Minutes again(Minutes cold_for) { return (cold_for + Minutes{1}) / 2; }

}  // namespace

// Common practice, no source: who is not there takes nothing out.
TEST_CASE("whoever was to take something out is away then: somebody else does, or it is said that nobody is there") {
    Day day(kBuns);
    REQUIRE(day.planned.timetable);
    const Row& bake = day.row("bun.1.bake.1");
    const Instant now = bake.start + Minutes{5};
    day.as_told(now);
    const PersonIndex told =
        std::ranges::max_element(bake.hands, {}, [](const HandsUse& one) { return one.span.from; })->person;
    const auto takes_out = [&](const Replanned& result) {
        REQUIRE(result.timetable);
        const auto row = std::ranges::find(result.timetable->rows, "bun.1.bake.1", &Row::id);
        for (const HandsUse& hands : row->hands)
            if (hands.span.to == bake.ready) return hands.person;
        return PersonIndex{-1};
    };
    CHECK(takes_out(day.replan(now)) == told);
    const auto leaves = [&](PersonIndex person) {
        day.note(journal::Left{day.planned.plan.kitchen.crew[person].name, bake.ready - Minutes{5},
                               bake.ready + Minutes{20}});
    };
    leaves(told);
    CHECK(takes_out(day.replan(now)) == 1 - told);
    CHECK(running_on(day, now, day.replan(now)).find("nobody else is there") == std::string::npos);
    leaves(1 - told);
    CHECK(takes_out(day.replan(now)) == told);
    CHECK(running_on(day, now, day.replan(now)).find("nobody else is there for it or free") != std::string::npos);
}

// Common practice, no source: in a cold oven nothing bakes on.
TEST_CASE("an oven that breaks with food in it: its time stands still, the cook is asked, until something is noted") {
    Day day(kBuns);
    REQUIRE(day.planned.timetable);
    const Row& bake = day.row("bun.1.bake.1");
    const ActivityId id = day.id("bun.1.bake.1");
    const Instant now = bake.start + Minutes{10};
    day.as_told(now);
    const auto started = std::ranges::find_if(day.journal.entries, [](const journal::Entry& entry) {
        const auto* event = std::get_if<journal::Started>(&entry.event);
        return event != nullptr && event->step == "bun.1.bake.1";
    });
    const std::int32_t entry = started->number;
    day.note(journal::Broken{"oven", now, now + Minutes{12}});

    const auto situation = day.situation(now);
    REQUIRE(situation.interruptions.size() == 1);
    const replan::Interruption& one = situation.interruptions[0];
    CHECK(one.step == id);
    CHECK(one.span.from == now);
    CHECK(one.span.to == now + Minutes{12});
    CHECK(one.moved == Minutes{12} + again(Minutes{12}));
    CHECK(one.noted == entry);
    CHECK(situation.steps[id].ready == bake.ready + Minutes{12} + again(Minutes{12}));
    const Replanned result = day.replan(now);
    REQUIRE(result.timetable);
    REQUIRE(!result.changes.empty());
    CHECK(result.changes[0].to == bake.ready + Minutes{12} + again(Minutes{12}));
    // Its time at the heat is what the plan says; how long the oven was not hot is no part of it.
    const Row& interrupted = *std::ranges::find(result.timetable->rows, "bun.1.bake.1", &Row::id);
    REQUIRE(interrupted.heat.size() == 3);
    CHECK(interrupted.heat[1].broken);
    CHECK_FALSE(interrupted.heat[1].temperature.has_value());
    CHECK(interrupted.heat[1].span == Span{now, now + Minutes{12} + again(Minutes{12})});
    CHECK(interrupted.heat[0].span.from == bake.start);
    CHECK(interrupted.heat[2].span.to == interrupted.ready);
    const auto clock = [](Instant at) { return std::to_string(at.time_since_epoch().count()); };
    CHECK(baking(day.planned.plan, interrupted, clock) == baking(day.planned.plan, bake, clock) +
                                                              "; oven broken, not hot " + clock(now) + " to " +
                                                              clock(now + Minutes{12} + again(Minutes{12})));

    SUBCASE("mended earlier, it stood still for less") {
        day.note(journal::Mended{"oven", now + Minutes{5}});
        CHECK(day.situation(now + Minutes{5}).steps[id].ready == bake.ready + Minutes{5} + again(Minutes{5}));
    }
    SUBCASE("mended a little later, it stood still for longer") {
        day.note(journal::Mended{"oven", now + Minutes{20}});
        CHECK(day.situation(now + Minutes{20}).steps[id].ready == bake.ready + Minutes{20} + again(Minutes{20}));
    }
    SUBCASE("called mended long after, it was mended when it was to be") {
        day.note(journal::Mended{"oven", now + Minutes{45}});
        const auto after = day.situation(now + Minutes{45});
        REQUIRE(after.interruptions.size() == 1);
        CHECK(after.interruptions[0].span.to == now + Minutes{12});
    }
    SUBCASE("until nobody knows when: as if it were mended now, whenever that is") {
        Day open(kBuns);
        open.as_told(now);
        open.note(journal::Broken{"oven", now, std::nullopt});
        for (const Minutes after : {Minutes{1}, Minutes{9}}) {
            const Replanned conditional = open.replan(now + after);  // nothing else waits for the oven
            CHECK(conditional.way == Replanned::Way::conditional);
            REQUIRE(conditional.needs.size() == 1);
            CHECK(conditional.needs[0].kind == replan::Need::Kind::mended);
            CHECK(!conditional.pickups[0].last);
            const auto later = open.situation(now + after);
            REQUIRE(later.interruptions.size() == 1);
            CHECK(later.interruptions[0].open);
            CHECK(later.steps[id].ready == bake.ready + after + again(after));
        }
    }
    SUBCASE("what is noted since counts, and nothing is asked any more") {
        day.note(journal::WillEnd{"bun.1.bake.1", bake.ready + Minutes{20}});
        CHECK(day.situation(now).interruptions.empty());
        CHECK(day.situation(now).steps[id].ready == bake.ready + Minutes{20});
    }
    SUBCASE("finished") {
        day.note(journal::Finished{"bun.1.bake.1", now + Minutes{1}});
        CHECK(day.situation(now + Minutes{1}).interruptions.empty());
    }
    SUBCASE("its start taken back, it starts anew in the mended oven, hot again") {
        day.note(journal::TakenBack{entry});
        CHECK(day.situation(now).interruptions.empty());
        const Replanned anew = day.replan(now);
        REQUIRE(anew.timetable);
        CHECK(day.planned.expansion.origin + Minutes{anew.outcome.schedule->start[id]} > now + Minutes{12});
    }
}

TEST_CASE("an oven that breaks between two loads is off from then on, and heated anew") {
    Day day(kTwoLoads);
    REQUIRE(day.planned.timetable);
    std::vector<Row> loads;
    for (const Row& row : day.planned.timetable->rows)
        if (row.id.find("bake") != std::string::npos) loads.push_back(row);
    REQUIRE(loads.size() == 2);
    const Instant breaks = loads[0].ready;
    REQUIRE(loads[1].start == breaks);
    const Instant mended = breaks + Minutes{4};
    Minutes heating{18};
    bool loaded = false;
    SUBCASE("empty: from cold") {}
    SUBCASE("in the minute in which the next has gone in: that is in there, and has little to make good") {
        heating = again(Minutes{4});
        loaded = true;
    }
    day.as_told(breaks - Minutes{1});
    day.note(journal::Finished{loads[0].id, breaks});
    if (loaded) day.note(journal::Started{loads[1].id, breaks});
    day.note(journal::Broken{"oven", breaks, mended});
    for (const Minutes after : {Minutes{0}, Minutes{2}, Minutes{4}, Minutes{6}}) {
        CAPTURE(after.count());
        const Replanned result = day.replan(breaks + after);
        REQUIRE(result.timetable);
        std::vector<std::pair<OvenEvent::Kind, Instant>> turns;
        for (const OvenEvent& event : result.timetable->oven)
            if (event.at >= breaks && event.at <= mended + Minutes{30}) turns.emplace_back(event.kind, event.at);
        // Nobody was told before now to switch it on; but whoever leaves food in there does.
        const Instant on = loaded ? mended : std::max(mended, breaks + after);
        const std::vector<std::pair<OvenEvent::Kind, Instant>> expected{
            {OvenEvent::Kind::off, breaks}, {OvenEvent::Kind::on, on}, {OvenEvent::Kind::hot, on + heating}};
        CHECK(turns == expected);
    }
}

/// What was announced of the oven until then, and what it is said to have done.
using TurnsOfOven = std::vector<std::pair<Instant, std::optional<MilliCelsius>>>;

TurnsOfOven turns_until(const Timetable& timetable, Instant end) {
    TurnsOfOven turns;
    for (const OvenEvent& event : timetable.oven)
        if (event.kind != OvenEvent::Kind::hot && event.at < end) turns.emplace_back(event.at, event.temperature);
    return turns;
}

/// kTwoLoads with one load, after which the oven is turned down for biscuits.
std::string buns_and_biscuits() {
    std::string text = kTwoLoads;
    text.replace(text.find("tray = 2"), 8, "tray = 12");
    text.insert(text.find("[[component]]"), R"([[component]]
name  = "biscuit"
makes = "12 pieces"
steps = [
  { name = "bake", takes = "12 min", oven = "160 C", tray = 12, hands = { first = "2 min", last = "2 min" } },
]
)");
    const std::string items = "bun = 12";
    REQUIRE(text.find(items) != std::string::npos);
    return text.replace(text.find(items), items.size(), "bun = 12, biscuit = 12");
}

// Common sense, no source: nobody turns an oven before they are told to.
TEST_CASE(
    "a bake that was out sooner than it is said: the oven is turned down now, and no sooner as hot as is wanted") {
    Day day(buns_and_biscuits());
    REQUIRE(day.planned.timetable);
    const Row first = day.row("bun.1.bake.1");
    const Row second = day.row("biscuit.1.bake.1");
    REQUIRE(second.start == first.ready + Minutes{8});  // from 200 C to 160 C, by 5 C a minute
    const Instant asked = first.ready - Minutes{2};
    day.as_told(asked);
    day.note(journal::Finished{first.id, first.ready - Minutes{6}});
    const Replanned result = day.replan(asked);
    REQUIRE(result.timetable);
    const TurnsOfOven before = turns_until(*result.timetable, asked);
    CHECK(before == turns_until(*day.planned.timetable, asked));
    const TurnsOfOven now = turns_until(*result.timetable, second.start + Minutes{1});
    REQUIRE(now.size() == before.size() + 1);
    CHECK(now.back().first >= asked);
    CHECK(now.back().second == 160'000);
    for (const OvenEvent& event : result.timetable->oven)
        if (event.kind == OvenEvent::Kind::hot && event.temperature == 160'000)
            CHECK(event.at >= now.back().first + Minutes{8});
}

TEST_CASE("after an outage with food in it an oven is said to have done what was announced, before and after") {
    Day day(kTwoLoads);
    REQUIRE(day.planned.timetable);
    const Row bake = *std::ranges::find_if(day.planned.timetable->rows,
                                           [](const Row& row) { return row.id.find("bake") != std::string::npos; });
    const Instant breaks = bake.start + Minutes{10};
    const Instant mended = breaks + Minutes{6};
    day.as_told(breaks);
    day.note(journal::Broken{"oven", breaks, mended});
    const Replanned first = day.replan(breaks);
    REQUIRE(first.timetable);
    day.journal.entries.push_back({99, breaks, journal::publication(day.planned.plan, *first.timetable, "0")});
    for (const Minutes after : {Minutes{1}, Minutes{8}, Minutes{20}}) {
        CAPTURE(after.count());
        const Replanned later = day.replan(breaks + after);
        REQUIRE(later.timetable);
        CHECK(later.changes.empty());
        CHECK(turns_until(*later.timetable, Instant::max()) == turns_until(*first.timetable, Instant::max()));
    }
    const TurnsOfOven turns = turns_until(*first.timetable, mended + Minutes{1});
    REQUIRE(turns.size() == 3);
    CHECK(turns[0] == turns_until(*day.planned.timetable, breaks).back());
    CHECK(turns[1] == std::pair(breaks, std::optional<MilliCelsius>{}));
    CHECK(turns[2] == std::pair(mended, std::optional<MilliCelsius>{200'000}));
}

TEST_CASE("a programme that stood still in a broken oven went on as it did, once it is out as well") {
    std::string text = kTwoLoads;
    const std::string baked = R"(takes = "40 min", oven = "200 C", tray = 2)";
    REQUIRE(text.find(baked) != std::string::npos);
    text.replace(text.find(baked), baked.size(),
                 R"(oven = ["200 C 15 min", "180 C 10 min", "off ajar 10 min"], tray = 12)");
    Day day(text);
    REQUIRE(day.planned.timetable);
    const Row bake = day.row("bun.1.bake.1");
    const Instant breaks = bake.start + Minutes{5};
    const Instant mended = breaks + Minutes{6};
    day.as_told(breaks);
    day.note(journal::Broken{"oven", breaks, mended});
    const Replanned first = day.replan(breaks);
    REQUIRE(first.timetable);
    day.journal.entries.push_back({99, breaks, journal::publication(day.planned.plan, *first.timetable, "0")});
    const auto row = [](const Replanned& result) {
        return *std::ranges::find(result.timetable->rows, "bun.1.bake.1", &Row::id);
    };
    const Row stretched = row(first);
    REQUIRE(stretched.end == bake.end + Minutes{6} + again(Minutes{6}));
    day.note(journal::Finished{"bun.1.bake.1", stretched.end});
    const Replanned after = day.replan(stretched.end);
    REQUIRE(after.timetable);
    CHECK(turns_until(*after.timetable, Instant::max()) == turns_until(*first.timetable, Instant::max()));
    const auto spans = [](const Row& of) {
        std::vector<std::tuple<Instant, Instant, std::optional<MilliCelsius>>> all;
        for (const Heat& heat : of.heat) all.emplace_back(heat.span.from, heat.span.to, heat.temperature);
        return all;
    };
    CHECK(spans(row(after)) == spans(stretched));
}

TEST_CASE("a batch does not wait for the one before it that runs long") {
    Day day(test::plan_for_buns(R"(
[[component]]
name  = "bun"
makes = "6 pieces"
steps = [
  { name = "cook",  takes = "20 min", hands = true, uses = "hob" },
  { name = "chill", takes = "1 h", uses = "fridge", within = "10 min", keeps = "5 h" },
]
)"));
    REQUIRE(day.planned.timetable);
    const Row first = day.row("bun.1.cook");
    const Row second = day.row("bun.2.cook");
    REQUIRE(first.start == second.start);
    const Instant asked = first.start + Minutes{5};
    day.as_told(asked);
    day.note(journal::WillEnd{"bun.1.cook", first.ready + Minutes{20}});
    const Replanned result = day.replan(asked);
    REQUIRE(result.timetable);
    CHECK(result.broken.empty());
    CHECK(Day::moved(result) == std::vector<std::string>{"bun.1.chill"});
}

// By hand: what waits for the chill is as much later as that runs long; the domes want only their own batch of cream.
TEST_CASE("a batch that is not begun does not wait either, where that would make an order late; then that stands") {
    Day day(R"(
timezone = "UTC"
[kitchen]
crew = [{ name = "Ada", hours = "06:00-20:00" }]
fridge = [{ shelves = 4 }]
[[order]]
name   = "Ladder Street"
pickup = 2026-10-03T12:00:00
items  = { cup = 10 }
[[order]]
name   = "Old Forge"
pickup = 2026-10-03T12:30:00
items  = { dome = 10 }
[[component]]
name  = "cream"
makes = "200 g"
keeps = "15 min"
steps = [{ name = "whip", takes = "5 min", hands = true }]
[[component]]
name  = "cup"
makes = "10 pieces"
steps = [
  { name = "cook",  takes = "10 min", hands = true },
  { name = "chill", takes = "1 h", uses = "fridge", keeps = "5 h" },
  { name = "top",   takes = "10 min", hands = true, with = { cream = "20 g" } },
]
[[component]]
name  = "dome"
makes = "10 pieces"
steps = [
  { name = "unmould", takes = "10 min", hands = true },
  { name = "thaw",    takes = "1 h", uses = "fridge", keeps = "30 min" },
  { name = "pipe",    takes = "10 min", hands = true, with = { cream = "20 g" } },
]
)");
    REQUIRE(day.planned.timetable);
    const Row chill = day.row("cup.1.chill");
    REQUIRE(day.row("cream.1.whip").start < day.row("cream.2.whip").start);
    day.as_told(chill.start);
    day.note(journal::WillEnd{"cup.1.chill", chill.ready + std::chrono::hours{3}});
    const Replanned result = day.replan(chill.start);
    REQUIRE(result.timetable);
    CHECK(Day::moved(result) == std::vector<std::string>{"cream.1.whip", "cup.1.top"});
    CHECK(result.changes.back().to == chill.ready + std::chrono::hours{3});
    CHECK(result.broken.empty());

    day.note(journal::publication(day.planned.plan, *result.timetable, "0"));
    const Replanned again = day.replan(chill.start + Minutes{10});
    CHECK(again.way == Replanned::Way::unchanged);
}

// By hand: a big oven that breaks until long after the pickup, and a small one that takes both loads one after another.
TEST_CASE("food under way may pass a limit that is still to come, rather than stand for hours") {
    Day day(R"(
timezone = "UTC"
[kitchen]
crew = [{ name = "Ada", hours = "06:00-20:00" }]
oven = [
  { name = "big", trays = 2, heats = "10 C/min", cools = "5 C/min" },
  { name = "small", trays = 1, heats = "10 C/min", cools = "5 C/min" },
]
[[order]]
name   = "Ladder Street"
pickup = 2026-10-03T12:00:00
items  = { loaf = 12 }
[[component]]
name  = "loaf"
makes = "12 pieces"
steps = [
  { name = "shape", takes = "20 min", hands = true },
  { name = "prove", takes = "40 min", keeps = "10 min", at_once = true },
  { name = "bake",  takes = "30 min", oven = "200 C", tray = 6 },
]
)");
    REQUIRE(day.planned.timetable);
    const Row shape = day.row("loaf.1.shape");
    const Instant asked = shape.start + Minutes{10};
    day.note(journal::Started{"loaf.1.shape", shape.start});
    day.note(journal::Broken{"big", asked, asked + std::chrono::hours{5}});
    const Replanned result = day.replan(asked);
    REQUIRE(result.timetable);
    const auto start = [&](const char* id) { return std::ranges::find(result.timetable->rows, id, &Row::id)->start; };
    CHECK(start("loaf.1.prove") == shape.ready);
    CHECK(start("loaf.1.bake.2") - start("loaf.1.bake.1") == Minutes{30});
    REQUIRE(result.broken.size() == 1);
    CHECK(result.broken[0].over == Minutes{20});
}

// By the rates of the oven: 5 C a minute down, 10 C a minute up, no colder than the room at 20 C.
TEST_CASE("an oven that breaks again before it is hot again has what it had lost to make good too") {
    Day day(kBuns);
    REQUIRE(day.planned.timetable);
    const Row bake = day.row("bun.1.bake.1");
    const ActivityId id = day.id("bun.1.bake.1");
    const Instant first = bake.start + Minutes{10};
    const auto broken = [&](Minutes lasts, Minutes works, Minutes lasts_again, bool open) {
        Day one = day;
        one.as_told(first);
        const Instant again = first + lasts + works;
        one.note(journal::Broken{"oven", first, first + lasts});
        if (open)
            one.note(journal::Broken{"oven", again, std::nullopt});
        else
            one.note(journal::Broken{"oven", again, again + lasts_again});
        return one;
    };
    SUBCASE("60 C lost, 20 C made good, 50 C lost: 90 C, which take 9 minutes") {
        const Day twice = broken(Minutes{12}, Minutes{2}, Minutes{10}, false);
        const Instant mended = first + Minutes{24};
        const auto situation = twice.situation(mended);
        REQUIRE(situation.interruptions.size() == 2);
        CHECK(situation.steps[id].ready == bake.ready + Minutes{24 + 9});
        const Replanned result = twice.replan(mended);
        REQUIRE(result.timetable);
        std::vector<Instant> hot;
        for (const OvenEvent& event : result.timetable->oven)
            if (event.kind == OvenEvent::Kind::hot && event.at > first) hot.push_back(event.at);
        CHECK(hot == std::vector<Instant>{mended + Minutes{9}});
    }
    SUBCASE("cold both times: 180 C, and no more than that") {
        const Day twice = broken(Minutes{40}, Minutes{2}, Minutes{40}, false);
        CHECK(twice.situation(first + Minutes{82}).steps[id].ready == bake.ready + Minutes{82 + 18});
    }
    SUBCASE("hot in between: each by itself") {
        const Day twice = broken(Minutes{12}, Minutes{7}, Minutes{12}, false);
        CHECK(twice.situation(first + Minutes{31}).steps[id].ready == bake.ready + Minutes{2 * (12 + 6)});
    }
    SUBCASE("until nobody knows when: once it is mended, what it lost the first time counts too") {
        const Day open = broken(Minutes{40}, Minutes{2}, Minutes{0}, true);
        const Replanned result = open.replan(first + Minutes{43});
        CHECK(result.way == Replanned::Way::conditional);
        CHECK(open.situation(first + Minutes{43}).steps[id].ready == bake.ready + Minutes{43} + Minutes{17});
        const Day known = broken(Minutes{40}, Minutes{2}, Minutes{4}, false);
        CHECK(known.situation(first + Minutes{46}).steps[id].ready == bake.ready + Minutes{46} + Minutes{18});
    }
}

TEST_CASE("an oven that breaks while it bakes is switched off as much later; one that is off already dries on") {
    std::string dried = kBuns;
    const std::string baked = R"(takes = "30 min", oven = "200 C")";
    dried.replace(dried.find(baked), baked.size(), R"(oven = ["200 C 30 min", "off 15 min"])");
    Day day(dried);
    REQUIRE(day.planned.timetable);
    const Row bake = day.row("bun.1.bake.1");
    const ActivityId id = day.id("bun.1.bake.1");
    const auto switched_off = [](const std::vector<OvenEvent>& events) {
        const auto off = std::ranges::find(events.rbegin(), events.rend(), OvenEvent::Kind::off, &OvenEvent::kind);
        REQUIRE(off != events.rend());
        return off->at;
    };
    REQUIRE(switched_off(day.planned.timetable->oven) == bake.start + Minutes{30});

    SUBCASE("in the heat") {
        const Instant now = bake.start + Minutes{10};
        day.as_told(now);
        day.note(journal::Broken{"oven", now, now + Minutes{12}});
        const Replanned result = day.replan(now);
        REQUIRE(result.timetable);
        CHECK(switched_off(result.timetable->oven) == bake.start + Minutes{42} + again(Minutes{12}));
    }
    SUBCASE("switched on again at its end, and hot from then on; and when it is mended earlier") {
        const Instant now = bake.start + Minutes{10};
        day.as_told(now);
        day.note(journal::Broken{"oven", now, now + Minutes{12}});
        Minutes lasted{12};
        SUBCASE("as was said") {}
        SUBCASE("mended") {
            lasted = Minutes{4};
            day.note(journal::Mended{"oven", now + lasted});
        }
        const Replanned result = day.replan(now + Minutes{4});
        REQUIRE(result.timetable);
        const auto on = std::ranges::find_if(result.timetable->oven, [&](const OvenEvent& event) {
            return event.kind == OvenEvent::Kind::on && event.at == now + lasted;
        });
        REQUIRE(on != result.timetable->oven.end());
        CHECK(on->temperature == 200'000);
        const auto hot = hot_after(*result.timetable, static_cast<std::size_t>(on - result.timetable->oven.begin()));
        CHECK(hot == now + lasted + again(lasted));
    }
    SUBCASE("it runs long: in the heat that is longer, and then it dries as long as ever; drying, that is longer") {
        for (const Minutes said : {Minutes{10}, Minutes{30}, Minutes{35}}) {
            CAPTURE(said.count());
            Day longer = day;
            longer.as_told(bake.start + said);
            longer.journal.entries.push_back({static_cast<std::int32_t>(longer.journal.entries.size()) + 1,
                                              bake.start + said,
                                              journal::WillEnd{"bun.1.bake.1", bake.ready + Minutes{7}}});
            const Replanned result = longer.replan(bake.start + said);
            REQUIRE(result.timetable);
            const Minutes heat = said <= Minutes{30} ? Minutes{37} : Minutes{30};
            CHECK(switched_off(result.timetable->oven) == bake.start + heat);
            CHECK(std::ranges::find(result.timetable->rows, "bun.1.bake.1", &Row::id)->ready ==
                  bake.ready + Minutes{7});
        }
    }
    SUBCASE("off") {
        const Instant now = bake.start + Minutes{35};
        day.as_told(now);
        day.note(journal::Broken{"oven", now, now + Minutes{5}});
        CHECK(day.situation(now).interruptions.empty());
        CHECK(day.situation(now).steps[id].ready == bake.ready);
    }
}

TEST_CASE("a fridge that breaks: what is in it keeps its end, and is named; so is what is ready and waits there") {
    Day day(test::plan_for_buns(R"(
[[component]]
name  = "bun"
makes = "12 pieces"
steps = [
  { name = "mix",   takes = "20 min", hands = true },
  { name = "chill", takes = "1 h", keeps = "3 h", uses = "mixer" },
  { name = "cold",  takes = "1 h", keeps = "3 h", uses = "fridge" },
  { name = "shape", takes = "15 min", hands = true },
]
)"));
    REQUIRE(day.planned.timetable);
    const Row& cold = day.row("bun.1.cold");
    const ActivityId id = day.id("bun.1.cold");
    const Instant now = cold.start + Minutes{20};
    day.as_told(now);
    day.note(journal::Broken{"fridge", now, now + Minutes{30}});
    const auto under_way = day.situation(now);
    REQUIRE(under_way.interruptions.size() == 1);
    CHECK(under_way.interruptions[0].moved == Minutes{0});
    CHECK(under_way.steps[id].ready == cold.ready);
    CHECK(day.replan(now).way == Replanned::Way::unchanged);

    day.note(journal::Finished{"bun.1.cold", now + Minutes{1}});
    const auto ready = day.situation(now + Minutes{1});
    REQUIRE(ready.interruptions.size() == 1);
    CHECK(ready.interruptions[0].kept);
    day.note(journal::Probe{"bun.1.cold", now + Minutes{2}, 4'000});
    CHECK(day.situation(now + Minutes{2}).interruptions.empty());
}

TEST_CASE("a load stays in the oven until it is out, broken or not: nothing is put on top of it") {
    Day day(kTwoLoads);
    REQUIRE(day.planned.timetable);
    const auto loads = [&] {
        std::vector<Row> rows;
        for (const Row& row : day.planned.timetable->rows)
            if (row.id.find("bake") != std::string::npos) rows.push_back(row);
        return rows;
    }();
    REQUIRE(loads.size() >= 2);
    const Equipment& oven =
        *std::ranges::find(day.planned.plan.kitchen.equipment, EquipmentKind::oven, &Equipment::kind);
    const Row& first = loads.front();
    const Instant now = first.start + Minutes{10};
    for (const Minutes late : {Minutes{0}, Minutes{30}, Minutes{75}})
        for (const Minutes broken : {Minutes{5}, Minutes{20}}) {
            CAPTURE(late.count());
            CAPTURE(broken.count());
            Day asked = day;
            asked.as_told(now);
            asked.note(journal::Broken{"oven", now, now + broken});
            if (late > Minutes{0}) asked.note(journal::WillEnd{first.id, first.ready + late});
            for (const Minutes after : {Minutes{0}, Minutes{4}, broken + Minutes{3}}) {
                const Replanned result = asked.replan(now + after);
                REQUIRE(result.timetable);
                for (Minutes minute{0}; minute < Minutes{300}; ++minute)
                    CHECK(trays_in(asked, result, now + after + minute) <= oven.capacity);
            }
        }
}

namespace {

/// The evening's dough must lie ten hours; Ada is there in the evening until 19:00, and Ben on the morrow.
std::string evening_and_morrow() {
    return R"(
timezone = "UTC"
[kitchen]
[[kitchen.crew]]
name  = "Ada"
hours = ["Fri 17:00-19:00"]
[[kitchen.crew]]
name  = "Ben"
hours = ["Sat 04:00-12:00"]
[[kitchen.mixer]]
[[kitchen.fridge]]
shelves = 4
[[kitchen.oven]]
trays = 2
heats = "10 C/min"
cools = "5 C/min"
[[order]]
name   = "Ladder Street"
pickup = 2026-10-03T08:00:00
items  = { bun = 12 }
[[component]]
name  = "bun"
makes = "12 pieces"
steps = [
  { name = "knead", takes = "20 min", hands = true, uses = "mixer", wash = "6 min" },
  { name = "rest",  takes = "10 h", keeps = "2 h", uses = "fridge", within = "10 min" },
  { name = "bake",  takes = "30 min", oven = "200 C", tray = 12, hands = { first = "2 min", last = "2 min" } },
]
)";
}

}  // namespace

TEST_CASE("nobody's hours are long enough: who must stay, until when at least, and the day as it is then") {
    Day day(evening_and_morrow());
    REQUIRE(day.planned.timetable);
    // 18:48, and nothing is begun: kneading and washing up take 26 minutes, so 19:14 by the plan's own figures.
    const Instant now = *day.planned.timetable->alarm;
    const Instant ends = day.planned.plan.kitchen.crew[0].hours[0].to;
    const Instant asked = ends - Minutes{12};
    REQUIRE(now < asked);
    const Replanned result = day.replan(asked);
    REQUIRE(result.way == Replanned::Way::conditional);
    REQUIRE(result.needs.size() == 1);
    CHECK(result.needs[0].kind == replan::Need::Kind::stays);
    CHECK(result.needs[0].what == 0);
    CHECK(result.needs[0].at == asked + Minutes{26});
    CHECK(result.needs[0].instead == ends);
    REQUIRE(result.timetable);
    CHECK(!result.pickups[0].last);

    SUBCASE("noted, the same timetable is found as things are") {
        day.note(journal::Stays{"Ada", ends, asked + Minutes{26}});
        const Replanned noted = day.replan(asked);
        CHECK(noted.way != Replanned::Way::conditional);
        REQUIRE(noted.timetable);
        CHECK(noted.outcome.schedule->start == result.outcome.schedule->start);
    }
    SUBCASE("a minute less does not do") {
        day.note(journal::Stays{"Ada", ends, asked + Minutes{25}});
        CHECK(day.replan(asked).way == Replanned::Way::conditional);
    }
}

TEST_CASE("nobody's hours are long enough: of two, whoever has to stay least is named, whoever the plan names first") {
    std::string text = evening_and_morrow();
    const std::string ada = "[[kitchen.crew]]\nname  = \"Ada\"\nhours = [\"Fri 17:00-19:00\"]\n";
    text.erase(text.find(ada), ada.size());
    text.insert(text.find("[[kitchen.mixer]]"), ada);
    Day day(text);
    REQUIRE(day.planned.timetable);
    REQUIRE(day.planned.plan.kitchen.crew[1].name == "Ada");
    const Instant ends = day.planned.plan.kitchen.crew[1].hours[0].to;
    const Replanned result = day.replan(ends - Minutes{12});
    REQUIRE(result.way == Replanned::Way::conditional);
    REQUIRE(result.needs.size() == 1);
    CHECK(result.needs[0].kind == replan::Need::Kind::stays);
    CHECK(result.needs[0].what == 1);
    CHECK(result.needs[0].at == ends + Minutes{14});  // kneading and washing up take 26 minutes
    Replanned with_way = result;
    with_way.ways.push_back({replan::WayOut::Kind::borrow, 0, {}});
    const std::string page = running_on(day, ends - Minutes{12}, with_way);
    CHECK(page.find("Each holds only if this is so as well: Ada stays until 19:14, 14 min longer.") !=
          std::string::npos);
}

TEST_CASE("somebody is away and nobody knows until when: that is named, and by when they must be back") {
    Day day(evening_and_morrow());
    REQUIRE(day.planned.timetable);
    const Instant now = day.planned.plan.kitchen.crew[0].hours[0].from;
    day.note(journal::Left{"Ada", now, std::nullopt});
    const Replanned result = day.replan(now);
    REQUIRE(result.way == Replanned::Way::conditional);
    REQUIRE(result.needs.size() == 1);
    CHECK(result.needs[0].kind == replan::Need::Kind::back);
    CHECK(result.needs[0].at == now + Minutes{90});  // of every five minutes the last before 18:34: 26 are left then
    REQUIRE(day.situation(now).away[0].size() == 1);

    day.note(journal::Stays{"Ada", now + Minutes{30}, now + Minutes{120}});  // what is said last counts
    CHECK(day.replan(now).way != Replanned::Way::conditional);
}

TEST_CASE("nothing helps: what can be begun, and how early it could be at best") {
    Day day(evening_and_morrow());
    REQUIRE(day.planned.timetable);
    const Instant now = day.planned.plan.kitchen.crew[1].hours[0].to + Minutes{300};  // all have gone home long ago
    const Replanned result = day.replan(now);
    REQUIRE(result.way == Replanned::Way::impossible);
    CHECK(result.may_begin == std::vector<ActivityId>{day.id("bun.1.knead")});
    REQUIRE(result.earliest.size() == 1);
    CHECK(result.earliest[0].at >= now + Minutes{20 + 600 + 30});
    CHECK(result.earliest[0].at <= now + Minutes{20 + 600 + 30 + 20});  // and the oven is cold
    CHECK(!result.diagnosis.empty());
}

TEST_CASE("work that would go over night: the food is named, and who would have to stay until when instead") {
    Day day(one_cook_until_one());
    REQUIRE(day.planned.timetable);
    const Row& prove = day.row("bun.1.prove");
    const Instant ends = day.planned.plan.orders[0].pickup + Minutes{60};
    const Instant mended = day.planned.plan.orders[0].pickup + Minutes{20};
    const Instant now = prove.start + Minutes{50};
    const Day evening = day;
    day.as_told(now);
    day.note(journal::Broken{"oven", now, mended});
    const Replanned result = day.replan(now);
    REQUIRE(result.timetable);
    REQUIRE(result.pickups[0].last);
    CHECK(result.pickups[0].done - ends > Minutes{16 * 60});
    // What is proved waits for the bake of the next morning; nothing else is ready.
    REQUIRE(result.over_night.size() == 1);
    CHECK(result.over_night[0].step == day.id("bun.1.prove"));
    CHECK(result.over_night[0].from == prove.ready);
    CHECK(result.over_night[0].to == ends + Minutes{16 * 60 + 18});
    // By the plan's own figures: mended, 18 minutes to 200 C, half an hour's bake.
    const Instant out = mended + Minutes{18 + 30};
    const auto found = std::ranges::find(result.ways, replan::WayOut::Kind::hours, &replan::WayOut::kind);
    REQUIRE(found != result.ways.end());
    const replan::WayOut& way = *found;
    REQUIRE(way.hours.size() == 1);
    CHECK(way.hours[0].kind == replan::Need::Kind::stays);
    CHECK(way.hours[0].at == out);
    CHECK(way.hours[0].instead == ends);
    CHECK(!way.over_night);
    REQUIRE(way.late.size() == 1);
    CHECK(way.late[0].by == out + Minutes{15} - day.planned.plan.orders[0].pickup);
    REQUIRE(!result.pickups[0].held_up.empty());
    CHECK(result.pickups[0].held_up.back().cause == replan::HoldUp::Cause::cold);

    SUBCASE("noted, it is so, though the other was announced") {
        day.note(journal::publication(day.planned.plan, *result.timetable, "0"));
        day.note(journal::Stays{"Ada", ends, out});
        const Replanned noted = day.replan(now + Minutes{1});
        REQUIRE(noted.timetable);
        CHECK(noted.pickups[0].done == out + Minutes{15});
        CHECK(noted.over_night.empty());
    }
    SUBCASE("a minute less does not do") {
        day.note(journal::Stays{"Ada", ends, out - Minutes{1}});
        CHECK(day.replan(now).pickups[0].done == result.pickups[0].done);
    }
    SUBCASE("once announced it is no news, but the day is still late, and the way out still offered") {
        day.note(journal::publication(day.planned.plan, *result.timetable, "0"));
        const Replanned again = day.replan(now + Minutes{1});
        CHECK(again.over_night.empty());
        CHECK(std::ranges::count(again.ways, replan::WayOut::Kind::hours, &replan::WayOut::kind) == 1);
    }
    SUBCASE("late within the hours: nobody need stay") {
        Day short_break = evening;
        short_break.as_told(now);
        short_break.note(journal::Broken{"oven", now, mended - Minutes{40}});
        const Replanned late = short_break.replan(now);
        REQUIRE(late.pickups[0].last);
        CHECK(late.over_night.empty());
        for (const replan::WayOut& one : late.ways) CHECK(one.kind != replan::WayOut::Kind::hours);
    }
}

TEST_CASE("who stays longer stays no minute longer than it takes, though other work could be put there") {
    // Packing takes forty minutes until 13:00, which the bake cuts in two: before it there is room, and behind it too.
    Day day(one_cook_until_one() + R"(
[[component]]
name  = "box"
makes = "6 pieces"
steps = [{ name = "pack", takes = "40 min", hands = true }]
[[order]]
name   = "Mill Lane"
pickup = 2026-10-03T16:00:00
items  = { box = 6 }
)");
    REQUIRE(day.planned.timetable);
    const Instant now = day.row("bun.1.prove").start + Minutes{50};
    const Instant ends = day.planned.plan.orders[0].pickup + Minutes{60};
    REQUIRE(day.row("box.1.pack").ready == ends);
    day.as_told(now);
    day.note(journal::Broken{"oven", now, ends - Minutes{20}});
    const Replanned result = day.replan(now);
    const auto way = std::ranges::find(result.ways, replan::WayOut::Kind::hours, &replan::WayOut::kind);
    REQUIRE(way != result.ways.end());
    REQUIRE(way->hours.size() == 1);
    CHECK((way->hours[0].at - ends).count() == 28);
}

TEST_CASE("whose day is longer than was announced is said, with the day on which nothing was to be done") {
    Day day(one_cook_until_one());
    REQUIRE(day.planned.timetable);
    const Row& bake = day.row("bun.1.bake.1");
    const Instant now = bake.start + Minutes{1};
    day.as_told(now);
    CHECK(day.replan(now).longer.empty());
    SUBCASE("a bake that runs long") {
        day.note(journal::WillEnd{"bun.1.bake.1", bake.ready + Minutes{12}});
        const Replanned result = day.replan(now);
        REQUIRE(result.longer.size() == 1);
        CHECK(result.longer[0].from == bake.ready);
        CHECK(result.longer[0].to == bake.ready + Minutes{12});
    }
    SUBCASE("and one that ends sooner") {
        day.note(journal::WillEnd{"bun.1.bake.1", bake.ready - Minutes{5}});
        CHECK(day.replan(now).longer.empty());
    }
}

TEST_CASE("were a step under way ready only then: how late each order would be") {
    Day day(kBuns);
    REQUIRE(day.planned.timetable);
    const Row& mix = day.row("bun.1.mix");
    const Instant now = mix.start + Minutes{5};
    day.note(journal::Started{"bun.1.mix", mix.start});
    const auto late = [&](Minutes longer) {
        return replan::late_if(day.planned.plan, day.planned.expansion, day.journal, day.situation(now),
                               day.id("bun.1.mix"), mix.ready + longer);
    };
    // The margin is a quarter of an hour; beyond it every minute is late.
    CHECK(late(Minutes{15}) == std::vector<Minutes>{Minutes{0}});
    CHECK(late(Minutes{40}) == std::vector<Minutes>{Minutes{25}});
}

TEST_CASE("the day while the oven is broken until nobody knows when: what waits for it has no time, the rest has") {
    // The roll takes neither the oven nor anything that comes out of it.
    std::string text = kBuns;
    text.replace(text.find("{ bun = 12 }"), 12, "{ bun = 12, roll = 6 }");
    Day day(text + R"(
[[component]]
name  = "roll"
makes = "6 pieces"
steps = [{ name = "fold", takes = "10 min", hands = true }]
)");
    REQUIRE(day.planned.timetable);
    const auto shown = [&](Instant now) {
        const auto situation = day.situation(now);
        const Replanned result = day.replan(now);
        const auto open = replan::open_day(situation, result);
        REQUIRE(open);
        std::vector<std::string> ids;
        for (const replan::Waiting& one : open->steps) {
            ids.push_back(result.expansion->project.activities[one.step].name);
            for (const Row& row : open->timetable.rows) CHECK(row.id != ids.back());
            CHECK(day.planned.plan.kitchen.equipment[one.equipment].kind == EquipmentKind::oven);
        }
        CHECK(ids.size() + open->timetable.rows.size() == day.planned.timetable->rows.size());
        for (const OvenEvent& event : open->timetable.oven) CHECK(event.at <= now);
        for (const Job& job : open->timetable.jobs)
            CHECK(job.row < static_cast<std::int32_t>(open->timetable.rows.size()));
        CHECK(open->orders[0].has_value());
        CHECK(open->timetable.pickups[0].done == open->timetable.pickups[0].pickup);  // nothing calls it late
        return std::pair(ids, *open);
    };
    SUBCASE("nothing is begun: the prove, which keeps half an hour, is not begun either") {
        const Instant now = day.row("bun.1.mix").start;
        day.note(journal::Broken{"oven", now, std::nullopt});
        CHECK(shown(now).first == std::vector<std::string>{"bun.1.prove", "bun.1.bake.1", "bun.1.cool"});
    }
    SUBCASE("the prove is under way: when it is used is not known") {
        const Row& prove = day.row("bun.1.prove");
        const Instant now = prove.start + Minutes{5};
        day.as_told(now);
        day.note(journal::Broken{"oven", now, std::nullopt});
        const auto [ids, open] = shown(now);
        CHECK(ids == std::vector<std::string>{"bun.1.bake.1", "bun.1.cool"});
        const auto row = std::ranges::find(open.timetable.rows, "bun.1.prove", &Row::id);
        CHECK(row->end == row->ready);
    }
    SUBCASE("it is in there") {
        const Instant now = day.row("bun.1.bake.1").start + Minutes{5};
        day.as_told(now);
        day.note(journal::Broken{"oven", now, std::nullopt});
        const auto [ids, open] = shown(now);
        CHECK(ids == std::vector<std::string>{"bun.1.bake.1", "bun.1.cool"});
        CHECK(open.steps[0].in_there);
        CHECK(!open.steps[1].in_there);
    }
    SUBCASE("until a time: a day like any other") {
        const Instant now = day.row("bun.1.mix").start;
        day.note(journal::Broken{"oven", now, now + Minutes{30}});
        CHECK(!replan::open_day(day.situation(now), day.replan(now)));
    }
}

TEST_CASE("notes that hardly can be: they count, and are asked about") {
    Day day(kBuns);
    REQUIRE(day.planned.timetable);
    const Row& mix = day.row("bun.1.mix");
    const Row& prove = day.row("bun.1.prove");
    const Instant now = mix.start - Minutes{60};
    using Kind = replan::Question::Kind;
    SUBCASE("nothing strange, nothing asked") {
        day.as_told(prove.ready);
        CHECK(day.situation(prove.ready).questions.empty());
    }
    SUBCASE("begun before what it needs") {
        day.note(journal::Started{"bun.1.prove", now});
        const auto situation = day.situation(now);
        REQUIRE(situation.questions.size() == 1);
        const replan::Question& asked = situation.questions[0];
        CHECK(asked.kind == Kind::needs_open);
        CHECK(asked.step == day.id("bun.1.prove"));
        CHECK(asked.other == day.id("bun.1.mix"));
        CHECK(asked.expected == mix.ready);
        CHECK(asked.entry == static_cast<std::int32_t>(day.journal.entries.size()));
        CHECK(situation.steps[day.id("bun.1.prove")].state == State::running);
    }
    SUBCASE("finished before it was to start, with no start") {
        day.note(journal::Finished{"bun.1.mix", now});
        const auto situation = day.situation(now);
        REQUIRE(situation.questions.size() == 1);
        CHECK(situation.questions[0].kind == Kind::not_started);
        CHECK(situation.questions[0].expected == mix.start);
        CHECK(situation.steps[day.id("bun.1.mix")].state == State::finished);
    }
    SUBCASE("finished after less than half of its time, until the cook says that it is so") {
        const Row& bake = day.row("bun.1.bake.1");
        const auto asked = [&](Minutes after) {
            Day early = day;
            early.as_told(bake.start);
            early.note(journal::Finished{"bun.1.bake.1", bake.start + after});
            return early;
        };
        CHECK(asked(Minutes{15}).situation(bake.ready).questions.empty());  // of 30
        Day early = asked(Minutes{3});
        const auto situation = early.situation(bake.ready);
        REQUIRE(situation.questions.size() == 1);
        CHECK(situation.questions[0].kind == Kind::too_soon);
        CHECK(situation.questions[0].expected == bake.ready);
        CHECK(situation.steps[day.id("bun.1.bake.1")].state == State::finished);
        early.note(journal::Confirmed{*situation.questions[0].entry});
        CHECK(early.situation(bake.ready).questions.empty());
    }
    SUBCASE("somebody comes or stays who is there anyway; not if they were away, or are there longer") {
        const Person& person = day.planned.plan.kitchen.crew[0];
        const Span hours = person.hours[0];
        day.note(journal::Stays{person.name, hours.from + Minutes{60}, hours.from + Minutes{61}});
        const auto entry = static_cast<std::int32_t>(day.journal.entries.size());
        const auto situation = day.situation(now);
        REQUIRE(situation.idle.size() == 1);
        CHECK(situation.idle[0].entry == entry);
        CHECK(situation.idle[0].hours.to == hours.to);
        day.note(journal::Confirmed{entry});
        day.note(journal::Stays{person.name, hours.to, hours.to + Minutes{30}});
        day.note(journal::Stays{person.name, hours.from - Minutes{30}, hours.from});
        day.note(journal::Left{person.name, hours.from + Minutes{60}, hours.from + Minutes{120}});
        day.note(journal::Stays{person.name, hours.from + Minutes{90}, hours.from + Minutes{100}});
        CHECK(day.situation(now).idle.empty());
    }
    SUBCASE("hotter than water can be; in the oven it may be") {
        day.note(journal::Probe{"bun.1.prove", now, 200'000});
        day.note(journal::Probe{"bun.1.prove", now, 100'000});
        day.note(journal::Probe{"bun.1.bake.1", now, 200'000});
        const auto situation = day.situation(now);
        REQUIRE(situation.questions.size() == 1);
        CHECK(situation.questions[0].kind == Kind::too_hot);
        CHECK(situation.questions[0].reading == 200'000);
    }
}

TEST_CASE("as much of the margins as can be, where that is asked for, and nothing else is given up for it") {
    Day day(kBuns);
    REQUIRE(day.planned.timetable);
    Timetable later = *day.planned.timetable;
    constexpr Minutes kBy{10};
    for (Row& row : later.rows) {
        row.start += kBy;
        row.ready += kBy;
        row.end += kBy;
    }
    for (OvenEvent& event : later.oven) event.at += kBy;
    day.note(journal::publication(day.planned.plan, later, "0"));
    const Instant first = day.row("bun.1.mix").start;
    const Minutes margin = day.planned.plan.orders[0].margin;
    const auto replanned = [&](Instant now, bool keep_margins) {
        replan::Options options;
        options.keep_margins = keep_margins;
        Replanned result =
            replan::replan(day.planned.plan, day.planned.expansion, day.journal, day.situation(now), options);
        CHECK(result.unsound.empty());
        REQUIRE(result.timetable);
        CHECK(result.margins_tried == keep_margins);
        const std::string page = running_on(day, now, result);
        CHECK((page.find("'--keep-margins' looks for more") != std::string::npos) ==
              (!keep_margins && result.pickups[0].at - result.pickups[0].done < margin));
        return result;
    };
    SUBCASE("there is time") {
        CHECK(replanned(first - Minutes{60}, false).way == Replanned::Way::unchanged);
        const Replanned result = replanned(first - Minutes{60}, true);
        CHECK(result.pickups[0].at - result.pickups[0].done == margin);
        CHECK(result.changes.size() == day.planned.timetable->rows.size());
    }
    SUBCASE("there is less time than that") {
        const Replanned result = replanned(first + Minutes{4}, true);
        CHECK(result.pickups[0].at - result.pickups[0].done == margin - Minutes{4});
    }
    SUBCASE("there is none") {
        const Replanned result = replanned(first + kBy, true);
        CHECK(result.way == Replanned::Way::unchanged);
        CHECK(result.pickups[0].at - result.pickups[0].done == margin - kBy);
    }
}

TEST_CASE("how late it would be, mended later still, is what is found when that is noted") {
    Day day(kBuns);
    REQUIRE(day.planned.timetable);
    const Instant now = day.row("bun.1.prove").start;
    day.as_told(now);
    Day open = day;
    open.note(journal::Broken{"oven", now, std::nullopt});
    const Replanned asked = open.replan(now);
    REQUIRE(asked.way == Replanned::Way::conditional);
    REQUIRE(!asked.later.empty());
    for (const replan::Later& later : asked.later) {
        Day known = day;
        known.note(journal::Broken{"oven", now, later.at});
        Minutes late{0};
        for (const replan::Pickup& pickup : known.replan(now).pickups)
            late += std::max(Minutes{0}, pickup.done - pickup.at);
        CHECK(later.late == late);
    }
}

TEST_CASE("a batch that is left out has none behind it under way: that would be counted anew") {
    Day day(test::plan_for_buns(R"(
[[component]]
name  = "bun"
makes = "12 pieces"
steps = [
  { name = "mix",  takes = "20 min", hands = true, uses = "mixer" },
  { name = "bake", takes = "30 min", oven = "200 C", tray = 12, hands = { first = "2 min", last = "2 min" } },
]
)",
                                36));
    REQUIRE(day.planned.timetable);
    const Instant noon = day.planned.plan.orders[0].pickup;
    const auto left_out = [&](const std::string& begun) {
        Day late = day;
        if (!begun.empty()) late.note(journal::Started{begun, noon - Minutes{70}});
        std::vector<std::int32_t> numbers;
        const Replanned result = late.replan(noon - Minutes{60});
        for (const replan::WayOut& way : result.ways)
            if (way.kind == replan::WayOut::Kind::leave_out)
                numbers.push_back(result.expansion->batches[way.what].number);
        std::ranges::sort(numbers);
        return numbers;
    };
    CHECK(left_out("") == std::vector<std::int32_t>{1, 2, 3});
    CHECK(left_out("bun.1.mix") == std::vector<std::int32_t>{2, 3});
    CHECK(left_out("bun.2.mix") == std::vector<std::int32_t>{3});
    CHECK(left_out("bun.3.mix").empty());
}

TEST_CASE("begun where there was no place for it: it counts, and is asked about") {
    const std::string text = test::plan_for_buns(R"(
[[component]]
name  = "bun"
makes = "60 pieces"
steps = [
  { name = "mix",   takes = "20 min", hands = true, uses = "mixer" },
  { name = "bake",  takes = "30 min", oven = "200 C", tray = 12, hands = { first = "2 min", last = "2 min" } },
]

[[component]]
name  = "tart"
makes = "12 pieces"
steps = [
  { name = "mix",   takes = "20 min", hands = true, uses = "mixer" },
  { name = "bake",  takes = "30 min", oven = "180 C", tray = 12, hands = { first = "2 min", last = "2 min" } },
]

[[order]]
name   = "Quay"
pickup = 2026-10-03T12:00:00
items  = { tart = 12 }
)",
                                                 60);
    using Kind = replan::Question::Kind;
    struct Case {
        const char* what;
        std::vector<std::string> begun;      ///< each ten minutes after the one before
        std::optional<Kind> asked;           ///< of the last
        std::vector<std::string> done = {};  ///< five minutes after the first
    };
    const Case cases[] = {
        {"an empty oven", {"bun.1.bake.1"}, {}},
        {"the oven is full", {"bun.1.bake.1", "bun.1.bake.2"}, Kind::no_room},
        {"another heat", {"bun.1.bake.2", "tart.1.bake.1"}, Kind::other_heat},
        {"another heat, but that is out", {"bun.1.bake.2", "tart.1.bake.1"}, {}, {"bun.1.bake.2"}},
        {"by then it is out", {"bun.1.bake.1", "bun.1.mix", "tart.1.mix", "tart.1.bake.1"}, {}},
        {"the one mixer", {"bun.1.mix", "tart.1.mix"}, Kind::no_room},
        {"the one mixer, but that is done", {"bun.1.mix", "tart.1.mix"}, {}, {"bun.1.mix"}},
    };
    for (const Case& each : cases) {
        CAPTURE(each.what);
        Day day(text);
        REQUIRE(day.planned.timetable);
        Instant at = day.row("bun.1.bake.1").start;
        const Instant first = at;
        for (const std::string& step : each.begun) {
            day.note(journal::Started{step, at});
            at += Minutes{10};
        }
        for (const std::string& step : each.done) day.note(journal::Finished{step, first + Minutes{5}});
        const auto situation = day.situation(at);
        std::optional<Kind> asked;
        for (const replan::Question& one : situation.questions)
            if (one.kind == Kind::no_room || one.kind == Kind::other_heat) {
                asked = one.kind;
                CHECK(one.step == day.id(each.begun.back()));
                CHECK(one.other == day.id(each.begun.front()));
            }
        CHECK(asked == each.asked);
        CHECK(situation.steps[day.id(each.begun.back())].state == State::running);
    }
}

TEST_CASE("finished by the clock, and warm by the last probe: it is asked about until a probe says that it is cold") {
    std::string chilled = kBuns;
    const std::string cool = R"({ name = "cool",  takes = "15 min", keeps = "5 h" },)";
    REQUIRE(chilled.find(cool) != std::string::npos);
    chilled.replace(chilled.find(cool), cool.size(),
                    R"({ name = "cool",  takes = "15 min", keeps = "5 h", )"
                    R"(cools = { from = "80 C", to = "30 C", depth = "1 cm", where = "bench", air = "20 C" } },)");
    Day day(chilled);
    REQUIRE(day.planned.timetable);
    const ActivityId id = day.id("bun.1.cool");
    const Row& cooling = day.planned.timetable->rows[id];
    day.as_told(cooling.ready);
    const auto asked = [&](const Day& so_far) {
        std::int32_t count = 0;
        for (const replan::Question& one : so_far.situation(cooling.ready).questions)
            count += one.kind == replan::Question::Kind::too_warm;
        return count;
    };
    day.note(journal::Finished{"bun.1.cool", cooling.ready});
    CHECK(asked(day) == 0);  // nobody has measured
    day.note(journal::Probe{"bun.1.cool", cooling.ready - Minutes{5}, 37'000});
    REQUIRE(asked(day) == 1);
    const auto question = day.situation(cooling.ready).questions[0];
    CHECK(question.reading == 37'000);
    CHECK(question.wanted == 30'000);
    CHECK(question.expected == cooling.ready - Minutes{5});
    SUBCASE("cold") {
        day.note(journal::Probe{"bun.1.cool", cooling.ready, 30'000});
        CHECK(asked(day) == 0);
    }
    SUBCASE("right") {
        day.note(journal::Confirmed{*question.entry});
        CHECK(asked(day) == 0);
    }
}

TEST_CASE(
    "broken or away until nobody knows when, and then until a time: the later word counts, from the first one on") {
    Day day(kBuns);
    REQUIRE(day.planned.timetable);
    const Instant now = day.planned.timetable->rows.front().start;
    const std::string person = day.planned.plan.kitchen.crew[0].name;
    const auto of_both = [&](auto check) {
        const auto situation = day.situation(now + Minutes{6});
        std::size_t gaps = 0;
        for (const auto& broken : situation.broken) {
            gaps += broken.size();
            for (const Span& span : broken) check(span);
        }
        for (const auto& away : situation.away) {
            gaps += away.size();
            for (const Span& span : away) check(span);
        }
        return gaps;
    };
    day.note(journal::Broken{"oven", now, std::nullopt});
    day.note(journal::Left{person, now, std::nullopt});
    day.note(journal::Broken{"oven", now + Minutes{5}, now + Minutes{60}});
    day.note(journal::Left{person, now + Minutes{5}, now + Minutes{60}});
    CHECK(day.situation(now + Minutes{6}).open_end.empty());
    CHECK(of_both([&](const Span& span) { CHECK((span.from == now && span.to == now + Minutes{60})); }) == 2);
    day.note(journal::Broken{"oven", now + Minutes{10}, now + Minutes{20}});  // sooner than was said
    day.note(journal::Left{person, now + Minutes{10}, now + Minutes{20}});
    CHECK(of_both([&](const Span& span) { CHECK((span.from == now && span.to == now + Minutes{20})); }) == 2);
    day.note(journal::Broken{"oven", now + Minutes{90}, now + Minutes{95}});  // another time
    day.note(journal::Left{person, now + Minutes{90}, now + Minutes{95}});
    CHECK(of_both([](const Span&) {}) == 4);
}

TEST_CASE("a pickup that moves: what the margin was is still against the pickup as it was") {
    Day day(kBuns);
    REQUIRE(day.planned.timetable);
    const Order& order = day.planned.plan.orders[0];
    const Instant now = day.planned.timetable->rows.front().start - Minutes{60};
    day.note(journal::PickupMoved{order.name, order.pickup - Minutes{15}});
    const Replanned result = day.replan(now);
    REQUIRE(result.timetable);
    CHECK(result.pickups[0].told == order.pickup);
    CHECK(result.pickups[0].at == order.pickup - Minutes{15});
    CHECK(result.pickups[0].told - *result.pickups[0].before == Minutes{15});
}

namespace {

/// Cases that keep, filled for the pickup; how fresh the filled ones must be is for `rules` to say.
std::string filled(const std::string& rules) {
    std::string text = test::plan_for_buns(R"(
[[component]]
name  = "case"
makes = "12 pieces"
steps = [
  { name = "boil", takes = "20 min", hands = true, uses = "hob" },
  { name = "dry",  takes = "20 min", keeps = "10 h" },
]
[[component]]
name  = "bun"
makes = "12 pieces"
RULES
steps = [
  { name = "fill", takes = "30 min", hands = true, with = { case = 1 } },
  { name = "dust", takes = "5 min", hands = true },
]
)");
    return text.replace(text.find("RULES"), 5, rules);
}

}  // namespace

TEST_CASE("a pickup that moves later: what is promised of its freshness is reckoned against it as it is now") {
    const auto start_of = [](const Day& day, const Replanned& result, const char* id) {
        return day.planned.expansion.origin + Minutes{result.outcome.schedule->start[day.id(id)]};
    };
    SUBCASE("a promise, and a wish: it is made later") {
        for (const char* rules : {"keeps = \"40 min\"", "best_within = \"40 min\""}) {
            CAPTURE(rules);
            Day day(filled(rules));
            REQUIRE(day.planned.timetable);
            const Instant pickup = day.planned.plan.orders[0].pickup + Minutes{90};
            day.note(journal::PickupMoved{day.planned.plan.orders[0].name, pickup});
            const Replanned result = day.replan(day.row("case.1.boil").start - Minutes{30});
            REQUIRE(result.timetable);
            CHECK(result.timetable->past_best.empty());
            CHECK(start_of(day, result, "bun.1.dust") + Minutes{5} >= pickup - Minutes{40});
            CHECK(result.pickups[0].done <= pickup);
        }
    }
    SUBCASE("it is made already, and promised for less: that is said, once") {
        Day day(filled("keeps = \"40 min\""));
        REQUIRE(day.planned.timetable);
        const Row& dust = day.row("bun.1.dust");
        day.as_told(dust.ready);
        day.note(
            journal::PickupMoved{day.planned.plan.orders[0].name, day.planned.plan.orders[0].pickup + Minutes{90}});
        const Instant pickup = day.planned.plan.orders[0].pickup + Minutes{90};
        const Replanned result = day.replan(dust.ready);
        REQUIRE(result.broken.size() == 1);
        CHECK(result.broken[0].step == day.id("bun.1.dust"));
        CHECK(result.broken[0].over == pickup - dust.ready - Minutes{40});
        REQUIRE(result.timetable);
        day.note(journal::publication(day.planned.plan, *result.timetable, "0"));
        CHECK(day.replan(dust.ready + Minutes{1}).broken.empty());
    }
    SUBCASE("nothing promised: it stays where it was announced, and how much later it could be is said") {
        Day day(filled(""));
        REQUIRE(day.planned.timetable);
        day.note(
            journal::PickupMoved{day.planned.plan.orders[0].name, day.planned.plan.orders[0].pickup + Minutes{90}});
        const Instant now = day.row("case.1.boil").start - Minutes{30};
        const Replanned result = day.replan(now);
        CHECK(result.way == Replanned::Way::unchanged);
        REQUIRE(result.fresher.size() == 1);
        CHECK(result.fresher[0].order == 0);
        CHECK(result.fresher[0].begins == day.row("bun.1.fill").start);
        CHECK(result.fresher[0].by == Minutes{90});
        CHECK(running_on(day, now, result).find("can be 1 h 30 min later") != std::string::npos);
        SUBCASE("whoever is to do it goes home before") {
            for (const char* name : {"Ada", "Ben"})
                day.note(journal::Left{name, day.row("bun.1.dust").ready + Minutes{20}, {}});
            const Replanned soon = day.replan(now);
            REQUIRE(soon.fresher.size() == 1);
            CHECK(soon.fresher[0].by > Minutes{10});
            CHECK(soon.fresher[0].by <= Minutes{20});
        }
        SUBCASE("and no more once it is announced so") {
            day.note(journal::publication(day.planned.plan, *result.timetable, "0"));
            CHECK(day.replan(now + Minutes{1}).fresher.empty());
        }
    }
    SUBCASE("a pickup that moves earlier, or not, is none of it") {
        Day day(filled(""));
        REQUIRE(day.planned.timetable);
        const Instant now = day.row("case.1.boil").start - Minutes{30};
        CHECK(day.replan(now).fresher.empty());
        day.note(
            journal::PickupMoved{day.planned.plan.orders[0].name, day.planned.plan.orders[0].pickup - Minutes{10}});
        CHECK(day.replan(now).fresher.empty());
    }
}

TEST_CASE("a pickup that moves earlier, and for which another is late: which gives way to which is said") {
    std::string two = test::plan_for_buns(R"(
[[order]]
name = "Mill Lane"
pickup = 2026-10-03T12:20:00
items = { roll = 12 }
[[component]]
name  = "bun"
makes = "12 pieces"
steps = [ { name = "make", takes = "1 h", hands = true } ]
[[component]]
name  = "roll"
makes = "12 pieces"
steps = [ { name = "make", takes = "30 min", hands = true } ]
)");
    const std::string ben = "[[kitchen.crew]]\nname  = \"Ben\"\nhours = \"05:00-20:00\"\n";
    two.erase(two.find(ben), ben.size());
    Day day(two);
    REQUIRE(day.planned.timetable);
    // 11:00: an hour for the buns, half an hour for the rolls. Buns at 12:00, rolls at 12:30, ten minutes late.
    const Instant now = day.planned.plan.orders[0].pickup - Minutes{60};
    const Replanned before = day.replan(now);
    REQUIRE(before.pickups.size() == 2);
    CHECK(before.pickups[1].done == now + Minutes{90});
    CHECK(before.gave_way.empty());
    REQUIRE(before.timetable);
    day.note(journal::publication(day.planned.plan, *before.timetable, "0"));
    // Now at 11:30: rolls first, and buns 30 minutes late, is less in all than rolls an hour late.
    day.note(journal::PickupMoved{"Mill Lane", now + Minutes{30}});
    const Replanned result = day.replan(now);
    CHECK(result.pickups[0].done == now + Minutes{90});
    REQUIRE(result.gave_way.size() == 1);
    CHECK(result.gave_way[0].order == 0);
    CHECK(result.gave_way[0].to == 1);
    CHECK(result.gave_way[0].otherwise == now + Minutes{60});
    CHECK(result.gave_way[0].late == Minutes{60});
    CHECK(running_on(day, now, result).find("It gives way to Mill Lane, which is collected 50 min earlier.") !=
          std::string::npos);
}

TEST_CASE("who is free counts the oven's turns; washing up is told from the work itself") {
    Day day(evening_and_morrow());
    REQUIRE(day.planned.timetable);
    const Instant knead = day.row("bun.1.knead").start;
    day.as_told(knead + Minutes{3});
    const Replanned evening = day.replan(knead + Minutes{3});
    REQUIRE(evening.hands_on.size() == 2);
    CHECK(std::ranges::count(evening.hands_on, true, &replan::HandsOn::washing) == 1);
    for (const replan::HandsOn& one : evening.hands_on)
        if (one.washing) CHECK(one.span.from == knead + Minutes{20});

    const Instant on = day.planned.timetable->oven.front().at;
    REQUIRE(day.planned.timetable->oven.front().kind == OvenEvent::Kind::on);
    Day morrow(evening_and_morrow());
    morrow.as_told(on - Minutes{10});
    const Replanned morning = morrow.replan(on - Minutes{10});
    REQUIRE(morning.free.size() == 1);
    CHECK(morning.free[0].until == on);
}

TEST_CASE("a running step's row shows the equipment that it has, broken or not") {
    Day day(kBuns);
    REQUIRE(day.planned.timetable);
    const Row& mix = day.row("bun.1.mix");
    const Instant now = mix.start + Minutes{5};
    day.as_told(now);
    const auto in_use = [&](const Replanned& result) {
        REQUIRE(result.timetable);
        return std::ranges::find(result.timetable->rows, "bun.1.mix", &Row::id)->equipment.size();
    };
    CHECK(in_use(day.replan(now)) == mix.equipment.size());
    REQUIRE(mix.equipment.size() == 1);
    const std::string mixer = day.planned.plan.kitchen.equipment[mix.equipment[0].equipment].name;
    day.note(journal::Broken{mixer, now, now + Minutes{60}});
    CHECK(in_use(day.replan(now)) == 1);
}

TEST_CASE("a limit that was broken is said until what is announced has it so") {
    Day day(kBuns);
    REQUIRE(day.planned.timetable);
    const Row& prove = day.row("bun.1.prove");
    const Row& bake = day.row("bun.1.bake.1");
    day.as_told(prove.ready - Minutes{1});
    day.note(journal::Finished{"bun.1.prove", prove.ready});
    const Instant now = bake.start + Minutes{50};
    day.note(journal::Started{"bun.1.bake.1", now});
    const Replanned first = day.replan(now);
    REQUIRE(first.timetable);
    CHECK(first.broken.size() == 1);
    day.note(journal::publication(day.planned.plan, *first.timetable, "0"));
    CHECK(day.replan(now + Minutes{1}).broken.empty());
}

TEST_CASE("a plan that has a step more than was published keeps who does the others, and with what") {
    const std::string more = "  { name = \"pack\", takes = \"5 min\", hands = true },\n]\n";
    Day day(kBuns);
    REQUIRE(day.planned.timetable);
    Day edited(kBuns.substr(0, kBuns.rfind(']')) + more);
    edited.journal = day.journal;
    const Replanned result = edited.replan(day.planned.timetable->rows.front().start - Minutes{90});
    REQUIRE(result.timetable);
    int compared = 0;
    for (const Row& row : day.planned.timetable->rows) {
        const auto now = std::ranges::find(result.timetable->rows, row.id, &Row::id);
        REQUIRE(now != result.timetable->rows.end());
        REQUIRE(now->hands.size() == row.hands.size());
        for (std::size_t k = 0; k < row.hands.size(); ++k, ++compared)
            CHECK(now->hands[k].person == row.hands[k].person);
    }
    CHECK(compared > 2);
}

TEST_CASE("the whole day: what is finished stands in it as it happened, with what it had in hand") {
    Day day(kBuns);
    REQUIRE(day.planned.timetable);
    const Row& mix = day.row("bun.1.mix");
    day.note(journal::Started{"bun.1.mix", mix.start + Minutes{2}});
    day.note(journal::Finished{"bun.1.mix", mix.start + Minutes{19}});
    const Replanned result = day.replan(mix.start + Minutes{30});
    REQUIRE(result.timetable);
    const auto row = std::ranges::find(result.timetable->rows, "bun.1.mix", &Row::id);
    CHECK(row->start == mix.start + Minutes{2});
    CHECK(row->ready == mix.start + Minutes{19});
    REQUIRE(row->equipment.size() == 1);
    CHECK(row->equipment[0].equipment == mix.equipment[0].equipment);
    REQUIRE(row->hands.size() == 1);
    CHECK(row->hands[0].person == mix.hands[0].person);
    CHECK(row->hands[0].span.to == mix.start + Minutes{19});
    CHECK(result.hands_on.empty());
}

TEST_CASE(
    "broken until nobody knows when: by when it must be mended so that nothing is later, and what waits how long") {
    Day day(kBuns);
    REQUIRE(day.planned.timetable);
    const Row& prove = day.row("bun.1.prove");
    const Row& bake = day.row("bun.1.bake.1");
    const ActivityId id = day.id("bun.1.bake.1");
    const Instant now = prove.start + Minutes{50};
    day.as_told(now);
    day.note(journal::Broken{"oven", now, std::nullopt});
    const Replanned result = day.replan(now);
    REQUIRE(result.way == Replanned::Way::conditional);
    REQUIRE(result.needs.size() == 1);
    CHECK(result.needs[0].kind == replan::Need::Kind::mended);
    // The prove keeps 30 minutes, and the pickup has a margin of 15: by the plan's own figures.
    const Minutes heating = bake.start - day.planned.timetable->oven.front().at;
    const Instant last = bake.start + Minutes{15} - heating;
    CHECK(result.needs[0].at <= std::max(last, now));
    CHECK(result.broken.empty());
    CHECK(!result.pickups[0].last);
    // And were it later still: each minute is one more of the pickup's, or of what the prove keeps.
    REQUIRE(!result.later.empty());
    for (std::size_t k = 0; k < result.later.size(); ++k) {
        CHECK(result.later[k].at > result.needs[0].at);
        CHECK(result.later[k].late + result.later[k].over > Minutes{0});
        if (k > 0) CHECK(result.later[k].late > result.later[k - 1].late);
    }
    REQUIRE(result.standstill.size() == 1);
    CHECK(result.standstill[0].step == id);
    CHECK(result.standstill[0].until == prove.ready + Minutes{30});
    CHECK(result.standstill[0].promise.find("prove keeps 30 min") != std::string::npos);
}

TEST_CASE(
    "broken until nobody knows when, with food in it: asked at that very minute; what bakes is ready once mended") {
    Day day(kTwoLoads);
    REQUIRE(day.planned.timetable);
    const Row first = *std::ranges::find_if(day.planned.timetable->rows,
                                            [](const Row& row) { return row.id.find("bake") != std::string::npos; });
    const ActivityId id = day.id(first.id);
    const Instant now = first.start + Minutes{10};
    day.as_told(now);
    day.note(journal::Broken{"oven", now, std::nullopt});
    const auto situation = day.situation(now);
    REQUIRE(situation.interruptions.size() == 1);
    CHECK(situation.interruptions[0].open);
    const Replanned result = day.replan(now);
    REQUIRE(result.way == Replanned::Way::conditional);
    REQUIRE(result.needs.size() == 1);
    REQUIRE(result.needs[0].kind == replan::Need::Kind::mended);
    const auto row = std::ranges::find(result.timetable->rows, first.id, &Row::id);
    const Minutes lasts = result.needs[0].at - now;
    CHECK(row->ready == first.ready + lasts + again(lasts));
    CHECK(std::ranges::any_of(result.timetable->oven, [&](const OvenEvent& event) {
        return event.kind == OvenEvent::Kind::on && event.at == result.needs[0].at;
    }));
    CHECK(situation.steps[id].ready == first.ready);
}

namespace {

/// The first mix is noted to take so much longer, and what becomes of the day is announced.
void announce_late(Day& day, Instant now, Minutes by) {
    day.note(journal::WillEnd{"bun.1.mix", day.row("bun.1.mix").ready + by});
    const Replanned late = day.replan(now);
    REQUIRE(late.timetable);
    REQUIRE(late.pickups[0].last);
    day.note(journal::publication(day.planned.plan, *late.timetable, "0"));
}

}  // namespace

TEST_CASE("news that is taken back: what was announced before it holds again, and then nothing changes") {
    Day day(kBuns);
    REQUIRE(day.planned.timetable);
    const Row& mix = day.row("bun.1.mix");
    const Instant now = mix.start + Minutes{5};
    day.note(journal::Started{"bun.1.mix", mix.start});
    const auto wrong = static_cast<std::int32_t>(day.journal.entries.size()) + 1;
    announce_late(day, now, Minutes{40});
    CHECK(day.replan(now + Minutes{1}).way == Replanned::Way::unchanged);

    day.note(journal::TakenBack{wrong});
    const Replanned back = day.replan(now + Minutes{2});
    CHECK(back.way == Replanned::Way::returned);
    CHECK(Day::moved(back).size() == 3);
    REQUIRE(back.timetable);
    for (const Row& row : day.planned.timetable->rows)
        CHECK(std::ranges::find(back.timetable->rows, row.id, &Row::id)->start == row.start);
    day.note(journal::publication(day.planned.plan, *back.timetable, "0"));
    CHECK(day.replan(now + Minutes{3}).way == Replanned::Way::unchanged);
}

TEST_CASE("ready sooner than was feared: the times announced before, as near as they can be") {
    Day day(kBuns);
    REQUIRE(day.planned.timetable);
    const Row& mix = day.row("bun.1.mix");
    const Instant now = mix.start + Minutes{5};
    day.note(journal::Started{"bun.1.mix", mix.start});
    announce_late(day, now, Minutes{40});
    Minutes by{0};
    SUBCASE("as planned") { day.note(journal::WillEnd{"bun.1.mix", mix.ready}); }
    SUBCASE("finished as planned") { day.note(journal::Finished{"bun.1.mix", mix.ready}); }
    SUBCASE("a little later") {
        by = Minutes{7};
        day.note(journal::WillEnd{"bun.1.mix", mix.ready + by});
    }
    const Replanned back = day.replan(mix.ready);
    CHECK(back.way == Replanned::Way::returned);
    REQUIRE(back.timetable);
    for (const Row& row : day.planned.timetable->rows)
        if (row.id != "bun.1.mix")
            CHECK(std::ranges::find(back.timetable->rows, row.id, &Row::id)->start <= row.start + by);
}

TEST_CASE("a day that was announced late, twice: where it can be kept again, the times of before that") {
    Day day(kBuns);
    REQUIRE(day.planned.timetable);
    const Row& mix = day.row("bun.1.mix");
    const Instant now = mix.start + Minutes{5};
    day.note(journal::Started{"bun.1.mix", mix.start});
    for (const Minutes by : {Minutes{60}, Minutes{75}}) announce_late(day, now, by);
    day.note(journal::WillEnd{"bun.1.mix", mix.ready + Minutes{3}});
    const Replanned back = day.replan(mix.ready);
    CHECK(back.way == Replanned::Way::returned);
    CHECK(!back.pickups[0].last);
    CHECK(back.pickups[0].done <= day.planned.timetable->pickups[0].done + Minutes{3});
}

TEST_CASE("mended, or back, earlier than was said: the times announced before, as near as they can be") {
    Day day(kBuns);
    REQUIRE(day.planned.timetable);
    const Row& mix = day.row("bun.1.mix");
    const Row& bake = day.row("bun.1.bake.1");
    const Instant now = mix.ready - Minutes{5};
    day.as_told(now);
    day.note(journal::Broken{"oven", now, bake.start + Minutes{10}});
    const Replanned later = day.replan(now);
    REQUIRE(later.timetable);
    REQUIRE(!later.changes.empty());
    day.note(journal::publication(day.planned.plan, *later.timetable, "0"));

    day.note(journal::Finished{"bun.1.mix", mix.ready});
    day.note(journal::Started{"bun.1.prove", mix.ready});
    day.note(journal::Mended{"oven", now + Minutes{10}});
    const Replanned back = day.replan(now + Minutes{10});
    CHECK(back.way == Replanned::Way::returned);
    REQUIRE(back.timetable);
    for (const Row& row : day.planned.timetable->rows)
        CHECK(std::ranges::find(back.timetable->rows, row.id, &Row::id)->start == row.start);
}

TEST_CASE("what was announced stands on what has been noted, unless that is void") {
    journal::Journal journal{"UTC", {}, {}};
    const Instant noon{Minutes{29'000'000}};
    const auto note = [&](journal::Event event) {
        journal.entries.push_back({static_cast<std::int32_t>(journal.entries.size()) + 1, {}, std::move(event)});
    };
    const auto before = [&] {
        const journal::Published* found = replan::published_before_void_news(journal);
        return found == nullptr ? std::string("none") : found->fingerprint;
    };
    CHECK(before() == "none");
    note(journal::Published{"evening", {}, {}, {}});
    note(journal::Broken{"oven", noon, noon + Minutes{60}});
    CHECK(before() == "none");
    SUBCASE("nothing was announced in between") {
        note(journal::TakenBack{2});
        CHECK(before() == "none");
    }
    note(journal::Published{"morning", {}, {}, {}});
    CHECK(before() == "none");
    SUBCASE("taken back") {
        note(journal::TakenBack{2});
        CHECK(before() == "evening");
        note(journal::Published{"noon", {}, {}, {}});
        CHECK(before() == "none");
    }
    SUBCASE("mended earlier than was said") {
        note(journal::Mended{"oven", noon + Minutes{20}});
        CHECK(before() == "evening");
    }
    SUBCASE("mended when it was said, or something else") {
        note(journal::Mended{"mixer", noon + Minutes{20}});
        note(journal::Mended{"oven", noon + Minutes{60}});
        CHECK(before() == "none");
    }
    SUBCASE("somebody stays longer") {
        note(journal::Stays{"Ada", noon, noon + Minutes{30}});
        CHECK(before() == "evening");
    }
    SUBCASE("away until nobody knew when") {
        note(journal::Left{"Ada", noon, std::nullopt});
        note(journal::Published{"later", {}, {}, {}});
        SUBCASE("back") { note(journal::Arrived{"Ada", noon + Minutes{30}}); }
        SUBCASE("until then") { note(journal::Left{"Ada", noon, noon + Minutes{30}}); }
        CHECK(before() == "morning");
    }
    SUBCASE("broken for longer than was said") {
        note(journal::Broken{"oven", noon, noon + Minutes{90}});
        CHECK(before() == "none");
    }
    SUBCASE("a chill that is measured anew, or spread thinner") {
        note(journal::Probe{"custard.1.chill", noon, 40'000});
        CHECK(before() == "none");
        note(journal::Published{"later", {}, {}, {}});
        SUBCASE("measured") { note(journal::Probe{"custard.1.chill", noon + Minutes{20}, 20'000}); }
        SUBCASE("spread") { note(journal::SpreadOut{"custard.1.chill", noon + Minutes{20}, 10'000}); }
        CHECK(before() == "morning");
    }
    SUBCASE("announced for later than it had happened, for nobody had noted it") {
        const journal::PublishedStep late{"bun.1.mix", noon + Minutes{10}, noon + Minutes{30}, {}, {}, {}};
        journal.entries.push_back({4, noon + Minutes{10}, journal::Published{"asked", {late}, {}, {}}});
        SUBCASE("started") { note(journal::Started{"bun.1.mix", noon}); }
        SUBCASE("finished") { note(journal::Finished{"bun.1.mix", noon + Minutes{9}}); }
        CHECK(before() == "morning");
    }
    SUBCASE("started as it was announced while it had not") {
        const journal::PublishedStep late{"bun.1.mix", noon + Minutes{10}, noon + Minutes{30}, {}, {}, {}};
        journal.entries.push_back({4, noon + Minutes{10}, journal::Published{"asked", {late}, {}, {}}});
        note(journal::Started{"bun.1.mix", noon + Minutes{10}});
        CHECK(before() == "none");
    }
}

TEST_CASE("what changes tells of ovens and washing up too, and of nothing where there is no news") {
    Day day(evening_and_morrow());
    REQUIRE(day.planned.timetable);
    const Instant knead = day.row("bun.1.knead").start;
    day.as_told(knead + Minutes{3});
    const Replanned calm = day.replan(knead + Minutes{3});
    CHECK(calm.turns.empty());
    CHECK(calm.washing.empty());

    SUBCASE("kneading runs long: washing up comes later") {
        Day later = day;
        later.note(journal::Stays{"Ada", day.planned.plan.kitchen.crew[0].hours[0].to,
                                  day.planned.plan.kitchen.crew[0].hours[0].to + Minutes{60}});
        later.note(journal::WillEnd{"bun.1.knead", knead + Minutes{20 + 30}});
        const Replanned result = later.replan(knead + Minutes{3});
        REQUIRE(result.timetable);
        REQUIRE(result.washing.size() == 1);
        CHECK(result.washing[0].step == day.id("bun.1.knead"));
        CHECK(result.washing[0].from == knead + Minutes{20});
        CHECK(result.washing[0].to == knead + Minutes{50});
        later.note(journal::publication(day.planned.plan, *result.timetable, "0"));
        CHECK(later.replan(knead + Minutes{4}).washing.empty());
    }
    SUBCASE("the oven comes as much later as what bakes in it") {
        Day later(kBuns);
        const Row& mix = later.row("bun.1.mix");
        later.note(journal::Started{"bun.1.mix", mix.start});
        later.note(journal::WillEnd{"bun.1.mix", mix.ready + Minutes{10}});
        const Replanned result = later.replan(mix.start + Minutes{5});
        REQUIRE(result.turns.size() == 2);
        CHECK(result.turns[0].temperature == 200'000);
        CHECK(result.turns[1].temperature == std::nullopt);
        for (const replan::TurnChange& turn : result.turns) CHECK(*turn.to - *turn.from == Minutes{10});
        later.note(journal::publication(later.planned.plan, *result.timetable, "0"));
        CHECK(later.replan(mix.start + Minutes{6}).turns.empty());
    }
}

TEST_CASE(
    "washing up the bowl that something lies in is planned with somebody who is there then, whoever is there now") {
    Day day(R"(
timezone = "UTC"
[kitchen]
[[kitchen.crew]]
name  = "Ada"
hours = ["Fri 17:00-19:00", "Sat 05:00-12:00"]
[[kitchen.crew]]
name  = "Ben"
hours = ["Sat 05:00-12:00"]
[[kitchen.mixer]]
[[order]]
name   = "Ladder Street"
pickup = 2026-10-03T08:00:00
items  = { bun = 12 }
[[component]]
name  = "bun"
makes = "12 pieces"
steps = [
  { name = "knead", takes = "20 min", hands = { first = "10 min" }, uses = "mixer", wash = "6 min", keeps = "14 h" },
  { name = "shape", takes = "15 min", hands = true },
]
)");
    REQUIRE(day.planned.timetable);
    const Instant evening = day.planned.plan.kitchen.crew[0].hours[0].to - Minutes{30};
    day.note(journal::Started{"bun.1.knead", evening});
    day.note(journal::Finished{"bun.1.knead", evening + Minutes{20}});
    const Instant shape = day.row("bun.1.shape").start;
    SUBCASE("two will be there in the morning") {
        CHECK(day.replan(evening + Minutes{180}).way == Replanned::Way::unchanged);
    }
    SUBCASE("only one will be there by then, who cannot shape and wash up at once: it moves to when both are") {
        day.note(journal::Left{"Ben", shape - Minutes{60}, shape + Minutes{120}});
        CHECK(day.replan(evening + Minutes{180}).way == Replanned::Way::reordered);
    }
    const Replanned result = day.replan(evening + Minutes{180});
    REQUIRE(result.timetable);
    const auto row = std::ranges::find(result.timetable->rows, "bun.1.knead", &Row::id);
    int washed = 0;
    std::vector<HandsUse> hands;
    for (const Row& one : result.timetable->rows) hands.insert(hands.end(), one.hands.begin(), one.hands.end());
    for (const HandsUse& one : row->hands) {
        if (!one.washing) continue;
        ++washed;
        CHECK(one.span.from == row->end);
        for (const HandsUse& other : hands)
            if (!(other.person == one.person && other.span.from == one.span.from && other.washing))
                CHECK((other.person != one.person || other.span.to <= one.span.from || one.span.to <= other.span.from));
    }
    CHECK(washed == 1);
}

// By hand: an oven for one tray, hot 18 minutes after it is mended (20 C to 200 C, 10 C a minute), two loads of 40.
TEST_CASE("ways out: the fewest minutes late first, then what is least trouble") {
    const auto plan = [](const std::string& second) {
        return R"(
timezone = "UTC"
[kitchen]
crew = [{ name = "Ada", hours = "06:00-20:00" }]
oven = [{ trays = 1, heats = "10 C/min", cools = "5 C/min" }]
[[order]]
name   = "first"
pickup = 2026-10-03T10:00:00
items  = { bun = 12 }
[[order]]
name   = "second"
pickup = 2026-10-03T)" +
               second +
               R"(:00
items  = { roll = 12 }
[[component]]
name  = "bun"
makes = "12 pieces"
steps = [
  { name = "mix",  takes = "5 min", hands = true },
  { name = "bake", takes = "40 min", oven = "200 C", tray = 12 },
]
[[component]]
name  = "roll"
makes = "12 pieces"
steps = [
  { name = "mix",  takes = "5 min", hands = true },
  { name = "bake", takes = "40 min", oven = "200 C", tray = 12 },
]
)";
    };
    struct Way {
        replan::WayOut::Kind kind;
        std::int32_t what;
        std::vector<std::pair<std::int32_t, std::int64_t>> late;
        bool operator==(const Way&) const = default;
    };
    const auto ways = [](Day& day, Minutes mended_before_ten, std::int64_t late) {
        REQUIRE(day.planned.timetable);
        const Instant ten = day.planned.plan.orders[0].pickup;
        const Instant now = ten - Minutes{150};
        day.note(journal::Broken{"oven", now, ten - mended_before_ten});
        const Replanned result = day.replan(now);
        std::int64_t sum = 0;
        for (const replan::Pickup& pickup : result.pickups)
            sum += std::max<std::int64_t>(0, (pickup.done - pickup.at).count());
        CHECK(sum == late);
        std::vector<Way> found;
        for (const replan::WayOut& way : result.ways) {
            found.push_back({way.kind, way.what, {}});
            for (const auto& one : way.late) found.back().late.emplace_back(one.order, one.by.count());
        }
        return found;
    };
    using Kind = replan::WayOut::Kind;
    SUBCASE("one order is late: another oven before a batch is left out") {
        // Hot at 9:08: one load is out at 9:48, the other at 10:28.
        Day day(plan("10:00"));
        CHECK(ways(day, Minutes{70}, 28) ==
              std::vector<Way>{{Kind::borrow, 0, {}}, {Kind::leave_out, 0, {}}, {Kind::leave_out, 1, {}}});
    }
    SUBCASE("both are: what leaves fewer minutes late comes first, letting one alone wait last") {
        // Hot at 9:48: out at 10:28 and 11:08, of orders for 10:00 and 10:30: 28 and 38 late, or none and 68.
        Day day(plan("10:30"));
        CHECK(ways(day, Minutes{30}, 66) == std::vector<Way>{{Kind::borrow, 0, {}},
                                                             {Kind::leave_out, 0, {}},
                                                             {Kind::leave_out, 1, {{0, 28}}},
                                                             {Kind::serve_late, 0, {{0, 68}}}});
    }
    SUBCASE("what is left out does not make a limit that is passed already one that must be kept") {
        std::string text = plan("10:30");
        const std::string mix = R"("mix",  takes = "5 min",)";
        Day day(text.insert(text.rfind(mix) + mix.size(), R"( keeps = "20 min",)"));
        const Instant mixed = day.planned.plan.orders[0].pickup - Minutes{155};
        day.note(journal::Started{"roll.1.mix", mixed - Minutes{5}});
        day.note(journal::Finished{"roll.1.mix", mixed});
        CHECK(ways(day, Minutes{30}, 66) ==
              std::vector<Way>{{Kind::borrow, 0, {}}, {Kind::leave_out, 0, {}}, {Kind::serve_late, 0, {{0, 68}}}});
    }
}

TEST_CASE("an order that is late by what has begun stays so, whatever is left out") {
    Day day(R"(
timezone = "UTC"
[kitchen]
crew = [{ name = "Ada", hours = "06:00-20:00" }]
[[order]]
name   = "brunch"
pickup = 2026-10-03T10:00:00
items  = { bun = 12, cake = 1 }
[[component]]
name  = "bun"
makes = "12 pieces"
steps = [
  { name = "shape", takes = "30 min", hands = true },
  { name = "glaze", takes = "30 min", hands = true },
]
[[component]]
name  = "cake"
makes = "1 pieces"
steps = [
  { name = "mix",  takes = "5 min", hands = true },
  { name = "cool", takes = "40 min" },
]
)");
    REQUIRE(day.planned.timetable);
    const Instant ten = day.planned.plan.orders[0].pickup;
    const Instant now = ten - Minutes{20};
    day.note(journal::Started{"cake.1.mix", now - Minutes{5}});
    day.note(journal::Finished{"cake.1.mix", now});
    day.note(journal::Started{"cake.1.cool", now});
    const Replanned result = day.replan(now);
    REQUIRE(result.timetable);
    CHECK(result.pickups[0].done == now + Minutes{60});
    const auto way = std::ranges::find(result.ways, replan::WayOut::Kind::leave_out, &replan::WayOut::kind);
    REQUIRE(way != result.ways.end());
    REQUIRE(way->late.size() == 1);
    CHECK(way->late[0].by == Minutes{20});
}

TEST_CASE("late by what has happened: it is said, and nothing is offered that cannot help") {
    Day day(kBuns);
    REQUIRE(day.planned.timetable);
    const Row& cool = day.row("bun.1.cool");
    const Instant pickup = day.planned.plan.orders[0].pickup;
    day.as_told(cool.start);
    SUBCASE("finished") { day.note(journal::Finished{"bun.1.cool", pickup + Minutes{20}}); }
    SUBCASE("under way") { day.note(journal::WillEnd{"bun.1.cool", pickup + Minutes{20}}); }
    const Replanned result = day.replan(pickup + Minutes{20});
    REQUIRE(result.timetable);
    CHECK(result.pickups[0].last == day.id("bun.1.cool"));
    CHECK(result.pickups[0].held_up.empty());
    CHECK(result.ways.empty());
}

namespace {

/// `pieces` of a bun that proves for 28 hours, for the day after a Friday; nobody is there on Sunday. A cake besides.
std::string long_proved(int pieces) {
    std::string text = test::plan_for_buns(R"(
[[component]]
name  = "bun"
makes = "12 pieces"
steps = [
  { name = "mix",   takes = "20 min", hands = true, uses = "mixer" },
  { name = "prove", takes = "28 h", keeps = "30 min" },
  { name = "bake",  takes = "30 min", oven = "200 C", tray = 12, hands = { first = "2 min", last = "2 min" } },
]
)",
                                           pieces);
    const std::string hours = "\"05:00-20:00\"";
    for (auto place = text.find(hours); place != std::string::npos; place = text.find(hours, place))
        text.replace(place, hours.size(), R"(["Fri 05:00-20:00", "Sat 05:00-20:00"])");
    return text;
}

/// `day` as it is once its order is edited to `pieces`.
std::unique_ptr<replan::Instead> instead_of(const Day& day, const test::Planned& raised, Instant now, bool edited) {
    replan::Situation situation = replan::situation(raised.plan, raised.expansion, day.journal, now);
    situation.edited = edited;
    const Replanned result = replan::replan(raised.plan, raised.expansion, day.journal, situation);
    return replan::with_fewer(raised.plan, raised.expansion, day.journal, situation, result,
                              [](const Plan&, const Expansion&) { return replan::Forecast{}; });
}

}  // namespace

TEST_CASE("an order is raised beyond what can be done: how many can be had, and the day for all those") {
    Day day(long_proved(12));
    REQUIRE(day.planned.timetable);
    const Instant now = day.row("bun.1.bake.1").start - Minutes{60};
    day.as_told(now);
    const test::Planned raised = test::planned(long_proved(30), 60);
    const auto instead = instead_of(day, raised, now, true);
    REQUIRE(instead);
    CHECK(instead->result.way == Replanned::Way::conditional);
    REQUIRE(instead->result.fewer.size() == 1);
    const replan::Fewer& fewer = instead->result.fewer[0];
    CHECK(fewer.order == "Ladder Street");
    CHECK(fewer.ordered == 30);
    CHECK(fewer.left == 12);
    // By the plan's own figures: mixed, proved, and baked, by somebody who is always there.
    REQUIRE(fewer.not_before);
    CHECK(*fewer.not_before == now + Minutes{20 + 28 * 60 + 30});
    for (const std::string& fault : instead->result.unsound) FAIL_CHECK(fault);
    for (const Violation& violation : check(instead->situation.today, *instead->result.timetable))
        if (violation.rule != Rule::record) FAIL_CHECK(violation.what);  // the alarm of a day that has begun
    REQUIRE(instead->result.pickups.size() == 1);
    CHECK(instead->result.pickups[0].done <= instead->result.pickups[0].at);
    CHECK(instead->result.changes.empty());

    const std::string page =
        report::replan_text({instead->expansion, day.planned.zone, instead->situation, instead->result, {}}, {});
    CHECK(page.find("NO TIMETABLE for all that is ordered") != std::string::npos);
    CHECK(page.find("Ladder Street: 12 bun instead of 30") != std::string::npos);
    CHECK(page.find("Not in it: 18 of 30 bun for Ladder Street") != std::string::npos);
    CHECK(!replan::open_day(instead->situation, instead->result));  // nobody is told of it as if it were the day
}

TEST_CASE("nothing is left out of a day that has a timetable, nor what is begun") {
    Day day(long_proved(24));
    REQUIRE(day.planned.timetable);
    const Instant now = day.row("bun.1.bake.1").start - Minutes{60};
    day.as_told(now);
    CHECK(!instead_of(day, day.planned, now, false));
    Day late = day;  // so long that nobody is there any more: both batches are under way
    const Instant sunday = now + Minutes{40 * 60};
    CHECK(late.replan(sunday).way == Replanned::Way::impossible);
    CHECK(!instead_of(late, late.planned, sunday, false));
}

TEST_CASE("what an edited plan was never announced for is not called late as announced") {
    const auto with_first = [](int pieces) {
        std::string text = test::plan_for_buns(R"(
[[component]]
name  = "bun"
makes = "12 pieces"
steps = [{ name = "mix", takes = "20 min", hands = true }, { name = "bake", takes = "30 min", oven = "200 C", tray = 12 }]
)");
        return text + "\n[[order]]\nname = \"Early\"\npickup = 2026-10-03T09:00:00\nitems = { bun = " +
               std::to_string(pieces) + " }\n";
    };
    Day day(with_first(12));
    REQUIRE(day.planned.timetable);
    const test::Planned raised = test::planned(with_first(18), 60);
    const Instant now = day.planned.timetable->rows.front().start - Minutes{120};
    replan::Situation situation = replan::situation(raised.plan, raised.expansion, day.journal, now);
    for (const bool edited : {true, false}) {
        situation.edited = edited;
        const Replanned result = replan::replan(raised.plan, raised.expansion, day.journal, situation);
        const auto early = std::ranges::find(result.pickups, 1, &replan::Pickup::order);
        REQUIRE(early != result.pickups.end());
        // The second batch was announced for noon; now six of it are collected at nine.
        CHECK(early->before.has_value() != edited);
    }
}

TEST_CASE("nobody is asked to stay longer than the day that is shown has work for") {
    Day day(evening_and_morrow());
    REQUIRE(day.planned.timetable);
    const Instant ends = day.planned.plan.kitchen.crew[0].hours[0].to;
    for (const Minutes before : {Minutes{20}, Minutes{12}, Minutes{4}}) {
        CAPTURE(before.count());
        const Replanned result = day.replan(ends - before);
        REQUIRE(result.way == Replanned::Way::conditional);
        for (const replan::Need& need : result.needs) {
            if (need.kind != replan::Need::Kind::stays) continue;
            Instant last = ends;
            for (const Job& job : result.timetable->jobs)
                if (job.person == need.what && job.span.from < need.at) last = std::max(last, job.span.to);
            CHECK(last == need.at);
        }
    }
}
