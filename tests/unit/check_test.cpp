/// Mutation tests of the referee for projects: for each rule a schedule that keeps it by a hair, and the same one
/// a minute further, of which the referee must name that rule and nothing else.

#include "oventide/check.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <functional>
#include <string>
#include <vector>

using namespace oventide;

namespace {

constexpr SettingId kHot = 0;
constexpr SettingId kWarm = 1;
constexpr SettingId kOff = 2;

Resource plain(std::string name, std::int32_t capacity) {
    Resource resource;
    resource.name = std::move(name);
    resource.capacity = {{0, capacity}};
    return resource;
}

/// There from 10 to 100.
Resource person(std::string name) {
    Resource resource = plain(std::move(name), 0);
    resource.capacity = {{0, 0}, {10, 1}, {100, 0}};
    resource.wakes = true;
    return resource;
}

/// Hot to warm 5 minutes, warm to hot 8, after off 12 to hot and 6 to warm; from cold 20 and 15.
Resource oven(std::int32_t trays) {
    Resource resource = plain("oven", trays);
    resource.has_state = true;
    resource.state.transition = {{0, 5, 0}, {8, 0, 0}, {12, 6, 0}};
    resource.state.startup = {20, 15, 0};
    return resource;
}

Activity activity(std::string name, Time duration) {
    Activity one;
    one.name = std::move(name);
    one.duration = duration;
    return one;
}

Demand demand(ResourceId resource, std::int32_t amount = 1) {
    Demand one;
    one.choices = {resource};
    one.amount = amount;
    return one;
}

Activity bake(std::string name, std::vector<Stage> stages, std::int32_t trays = 1, Time sealed = 0) {
    Time duration = 0;
    for (const Stage& stage : stages) duration += stage.lasts;
    Activity one = activity(std::move(name), duration);
    Demand oven_demand = demand(0, trays);
    oven_demand.stages = std::move(stages);
    oven_demand.sealed = sealed;
    one.demands = {oven_demand};
    return one;
}

/// Somebody attends from 10 to 100 and from 150 on; left alone for 30 minutes an oven is cold.
Project project(std::vector<Activity> activities, std::vector<Resource> resources = {}) {
    Project one;
    one.activities = std::move(activities);
    one.resources = std::move(resources);
    one.settings = {{"hot", false}, {"warm", false}, {"off", true}};
    one.attended = {{10, 100}, {150, 300}};
    one.reset_after = 30;
    one.horizon = 300;
    one.goals = {Goal::overrun, Goal::alarm, Goal::waiting};
    return one;
}

/// Ends that are ready, first choices, the start-ups that are given.
Schedule schedule(const Project& project, std::vector<Time> starts, std::vector<StartUp> start_ups = {}) {
    Schedule one;
    one.start = std::move(starts);
    for (std::size_t id = 0; id < project.activities.size(); ++id) {
        one.end.push_back(one.start[id] + project.activities[id].duration);
        one.chosen.emplace_back();
        for (const Demand& each : project.activities[id].demands) one.chosen.back().push_back(each.choices.front());
    }
    one.start_ups = std::move(start_ups);
    return one;
}

std::string told(const std::vector<Violation>& violations) {
    std::string all;
    for (const Violation& one : violations) all += std::string(rule_name(one.rule)) + ": " + one.what + "\n";
    return all;
}

struct Case {
    std::string name;
    Project project;
    Schedule kept;
    Schedule broken;
    Rule rule;
};

void judge(const Case& row) {
    SUBCASE(row.name.c_str()) {
        const auto none = check(row.project, row.kept);
        CHECK_MESSAGE(none.empty(), told(none));
        const auto found = check(row.project, row.broken);
        REQUIRE_MESSAGE(!found.empty(), "nothing found");
        for (const Violation& violation : found) CHECK_MESSAGE(violation.rule == row.rule, told(found));
        CHECK_MESSAGE(found.size() == 1, told(found));
        CHECK(!found.front().what.empty());
    }
}

Case starts(std::string name, Project one, std::vector<Time> kept, std::vector<Time> broken, Rule rule) {
    Case row{std::move(name), one, schedule(one, std::move(kept)), schedule(one, std::move(broken)), rule};
    return row;
}

Case ovens(std::string name, Project one, std::vector<Time> kept, std::vector<StartUp> kept_on,
           std::vector<Time> broken, std::vector<StartUp> broken_on) {
    return {std::move(name), one, schedule(one, std::move(kept), std::move(kept_on)),
            schedule(one, std::move(broken), std::move(broken_on)), Rule::oven};
}

Case changed(std::string name, Project one, Schedule kept, const std::function<void(Schedule&)>& change, Rule rule) {
    Schedule broken = kept;
    change(broken);
    return {std::move(name), std::move(one), std::move(kept), std::move(broken), rule};
}

Project lagged(Time forth, Time back) {
    Project one = project({activity("mix", 5), activity("bake", 5)});
    one.lags = {{0, 1, forth}, {1, 0, back}};
    return one;
}

/// A chill that lasts until it is used.
Project chilled(Time keep, Time held_until, bool used) {
    Project one = project({activity("chill", 20), activity("fill", 5)});
    one.activities[0].stretchable = true;
    one.activities[0].keep = keep;
    one.activities[0].held_until = held_until;
    if (used) one.activities[0].users = {1};
    return one;
}

Schedule with_end(Schedule one, ActivityId id, Time end) {
    one.end[id] = end;
    return one;
}

Project shared(std::int32_t capacity, std::vector<std::int32_t> amounts) {
    Project one = project({}, {plain("fridge", capacity)});
    for (std::size_t i = 0; i < amounts.size(); ++i) {
        one.activities.push_back(activity("chill " + std::to_string(i), 10));
        one.activities.back().demands = {demand(0, amounts[i])};
    }
    return one;
}

}  // namespace

TEST_CASE("the referee names times and lags that are broken, and nothing else") {
    Project released = project({activity("mix", 5)});
    released.activities[0].release = 40;
    Project due = project({activity("mix", 5)});
    due.activities[0].due = 40;
    const Case rows[] = {
        starts("release", released, {40}, {39}, Rule::beginning),
        starts("before minute 0", project({activity("mix", 5)}), {0}, {-1}, Rule::beginning),
        starts("horizon", project({activity("mix", 5)}), {295}, {296}, Rule::horizon),
        starts("due", due, {35}, {36}, Rule::pickup),
        starts("rest", lagged(15, -30), {50, 65}, {50, 64}, Rule::order),
        starts("within", lagged(15, -30), {50, 80}, {50, 81}, Rule::order),
        starts("at once: late", lagged(5, -5), {50, 55}, {50, 56}, Rule::order),
        starts("at once: early", lagged(5, -5), {50, 55}, {50, 54}, Rule::order),
    };
    for (const Case& row : rows) judge(row);
}

TEST_CASE("the referee works out ends anew") {
    const Project fixed = project({activity("mix", 5)});
    const Project used = chilled(40, -1, true);
    const Project kept = chilled(40, 130, false);
    const auto used_at = [&](Time start) { return with_end(schedule(used, {50, start}), 0, std::max(start, 70)); };
    const Case rows[] = {
        {"fixed: too long", fixed, schedule(fixed, {50}), with_end(schedule(fixed, {50}), 0, 56), Rule::duration},
        {"fixed: too short", fixed, schedule(fixed, {50}), with_end(schedule(fixed, {50}), 0, 54), Rule::duration},
        {"ends before it starts", fixed, schedule(fixed, {50}), with_end(schedule(fixed, {50}), 0, 49), Rule::duration},
        {"lasts until used", used, used_at(100), with_end(used_at(100), 0, 99), Rule::duration},
        {"no longer than used", used, used_at(100), with_end(used_at(100), 0, 101), Rule::duration},
        {"used before ready", used, used_at(60), with_end(used_at(60), 0, 60), Rule::duration},
        {"keeps until used", used, used_at(110), used_at(111), Rule::duration},
        {"keeps until a moment", kept, with_end(schedule(kept, {70, 0}), 0, 130),
         with_end(schedule(kept, {69, 0}), 0, 130), Rule::duration},
    };
    for (const Case& row : rows) judge(row);
}

TEST_CASE("the referee counts what is in use at every minute") {
    Project part = shared(1, {1, 1});
    part.activities[0].demands[0].from = {Moment::Of::start, 2};
    part.activities[0].demands[0].to = {Moment::Of::end, 3};

    Project held = project({activity("boil", 10), activity("fill", 5), activity("fry", 10)}, {plain("hob", 1)});
    held.activities[0].demands = {demand(0)};
    held.activities[0].demands[0].held_until = {1};
    held.activities[2].demands = {demand(0)};

    Project stretched = chilled(100, -1, true);
    stretched.resources = {plain("fridge", 1)};
    stretched.activities[0].demands = {demand(0)};
    stretched.activities.push_back(activity("thaw", 10));
    stretched.activities[2].demands = {demand(0)};
    const auto stretched_at = [&](Time thaw) { return with_end(schedule(stretched, {50, 100, thaw}), 0, 100); };

    Project closed = project({activity("mix", 10)}, {plain("mixer", 1)});
    closed.resources[0].capacity = {{0, 1}, {60, 0}, {80, 1}};
    closed.activities[0].demands = {demand(0)};

    Project ahead = shared(1, {1});
    ahead.activities[0].demands[0].from = {Moment::Of::start, -3};

    Project empty = shared(1, {1, 1});
    empty.activities[1].demands[0].to = {Moment::Of::start, 0};

    const Case rows[] = {
        starts("one over", shared(3, {1, 2, 1}), {50, 50, 60}, {50, 50, 59}, Rule::equipment),
        starts("one over for a single minute", shared(1, {1, 1}), {50, 60}, {50, 59}, Rule::equipment),
        starts("begins after the start", part, {50, 42}, {50, 43}, Rule::equipment),
        starts("lasts past the end", part, {50, 63}, {50, 62}, Rule::equipment),
        starts("held until a later one starts", held, {50, 90, 90}, {50, 90, 89}, Rule::equipment),
        {"busy while it keeps", stretched, stretched_at(100), stretched_at(99), Rule::equipment},
        starts("before minute 0", ahead, {3}, {2}, Rule::beginning),
        starts("into a closed time", closed, {50}, {51}, Rule::closed),
        starts("out of a closed time", closed, {80}, {79}, Rule::closed),
    };
    for (const Case& row : rows) judge(row);
    CHECK(check(empty, schedule(empty, {50, 55})).empty());
}

TEST_CASE("the referee knows everybody's hours") {
    Project hands = project({activity("knead", 10), activity("wash", 5)}, {person("Ada"), person("Bo")});
    for (Activity& one : hands.activities) {
        one.demands = {demand(0)};
        one.demands[0].choices = {0, 1};
    }
    const auto nobody = schedule(hands, {50, 55});
    Schedule two = nobody;
    two.chosen[1][0] = 1;
    const Case rows[] = {
        starts("before their hours", hands, {10, 50}, {9, 50}, Rule::crew),
        starts("after their hours", hands, {90, 50}, {91, 50}, Rule::crew),
        starts("one pair of hands", hands, {50, 60}, {50, 59}, Rule::crew),
        {"the other pair of hands", hands, two, nobody, Rule::crew},
        changed(
            "somebody who may not", hands, two, [](Schedule& one) { one.chosen[1][0] = 2; }, Rule::record),
    };
    for (const Case& row : rows) judge(row);
}

TEST_CASE("the referee watches the oven's settings") {
    const Project two = project({bake("A", {{kHot, 20}}), bake("B", {{kHot, 20}})}, {oven(2)});
    const Project clash = project({bake("A", {{kHot, 20}}), bake("B", {{kWarm, 20}})}, {oven(2)});
    const Project falling = project({bake("A", {{kHot, 20}, {kWarm, 20}}), bake("B", {{kWarm, 20}})}, {oven(2)});
    const Project off = project({bake("A", {{kHot, 20}, {kOff, 10}}), bake("B", {{kHot, 20}})}, {oven(2)});
    const Project full = project({bake("A", {{kHot, 20}}, 2), bake("B", {{kHot, 20}}, 1)}, {oven(2)});
    Project shut = project({bake("A", {{kHot, 20}}, 1, 15), bake("B", {{kHot, 20}})}, {oven(2)});

    // The same setting may be shared at any overlap; a bake of two settings with one of the second setting only
    // once the change has taken its time, which is then counted from the end of the first setting.
    CHECK(check(two, schedule(two, {60, 65}, {{0, 40, 60, kHot}})).empty());
    const Case rows[] = {
        ovens("down", clash, {60, 85}, {{0, 40, 60, kHot}}, {60, 84}, {{0, 40, 60, kHot}}),
        ovens("up", clash, {88, 60}, {{0, 45, 60, kWarm}}, {87, 60}, {{0, 45, 60, kWarm}}),
        ovens("into the second setting", falling, {60, 85}, {{0, 40, 60, kHot}}, {60, 84}, {{0, 40, 60, kHot}}),
        ovens("up from off", off, {60, 102}, {{0, 40, 60, kHot}}, {60, 101}, {{0, 40, 60, kHot}}),
        ovens("out as off begins", off, {60, 60}, {{0, 40, 60, kHot}}, {60, 61}, {{0, 40, 60, kHot}}),
        ovens("a load goes in", shut, {60, 75}, {{0, 40, 60, kHot}}, {60, 74}, {{0, 40, 60, kHot}}),
        ovens("a load comes out", shut, {60, 55}, {{0, 35, 55, kHot}}, {60, 54}, {{0, 34, 54, kHot}}),
        ovens("a load comes out as the door shuts", shut, {60, 40}, {{0, 20, 40, kHot}}, {60, 41}, {{0, 21, 41, kHot}}),
    };
    for (const Case& row : rows) judge(row);

    CHECK(check(full, schedule(full, {60, 80}, {{0, 40, 60, kHot}})).empty());
    const auto over = check(full, schedule(full, {60, 79}, {{0, 40, 60, kHot}}));
    REQUIRE(over.size() == 1);
    CHECK(over.front().rule == Rule::equipment);

    const auto conflict = check(clash, schedule(clash, {60, 61}, {{0, 40, 60, kHot}}));
    REQUIRE_MESSAGE(conflict.size() == 1, told(conflict));
    CHECK(conflict.front().rule == Rule::oven);
}

TEST_CASE("two loads at off are never together") {
    Project off = project({bake("A", {{kOff, 20}}), bake("B", {{kOff, 20}})}, {oven(2)});
    CHECK(check(off, schedule(off, {60, 80}, {{0, 60, 60, kOff}})).empty());
    const auto found = check(off, schedule(off, {60, 79}, {{0, 60, 60, kOff}}));
    REQUIRE_MESSAGE(found.size() == 1, told(found));
    CHECK(found.front().rule == Rule::oven);
}

TEST_CASE("the referee wants each switching on, exactly where the rules put it") {
    const Project one = project({bake("A", {{kHot, 20}})}, {oven(1)});
    Project timer = one;
    timer.resources[0].state.self_starting = true;
    const Project two = project({bake("A", {{kHot, 20}}), bake("B", {{kHot, 20}})}, {oven(2)});
    const std::vector<StartUp> first = {{0, 40, 60, kHot}};
    // Nobody is there from 100 to 150, so what ends at 120 leaves an oven alone for 30 minutes by 150.
    const std::vector<StartUp> both = {{0, 80, 100, kHot}, {0, 150, 170, kHot}};
    const std::vector<StartUp> early = {{0, 80, 100, kHot}};
    const Case rows[] = {
        ovens("missing", one, {60}, first, {60}, {}),
        ovens("needless", two, {60, 85}, first, {60, 85}, {{0, 40, 60, kHot}, {0, 65, 85, kHot}}),
        ovens("by a timer, before anybody is there", timer, {20}, {{0, 0, 20, kHot}}, {20}, {}),
        ovens("before anybody is there", one, {30}, {{0, 10, 30, kHot}}, {29}, {{0, 9, 29, kHot}}),
        ovens("after everybody has left", one, {119}, {{0, 99, 119, kHot}}, {120}, {{0, 100, 120, kHot}}),
        ovens("cold again", two, {100, 170}, both, {100, 170}, early),
        ovens("cold again: before anybody is back", two, {100, 170}, both, {100, 169},
              {{0, 80, 100, kHot}, {0, 149, 169, kHot}}),
    };
    for (const Case& row : rows) judge(row);

    // Left for 30 minutes it is cold, for 29 it is not.
    CHECK(check(two, schedule(two, {100, 149}, early)).empty());
    const Project late = project({bake("A", {{kHot, 21}}), bake("B", {{kHot, 20}})}, {oven(2)});
    CHECK(check(late, schedule(late, {100, 170}, early)).empty());

    // Two that start together share one switching on.
    CHECK(check(two, schedule(two, {60, 60}, first)).empty());

    Project slow = one;  // on at 99 it heats for 60, and is alone from 100 to 150
    slow.resources[0].state.startup[kHot] = 60;
    const auto alone = check(slow, schedule(slow, {159}, {{0, 99, 159, kHot}}));
    REQUIRE_MESSAGE(alone.size() == 1, told(alone));
    CHECK(alone.front().rule == Rule::oven);

    Project self = timer;  // before minute 0
    const auto before = check(self, schedule(self, {19}, {{0, -1, 19, kHot}}));
    REQUIRE_MESSAGE(before.size() == 1, told(before));
    CHECK(before.front().rule == Rule::oven);

    Project hurried = two;  // a timer would switch it on before the last load is out
    hurried.resources[0].state.self_starting = true;
    hurried.resources[0].state.startup[kHot] = 60;
    CHECK(check(hurried, schedule(hurried, {100, 180}, {{0, 40, 100, kHot}, {0, 120, 180, kHot}})).empty());
    const auto hurry = check(hurried, schedule(hurried, {100, 179}, {{0, 40, 100, kHot}, {0, 119, 179, kHot}}));
    REQUIRE_MESSAGE(hurry.size() == 1, told(hurry));
    CHECK(hurry.front().rule == Rule::oven);
}

TEST_CASE("the referee reads the schedule's own record") {
    const Project one = project({bake("A", {{kHot, 20}}), bake("B", {{kHot, 20}})}, {oven(2), oven(1)});
    const Schedule kept = schedule(one, {60, 60}, {{0, 40, 60, kHot}});
    const Case rows[] = {
        changed(
            "a start missing", one, kept, [](Schedule& s) { s.start.pop_back(); }, Rule::record),
        changed(
            "an end missing", one, kept, [](Schedule& s) { s.end.pop_back(); }, Rule::record),
        changed(
            "choices missing", one, kept, [](Schedule& s) { s.chosen.pop_back(); }, Rule::record),
        changed(
            "a choice missing", one, kept, [](Schedule& s) { s.chosen[0].pop_back(); }, Rule::record),
        changed(
            "not a choice", one, kept, [](Schedule& s) { s.chosen[0][0] = 1; }, Rule::record),
        changed(
            "a start-up twice", one, kept, [](Schedule& s) { s.start_ups.push_back(s.start_ups[0]); }, Rule::record),
        changed(
            "a start-up of nothing", one, kept,
            [](Schedule& s) {
                s.start_ups.push_back({7, 0, 0, 0});
            },
            Rule::record),
    };
    for (const Case& row : rows) judge(row);

    Project both = one;
    both.activities[1].demands[0].choices = {1};
    Schedule unsorted = schedule(both, {60, 60}, {{1, 40, 60, kHot}, {0, 40, 60, kHot}});
    const auto found = check(both, unsorted);
    REQUIRE_MESSAGE(found.size() == 1, told(found));
    CHECK(found.front().rule == Rule::record);
}

TEST_CASE("a value worked out by hand") {
    Project one =
        project({activity("mix", 10), activity("fill", 5), bake("A", {{kHot, 20}})}, {oven(1), person("Ada")});
    one.activities[0].demands = {demand(1)};
    one.freshness = {{{0}, {1}, -1, 10}, {{0}, {}, 200, 20}};
    one.links = {{0, 1, 0, 3}, {1, -1, 200, 2}};
    // mix is ready at 60, fill starts at 90 and is ready at 95: 20 too long before filling, 120 before 200; on at 30.
    CHECK(checked_value(one, schedule(one, {50, 90, 50})) == Value{140, -30, 3 * 30 + 2 * 105});
    one.resources[0].state.self_starting = true;
    CHECK(checked_value(one, schedule(one, {50, 90, 50})) == Value{140, -50, 3 * 30 + 2 * 105});
    one.resources[1].wakes = false;
    CHECK(checked_value(one, schedule(one, {55, 90, 40})) == Value{135 - 5 + 0, -40, 3 * 25 + 2 * 105});
    one.goals = {Goal::waiting};
    CHECK(checked_value(one, schedule(one, {55, 90, 40})) == Value{285, 0, 0});
}
