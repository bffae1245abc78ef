/// From a schedule to the cook's words: rows, ovens, handovers, pickups, goals.

#include "oventide/timetable.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <string>

#include "oventide/check.hpp"
#include "support/expansion_text.hpp"
#include "support/plan_text.hpp"

namespace oventide::test {
namespace {

using Lines = std::vector<std::string>;

/// A schedule by hand: starts by name, and the first choice of every demand unless said otherwise.
struct Given {
    std::string name;
    Time start;
};

struct Day {
    Plan plan;
    Expansion expansion;
    Outcome outcome;
    Timetable timetable;

    std::string clock(Instant at) const {
        const auto minute = (at - expansion.origin).count();
        const auto two = [](auto value) { return (value < 10 ? "0" : "") + std::to_string(value); };
        return two(minute / 60) + ':' + two(minute % 60);
    }
};

Day day_of(const std::string& text, const std::vector<Given>& starts) {
    Day day{plan_of(text), {}, {}, {}};
    day.expansion = expansion_of(day.plan);
    Schedule schedule;
    schedule.start.assign(day.expansion.project.activities.size(), -1);
    for (const Given& given : starts) schedule.start[activity_named(day.expansion, given.name)] = given.start;
    for (const Activity& activity : day.expansion.project.activities) {
        CAPTURE(activity.name);
        CHECK(schedule.start[&activity - day.expansion.project.activities.data()] >= 0);
        schedule.chosen.emplace_back();
        for (const Demand& demand : activity.demands) schedule.chosen.back().push_back(demand.choices.front());
    }
    complete(day.expansion.project, schedule);
    day.outcome.value = evaluate(day.expansion.project, schedule);
    day.outcome.bound = day.outcome.value;
    day.outcome.schedule = schedule;
    day.timetable = make_timetable(day.plan, day.expansion, day.outcome, {});
    return day;
}

/// "05:00-05:12 tart.1.mix: mixer 05:00-05:17; Ada 05:00-05:12, Ada 05:12-05:17 (washing)"
Lines rows_text(const Day& day) {
    Lines lines;
    for (const Row& row : day.timetable.rows) {
        std::string line = day.clock(row.start) + '-' + day.clock(row.end) + ' ' + row.id;
        for (const EquipmentUse& use : row.equipment)
            line += ", " + std::to_string(use.amount) + ' ' + day.plan.kitchen.equipment[use.equipment].name + ' ' +
                    day.clock(use.span.from) + '-' + day.clock(use.span.to);
        for (const HandsUse& use : row.hands)
            line += ", " + day.plan.kitchen.crew[use.person].name + (use.washing ? " washes " : " ") +
                    day.clock(use.span.from) + '-' + day.clock(use.span.to);
        lines.push_back(line);
    }
    return lines;
}

/// "07:20 set 180"
Lines oven_text(const Day& day) {
    const char* const kinds[] = {"on", "set", "off", "hot"};
    Lines lines;
    for (const OvenEvent& event : day.timetable.oven)
        lines.push_back(day.clock(event.at) + ' ' + kinds[static_cast<int>(event.kind)] +
                        (event.temperature ? ' ' + std::to_string(*event.temperature / 1000) : ""));
    return lines;
}

Lines violations_text(const Day& day) {
    Lines lines;
    for (const Violation& violation : check(day.expansion.project, *day.outcome.schedule))
        lines.push_back(violation.what);
    for (const Violation& violation : check(day.plan, day.timetable)) lines.push_back(violation.what);
    return lines;
}

/// Minutes are counted from midnight of the day of the pickup.
std::string day_text(const std::string& rest, const std::string& oven = "") {
    return "timezone = \"UTC\"\nfrom = 2026-10-03T00:00:00\n[kitchen]\nroom = \"20 C\"\n"
           "[[kitchen.crew]]\nname = \"Ada\"\nhours = \"05:00-12:30\"\n"
           "[[kitchen.oven]]\ntrays = 4\nheats = \"10 C/min\"\ncools = \"5 C/min\"\n" +
           oven + "[[kitchen.mixer]]\n[[kitchen.fridge]]\nshelves = 4\n" + rest;
}

const char* const kTarts = R"(
[[order]]
name   = "Ladder Street"
pickup = 2026-10-03T12:00:00
items  = { tart = 12 }
[[component]]
name  = "tart"
makes = "12 pieces"
steps = [
  { name = "fill", takes = "10 min", hands = true, with = { case = 1 } },
  { name = "set", takes = "20 min", keeps = "3 h", uses = "fridge" },
]
[[component]]
name  = "case"
makes = "12 pieces"
steps = [
  { name = "mix", takes = "12 min", hands = true, uses = "mixer", wash = "5 min" },
  { name = "bake", takes = "20 min", oven = "180 C", tray = 2, hands = { first = "2 min", last = "2 min" } },
]
)";

Day tart_day() {
    return day_of(day_text(kTarts), {{"case.1.mix", 8 * 60},
                                     {"case.1.bake.1", 9 * 60},
                                     {"case.1.bake.2", 9 * 60 + 20},
                                     {"tart.1.fill", 10 * 60},
                                     {"tart.1.set", 10 * 60 + 30}});
}

TEST_CASE("rows: who does what with what, and when") {
    const Day day = tart_day();
    CHECK(rows_text(day) ==
          Lines{"08:00-08:12 case.1.mix, 1 mixer 08:00-08:17, Ada 08:00-08:12, Ada washes 08:12-08:17",
                "09:00-09:20 case.1.bake.1, 4 oven 09:00-09:20, Ada 09:00-09:02, Ada 09:18-09:20",
                "09:20-09:40 case.1.bake.2, 2 oven 09:20-09:40, Ada 09:20-09:22, Ada 09:38-09:40",
                "10:00-10:10 tart.1.fill, Ada 10:00-10:10", "10:30-12:00 tart.1.set, 1 fridge 10:30-12:00"});
    CHECK(violations_text(day).empty());
    const Row& set = day.timetable.rows.back();
    CHECK(day.clock(set.ready) == "10:50");
    CHECK(set.amount == 12);
    const Row& second = day.timetable.rows[2];
    CHECK(second.batch == 1);
    CHECK(second.load == 2);
    CHECK(second.from == 8);
    CHECK(second.amount == 4);
    CHECK_FALSE(second.slip.has_value());
}

TEST_CASE("rows: how much each can slip, where it was computed") {
    const Day day = tart_day();
    const std::vector<Time> slips = {5, 55, kNever, 20, 0};  // by activity: tart fill, set, case mix, bake, bake
    const Timetable timetable = make_timetable(day.plan, day.expansion, day.outcome, {slips, {}});
    CHECK(timetable.rows[3].slip == Minutes{5});
    CHECK(timetable.rows[4].slip == Minutes{55});
    CHECK_FALSE(timetable.rows[0].slip.has_value());
}

TEST_CASE("handovers, pickups, goals and the alarm clock") {
    const Day day = tart_day();
    REQUIRE(day.timetable.handovers.size() == 1);
    const Handover& handover = day.timetable.handovers.front();
    CHECK(day.plan.components[handover.from].name == "case");
    CHECK(day.plan.components[handover.to].name == "tart");
    CHECK(handover.amount == 12);

    REQUIRE(day.timetable.pickups.size() == 1);
    const PickupLine& pickup = day.timetable.pickups.front();
    CHECK(day.clock(pickup.pickup) == "12:00");
    CHECK(day.clock(pickup.done) == "10:50");
    REQUIRE(pickup.servings.size() == 1);
    CHECK(pickup.servings[0].item == 0);
    CHECK(pickup.servings[0].batch == 1);
    CHECK(pickup.servings[0].amount == 12);

    REQUIRE(day.timetable.alarm.has_value());
    CHECK(day.clock(*day.timetable.alarm) == "08:00");
    REQUIRE(day.timetable.goals.size() == 3);
    CHECK(day.timetable.goals[0].aim == Aim::freshness);
    CHECK(day.timetable.goals[0].value == 0);
    CHECK(day.timetable.goals[1].aim == Aim::alarm);
    CHECK(day.timetable.goals[1].value == day.timetable.alarm->time_since_epoch().count());
    // mix to loads: 48 * 8 + 68 * 4; loads to fill: 40 * 8 + 20 * 4; fill to set: 20 * 12; set to pickup: 70 * 12
    CHECK(day.timetable.goals[2].aim == Aim::waiting);
    CHECK(day.timetable.goals[2].value == 384 + 272 + 320 + 80 + 240 + 840);
}

TEST_CASE("a goal is proven while every goal before it has reached its bound") {
    Day day = tart_day();
    const std::int64_t alarm = day.timetable.goals[1].value;
    day.outcome.bound[1] -= 30;  // half an hour later might do
    day.outcome.bound[2] -= 100;
    Timetable timetable = make_timetable(day.plan, day.expansion, day.outcome, {});
    CHECK(timetable.goals[0].proven);
    CHECK_FALSE(timetable.goals[1].proven);
    CHECK(timetable.goals[1].best == alarm + 30);
    CHECK_FALSE(timetable.goals[2].proven);
    CHECK(timetable.goals[2].best == timetable.goals[2].value - 100);

    day.outcome.optimal = true;
    timetable = make_timetable(day.plan, day.expansion, day.outcome, {});
    CHECK(timetable.optimal);
    for (const GoalLine& goal : timetable.goals) {
        CHECK(goal.proven);
        CHECK(goal.best == goal.value);
    }
}

TEST_CASE("without a schedule there is nothing to tell") {
    const Day day = tart_day();
    const Timetable timetable = make_timetable(day.plan, day.expansion, Outcome{}, {});
    CHECK(timetable.rows.empty());
    CHECK_FALSE(timetable.alarm.has_value());
}

// ---------------------------------------------------------------------------------------------------- ovens

/// So many bakes of one tray each, one after the other as given: 180 C takes 16 minutes from the room of 20 C.
struct Bake {
    std::string step;
    Time start;
};

Day oven_day(const std::vector<Bake>& bakes, const std::string& oven = "") {
    std::string items;
    std::string components;
    std::vector<Given> starts;
    for (std::size_t i = 0; i < bakes.size(); ++i) {
        const std::string name(1, static_cast<char>('a' + i));
        items += (i == 0 ? "" : ", ") + name + " = 1";
        components += "[[component]]\nname = \"" + name + "\"\nmakes = 1\nsteps = [{ name = \"bake\", tray = 1, " +
                      bakes[i].step + " }]\n";
        starts.push_back({name + ".1.bake.1", bakes[i].start});
    }
    return day_of(
        day_text("[[order]]\nname = \"all\"\npickup = 2026-10-03T12:00:00\nitems = { " + items + " }\n" + components,
                 oven),
        starts);
}

TEST_CASE("ovens: on, hot, set, off") {
    const std::string at_180 = R"(takes = "20 min", oven = "180 C")";
    const std::string at_220 = R"(takes = "20 min", oven = "220 C")";
    const std::string drying = R"(oven = ["180 C 20 min", "off 10 min"])";
    const std::string falling = R"(oven = ["220 C 10 min", "180 C 20 min"])";
    struct Row {
        std::string name;
        std::vector<Bake> bakes;
        Lines events;
    };
    const std::vector<Row> rows = {
        {"one load", {{at_180, 360}}, {"05:44 on 180", "06:00 hot 180", "06:20 off"}},
        {"two that overlap", {{at_180, 360}, {at_180, 370}}, {"05:44 on 180", "06:00 hot 180", "06:30 off"}},
        {"kept hot over a short gap", {{at_180, 360}, {at_180, 400}}, {"05:44 on 180", "06:00 hot 180", "07:00 off"}},
        {"off over a gap that is long enough to cool down and heat up again: 32 and 16 minutes",
         {{at_180, 360}, {at_180, 428}},
         {"05:44 on 180", "06:00 hot 180", "06:20 off", "06:52 on 180", "07:08 hot 180", "07:28 off"}},
        {"kept hot over a gap that is a minute too short",
         {{at_180, 360}, {at_180, 427}},
         {"05:44 on 180", "06:00 hot 180", "07:27 off"}},
        {"set hotter no earlier than the next load needs: four minutes",
         {{at_180, 360}, {at_220, 390}},
         {"05:44 on 180", "06:00 hot 180", "06:26 set 220", "06:30 hot 220", "06:50 off"}},
        {"set cooler as soon as the load before is out: eight minutes",
         {{at_220, 360}, {at_180, 398}},
         {"05:40 on 220", "06:00 hot 220", "06:20 set 180", "06:28 hot 180", "06:58 off"}},
        {"off between two temperatures, where there is time",
         {{at_180, 360}, {at_220, 440}},
         {"05:44 on 180", "06:00 hot 180", "06:20 off", "07:00 on 220", "07:20 hot 220", "07:40 off"}},
        {"a programme changes inside",
         {{falling, 360}},
         {"05:40 on 220", "06:00 hot 220", "06:10 set 180", "06:30 off"}},
        {"a load goes in at what a programme has come down to: 40 C take eight minutes",
         {{falling, 360}, {at_180, 382}},
         {"05:40 on 220", "06:00 hot 220", "06:10 set 180", "06:18 hot 180", "06:42 off"}},
        {"or after it",
         {{falling, 360}, {at_180, 395}},
         {"05:40 on 220", "06:00 hot 220", "06:10 set 180", "06:18 hot 180", "06:55 off"}},
        {"drying in the falling heat, and on again: 13 minutes off cost 65 C, which take 7 minutes",
         {{drying, 360}, {at_180, 400}},
         {"05:44 on 180", "06:00 hot 180", "06:20 off", "06:33 on 180", "06:40 hot 180", "07:00 off"}},
        {"or as soon as it may be",
         {{drying, 360}, {at_180, 395}},
         {"05:44 on 180", "06:00 hot 180", "06:20 off", "06:30 on 180", "06:35 hot 180", "06:55 off"}},
    };
    for (const Row& row : rows) {
        CAPTURE(row.name);
        const Day day = oven_day(row.bakes);
        CHECK(violations_text(day) == Lines{});
        CHECK(oven_text(day) == row.events);
    }
}

TEST_CASE("ovens: after an hour with nobody there it is cold, and the alarm clock rings for switching it on") {
    // Ada is there from 05:00; the oven's timer switches it on at 04:00 in one case, in the other she does at 05:00.
    const std::string at_180 = R"(takes = "20 min", oven = "180 C")";
    const Day timed = oven_day({{at_180, 256}, {at_180, 400}}, "timer = true\n");
    CHECK(oven_text(timed) ==
          Lines{"04:00 on 180", "04:16 hot 180", "04:36 off", "06:24 on 180", "06:40 hot 180", "07:00 off"});
    CHECK_FALSE(timed.timetable.alarm.has_value());
    const Day by_hand = oven_day({{at_180, 316}});
    CHECK(violations_text(by_hand) == Lines{});
    REQUIRE(by_hand.timetable.alarm.has_value());
    CHECK(by_hand.clock(*by_hand.timetable.alarm) == "05:00");
}

TEST_CASE("ovens: turned while somebody is there") {
    // Ada comes at 05:00. The loads before go in by themselves, and the timer has switched the oven on.
    const std::string at_180 = R"(takes = "20 min", oven = "180 C")";
    const std::string at_220 = R"(takes = "20 min", oven = "220 C")";
    const std::string timer = "timer = true\n";
    CHECK(oven_text(oven_day({{at_220, 260}, {at_180, 310}}, timer)) ==
          Lines{"04:00 on 220", "04:20 hot 220", "05:00 set 180", "05:08 hot 180", "05:30 off"});
    CHECK(oven_text(oven_day({{at_180, 256}, {at_220, 310}}, timer)) ==
          Lines{"04:00 on 180", "04:16 hot 180", "05:06 set 220", "05:10 hot 220", "05:30 off"});
    // Too early for her: then as soon as it is free, and by nobody.
    const Day early = oven_day({{at_180, 256}, {at_220, 295}}, timer);
    CHECK(oven_text(early) == Lines{"04:00 on 180", "04:16 hot 180", "04:36 set 220", "04:40 hot 220", "05:15 off"});
    CHECK_FALSE(early.timetable.oven[2].by.has_value());
    CHECK(early.timetable.oven[4].by == PersonIndex{0});
}

// ----------------------------------------------------------------------------------------------------- jobs

/// "08:00-08:12 work case.1.mix Ada", "08:44 oven on Ada"
Lines jobs_text(const Day& day) {
    const char* const kinds[] = {"work",       "into",    "out",  "begin", "end",
                                 "afterwards", "washing", "oven", "timer", "put out"};
    const char* const turns[] = {"on", "set", "off", "hot"};
    Lines lines;
    for (const Job& job : day.timetable.jobs) {
        std::string line = day.clock(job.span.from);
        if (job.span.from < job.span.to) line += '-' + day.clock(job.span.to);
        line += std::string(" ") + kinds[static_cast<int>(job.kind)] + ' ';
        line +=
            job.row >= 0 ? day.timetable.rows[job.row].id : turns[static_cast<int>(day.timetable.oven[job.event].kind)];
        lines.push_back(line + ' ' + (job.person ? day.plan.kitchen.crew[*job.person].name : "nobody"));
    }
    return lines;
}

/// "08:00-10:30 Ada: work"
Lines shifts_text(const Day& day) {
    Lines lines;
    for (const Shift& shift : day.timetable.shifts)
        lines.push_back(day.clock(shift.span.from) + '-' + day.clock(shift.span.to) + ' ' +
                        day.plan.kitchen.crew[shift.person].name + " first " + jobs_text(day)[shift.first]);
    return lines;
}

TEST_CASE("jobs: hands, ovens, and what goes into the fridge by the way") {
    const Day day = tart_day();
    CHECK(jobs_text(day) == Lines{"08:00-08:12 work case.1.mix Ada", "08:12-08:17 washing case.1.mix Ada",
                                  "08:44 oven on Ada", "09:00-09:02 into case.1.bake.1 Ada",
                                  "09:18-09:20 out case.1.bake.1 Ada", "09:20-09:22 into case.1.bake.2 Ada",
                                  "09:38-09:40 out case.1.bake.2 Ada", "09:40 oven off Ada",
                                  "10:00-10:10 work tart.1.fill Ada", "10:30 into tart.1.set Ada"});
    CHECK(shifts_text(day) == Lines{"08:00-10:30 Ada first 08:00-08:12 work case.1.mix Ada"});
}

/// Ada from 05:00 to 07:00 and from 13:00, Ben from 05:00 to 20:00.
std::string two_people(const std::string& rest) {
    return "timezone = \"UTC\"\nfrom = 2026-10-03T00:00:00\n[kitchen]\n"
           "[[kitchen.crew]]\nname = \"Ada\"\nhours = \"05:00-07:00, 13:00-20:00\"\n"
           "[[kitchen.crew]]\nname = \"Ben\"\nhours = \"05:00-20:00\"\n[[kitchen.fridge]]\nshelves = 4\n"
           "[[order]]\nname = \"all\"\npickup = 2026-10-03T19:00:00\nitems = { bun = 1 }\n" +
           rest;
}

TEST_CASE("jobs: what nobody is named for goes to who had it in hand, else to who is at work, or there") {
    const std::string bun = R"(
[[component]]
name  = "bun"
makes = 1
steps = [
  { name = "fold",  takes = "30 min", hands = true, who = "Ada" },
  { name = "chill", takes = "30 min", uses = "fridge" },
  { name = "turn",  takes = "10 min", hands = true, who = "Ben" },
  { name = "thaw",  takes = "10 min", uses = "fridge" },
  { name = "fill",  takes = "10 min", hands = true, who = "Ada" },
]
)";
    struct Row {
        std::string name;
        Time fold, chill, turn, thaw, fill;
        std::string into_first, into_second;
    };
    for (const Row& row : {
             Row{"who had it in hand", 360, 390, 600, 610, 960, "06:30 into bun.1.chill Ada",
                 "10:10 into bun.1.thaw Ben"},
             Row{"who is at work", 320, 355, 385, 396, 410, "05:55 into bun.1.chill Ada", "06:36 into bun.1.thaw Ada"},
             Row{"whoever is there", 380, 500, 600, 800, 960, "08:20 into bun.1.chill Ben",
                 "13:20 into bun.1.thaw Ada"},
             Row{"nobody", 1120, 1201, 1240, 1250, 1260, "20:01 into bun.1.chill nobody", "20:50 into bun.1.thaw Ben"},
         }) {
        CAPTURE(row.name);
        const Day day = day_of(two_people(bun), {{"bun.1.fold", row.fold},
                                                 {"bun.1.chill", row.chill},
                                                 {"bun.1.turn", row.turn},
                                                 {"bun.1.thaw", row.thaw},
                                                 {"bun.1.fill", row.fill}});
        const Lines jobs = jobs_text(day);
        CHECK(std::count(jobs.begin(), jobs.end(), row.into_first) == 1);
        CHECK(std::count(jobs.begin(), jobs.end(), row.into_second) == 1);
    }
}

TEST_CASE("jobs: what begins without hands and without a place is put out, by somebody, out of the store or the cold") {
    const std::string bun = R"(
[[component]]
name  = "bun"
makes = 1
steps = [
  { name = "soften", takes = "60 min", keeps = "5 h" },
  { name = "mix",    takes = "10 min", hands = true, who = "Ada" },
  { name = "rise",   takes = "20 min" },
  { name = "shape",  takes = "10 min", hands = true, who = "Ada" },
  { name = "chill",  takes = "30 min", keeps = "2 h", uses = "fridge" },
  { name = "temper", takes = "30 min", keeps = "2 h" },
  { name = "prove",  takes = "30 min" },
  { name = "fill",   takes = "10 min", hands = true, who = "Ada" },
]
)";
    const Day day = day_of(two_people(bun), {{"bun.1.soften", 310},
                                             {"bun.1.mix", 370},
                                             {"bun.1.rise", 380},
                                             {"bun.1.shape", 400},
                                             {"bun.1.chill", 410},
                                             {"bun.1.temper", 500},
                                             {"bun.1.prove", 530},
                                             {"bun.1.fill", 800}});
    Lines put_out;
    for (const std::string& line : jobs_text(day))
        if (line.find(" put out ") != std::string::npos) put_out.push_back(line);
    // Not the rise, which follows hands, nor the proof, which follows what stands already.
    CHECK(put_out == Lines{"05:10 put out bun.1.soften Ada", "08:20 put out bun.1.temper Ben"});
}

TEST_CASE("jobs: a timer is set by whoever was there last; an oven with a timer is switched on by who is at work") {
    const std::string text = R"(timezone = "UTC"
from = 2026-10-02T00:00:00
[kitchen]
crew = [{ name = "Ada", hours = ["Fri 15:00-20:00", "Sat 08:00-16:00"] }]
oven = [{ trays = 2, heats = "10 C/min", cools = "5 C/min", timer = true }]
[[order]]
name = "all"
pickup = 2026-10-03T15:00:00
items = { bun = 1, tart = 1 }
[[component]]
name  = "bun"
makes = 1
steps = [
  { name = "mix",  takes = "10 min", hands = true },
  { name = "bake", takes = "30 min", oven = "200 C", tray = 1, hands = { first = "2 min" } },
]
[[component]]
name  = "tart"
makes = 1
steps = [{ name = "bake", takes = "30 min", oven = "200 C", tray = 1, hands = { first = "2 min" } }]
)";
    // On Friday until 19:10, on Saturday from 08:00: 07:42 comes before she does, at 11:42 she is there.
    const Day day = day_of(text, {{"bun.1.mix", 19 * 60}, {"bun.1.bake.1", 32 * 60}, {"tart.1.bake.1", 36 * 60}});
    Lines timers;
    for (const std::string& line : jobs_text(day))
        if (line.find(" timer ") != std::string::npos) timers.push_back(line);
    CHECK(timers == Lines{"19:10 timer on Ada"});
    std::vector<bool> by_timer;
    for (const OvenEvent& event : day.timetable.oven)
        if (event.kind == OvenEvent::Kind::on) {
            by_timer.push_back(event.by_timer);
            CHECK(event.by.has_value() != event.by_timer);
        }
    CHECK(by_timer == std::vector{true, false});
    CHECK(shifts_text(day) == Lines{"19:00-19:10 Ada first 19:00-19:10 work bun.1.mix Ada",
                                    "32:00-36:30 Ada first 32:00-32:02 into bun.1.bake.1 Ada"});
}

TEST_CASE("food past its best: how much of it, for whom, and when") {
    const std::string text = "timezone = \"UTC\"\nfrom = 2026-10-03T00:00:00\n" + std::string(kKitchen) + R"(
[[order]]
name = "early"
pickup = 2026-10-03T10:00:00
items = { bun = 4 }
[[order]]
name = "late"
pickup = 2026-10-03T12:00:00
items = { bun = 6 }
[[component]]
name  = "bun"
makes = 10
best_within = "3 h"
steps = [{ name = "mix", takes = "10 min" }]
)";
    const auto stale = [&](Time start) {
        Lines lines;
        const Day day = day_of(text, {{"bun.1.mix", start}});
        for (const PastBest& food : day.timetable.past_best)
            lines.push_back(std::to_string(food.amount) + " of " + day.plan.orders[*food.order].name + " at " +
                            day.clock(food.used) + ", ready " + day.clock(food.ready));
        return lines;
    };
    CHECK(stale(8 * 60 + 50).empty());
    CHECK(stale(8 * 60 + 49) == Lines{"6 of late at 12:00, ready 08:59"});
    CHECK(stale(6 * 60) == Lines{"4 of early at 10:00, ready 06:10", "6 of late at 12:00, ready 06:10"});
}

TEST_CASE("put off: what begins by itself, a quarter of an hour or more after it could; hands may wait") {
    const std::string text = "timezone = \"UTC\"\nfrom = 2026-10-03T00:00:00\n" + std::string(kKitchen) + R"(
[[order]]
name = "early"
pickup = 2026-10-03T12:00:00
items = { bun = 4 }
[[component]]
name  = "bun"
makes = 10
steps = [
  { name = "mix", takes = "10 min", hands = true },
  { name = "prove", takes = "20 min", rest = "5 min", keeps = "3 h" },
  { name = "shape", takes = "10 min", hands = true },
]
)";
    const auto late = [&](Time prove) {
        Lines lines;
        const Day day = day_of(text, {{"bun.1.mix", 6 * 60}, {"bun.1.prove", prove}, {"bun.1.shape", 11 * 60}});
        for (const PutOff& one : put_off(day.plan, day.expansion, day.timetable))
            lines.push_back(day.timetable.rows[static_cast<std::size_t>(one.row)].id + " could at " +
                            day.clock(one.possible));
        return lines;
    };
    CHECK(late(6 * 60 + 29).empty());
    CHECK(late(6 * 60 + 30) == Lines{"bun.1.prove could at 06:15"});
}

TEST_CASE("shifts: a rest of five hours ends one, and nobody gets up for what is done in passing") {
    const std::string bun = R"(
[[component]]
name  = "bun"
makes = 1
steps = [
  { name = "thaw", takes = "10 min", uses = "fridge" },
  { name = "fold", takes = "30 min", hands = true, who = "Ben" },
  { name = "fill", takes = "10 min", hands = true, who = "Ben" },
]
)";
    const auto shifts = [&](Time fold, Time fill) {
        return shifts_text(day_of(two_people(bun), {{"bun.1.thaw", 300}, {"bun.1.fold", fold}, {"bun.1.fill", fill}}));
    };
    CHECK(shifts(540, 869) == Lines{"09:00-14:39 Ben first 09:00-09:30 work bun.1.fold Ben"});
    CHECK(shifts(540, 870) == Lines{"09:00-09:30 Ben first 09:00-09:30 work bun.1.fold Ben",
                                    "14:30-14:40 Ben first 14:30-14:40 work bun.1.fill Ben"});
}

TEST_CASE("one person does all of a step where one of those who lend hands is free for all of it") {
    const std::string text = two_people(R"(
[[component]]
name  = "bun"
makes = 1
steps = [
  { name = "stir", takes = "30 min", hands = { first = "5 min", last = "5 min" } },
  { name = "line", takes = "30 min", hands = true, who = "Ada", after = [] },
  { name = "fold", takes = "30 min", hands = true, who = "Ben", after = [] },
]
)");
    struct Row {
        std::string name;
        Time line, fold;  ///< stirred from 05:30 to 06:00
        std::string hands;
    };
    for (const Row& row : {Row{"both are free: who begins", 900, 900, "Ada Ada"},
                           Row{"Ada has something else in hand at the end", 350, 900, "Ben Ben"},
                           Row{"Ada at the end and Ben at the beginning", 350, 310, "Ada Ben"}}) {
        CAPTURE(row.name);
        Day day = day_of(text, {{"bun.1.stir", 330}, {"bun.1.line", row.line}, {"bun.1.fold", row.fold}});
        const auto stir = static_cast<std::size_t>(activity_named(day.expansion, "bun.1.stir"));
        Schedule& schedule = *day.outcome.schedule;
        REQUIRE(schedule.chosen[stir].size() == 2);
        schedule.chosen[stir][1] = day.expansion.project.activities[stir].demands[1].choices.back();
        const Schedule before = schedule;
        steady_hands(day.expansion, schedule);
        CHECK(schedule.start == before.start);
        std::string hands;
        for (const ResourceId chosen : schedule.chosen[stir])
            hands += (hands.empty() ? "" : " ") + day.plan.kitchen.crew[*day.expansion.resources[chosen].person].name;
        CHECK(hands == row.hands);
    }
}

}  // namespace
}  // namespace oventide::test
