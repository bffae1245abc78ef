/// Total float: textbook networks, one small case for each tie, and a search through every slip of small projects.

#include "oventide/slack.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <optional>
#include <random>
#include <string>
#include <utility>
#include <vector>

#include "oventide/check.hpp"

using namespace oventide;

namespace {

// ------------------------------------------------------------------------------------------ small projects

ActivityId add(Project& project, Time duration, Time due = kNever) {
    Activity one;
    one.name = std::string(1, static_cast<char>('a' + project.activities.size()));
    one.duration = duration;
    one.due = due;
    project.activities.push_back(one);
    return static_cast<ActivityId>(project.activities.size()) - 1;
}

Demand& needs(Project& project, ActivityId id, ResourceId resource, std::int32_t amount = 1) {
    Demand one;
    one.choices = {resource};
    one.amount = amount;
    project.activities[id].demands.push_back(one);
    return project.activities[id].demands.back();
}

ResourceId add_resource(Project& project, std::vector<CapacityStep> capacity) {
    Resource one;
    one.name = "resource " + std::to_string(project.resources.size());
    one.capacity = std::move(capacity);
    project.resources.push_back(one);
    return static_cast<ResourceId>(project.resources.size()) - 1;
}

constexpr SettingId kHot = 0;
constexpr SettingId kCool = 1;

/// Hot to cool takes 3, back 4; from cold 5 to hot, 2 to cool. Somebody is there until 40 and from 60 to 200.
ResourceId add_oven(Project& project, std::int32_t trays) {
    const ResourceId id = add_resource(project, {{0, trays}});
    project.settings = {{"hot", false}, {"cool", false}};
    project.resources[id].has_state = true;
    project.resources[id].state.transition = {{0, 3}, {4, 0}};
    project.resources[id].state.startup = {5, 2};
    project.attended = {{0, 40}, {60, 200}};
    project.reset_after = 10;
    return id;
}

void bakes(Project& project, ActivityId id, ResourceId oven, SettingId setting) {
    needs(project, id, oven).stages = {{setting, project.activities[id].duration}};
}

void after(Project& project, ActivityId before, ActivityId later, Time rest = 0) {
    project.lags.push_back({before, later, project.activities[before].duration + rest, kNoPromise});
}

void within(Project& project, ActivityId before, ActivityId later, Time wait) {
    project.lags.push_back({later, before, -(project.activities[before].duration + wait), kNoPromise});
}

Schedule at(const Project& project, std::vector<Time> starts) {
    Schedule schedule;
    schedule.start = std::move(starts);
    for (const Activity& activity : project.activities) {
        schedule.chosen.emplace_back();
        for (const Demand& demand : activity.demands) schedule.chosen.back().push_back(demand.choices.front());
    }
    complete(project, schedule);
    return schedule;
}

std::vector<Time> floats(const Project& project, std::vector<Time> starts) {
    const Schedule schedule = at(project, std::move(starts));
    REQUIRE(check(project, schedule).empty());
    return total_float(project, schedule);
}

// --------------------------------------------------------------------------------------- textbook networks

struct Node {
    char name;
    Time duration;
    std::string after;
    Time slack;
};

struct Network {
    std::string name;
    Time length;
    std::vector<Node> nodes;
};

/// Slack by the book, from /work/shared/check-values.md, section 3.2.
const std::vector<Network> kNetworks = {
    {"Milwaukee Paper (Heizer and Render, Operations Management): the table with ES, EF, LS, LF",
     15,
     {{'A', 2, "", 0},
      {'B', 3, "", 1},
      {'C', 2, "A", 0},
      {'D', 4, "B", 1},
      {'E', 4, "C", 0},
      {'F', 3, "C", 6},
      {'G', 5, "DE", 0},
      {'H', 2, "FG", 0}}},
    // Means and precedence from the book; the slacks are computed in check-values.md, not printed there.
    {"Reliable Construction (Hillier and Lieberman, Introduction to Operations Research, PERT/CPM)",
     44,
     {{'A', 2, "", 0},
      {'B', 4, "A", 0},
      {'C', 10, "B", 0},
      {'D', 6, "C", 4},
      {'E', 4, "C", 0},
      {'F', 5, "E", 0},
      {'G', 7, "D", 4},
      {'H', 9, "EG", 4},
      {'I', 7, "C", 2},
      {'J', 8, "FI", 0},
      {'K', 4, "J", 1},
      {'L', 5, "J", 0},
      {'M', 2, "H", 4},
      {'N', 6, "KL", 0}}},
    {"PRIME (lecture slides, scribd 396883604)",
     17,
     {{'A', 6, "", 4},
      {'B', 3, "", 3},
      {'C', 4, "", 0},
      {'D', 2, "A", 4},
      {'E', 3, "B", 3},
      {'F', 5, "C", 0},
      {'G', 3, "C", 7},
      {'H', 5, "EF", 0},
      {'I', 5, "D", 4},
      {'J', 3, "GH", 0}}},
    // LS B 9, D 15, E 13, G 22, H 25 as printed, less the earliest starts.
    {"Nine activities (Hendrickson, Project Management for Construction, chapter 10)",
     30,
     {{'A', 4, "", 0},
      {'B', 3, "", 9},
      {'C', 8, "A", 0},
      {'D', 7, "A", 11},
      {'E', 9, "BC", 1},
      {'F', 12, "BC", 0},
      {'G', 2, "DE", 1},
      {'H', 5, "DE", 4},
      {'I', 6, "FG", 0}}},
};

ActivityId node_index(const Network& network, char name) {
    const auto found =
        std::find_if(network.nodes.begin(), network.nodes.end(), [&](const Node& node) { return node.name == name; });
    return static_cast<ActivityId>(found - network.nodes.begin());
}

}  // namespace

TEST_CASE("the slack of published networks, everything as early as it can") {
    for (const Network& network : kNetworks) {
        SUBCASE(network.name.c_str()) {
            Project project;
            project.horizon = 1000;
            std::vector<Time> earliest;
            for (const Node& node : network.nodes) {
                const ActivityId id = add(project, node.duration, network.length);
                Time start = 0;
                for (const char name : node.after) {
                    const ActivityId before = node_index(network, name);
                    after(project, before, id);
                    start = std::max(start, earliest[before] + project.activities[before].duration);
                }
                earliest.push_back(start);
            }
            const auto found = floats(project, earliest);
            for (std::size_t k = 0; k < network.nodes.size(); ++k) {
                CAPTURE(network.nodes[k].name);
                CHECK(found[k] == network.nodes[k].slack);
            }
        }
    }
}

TEST_CASE("what holds a slip back") {
    Project project;
    project.horizon = 1000;

    SUBCASE("nothing but the horizon") {
        add(project, 5);
        CHECK(floats(project, {0}) == std::vector<Time>{kNever});
    }
    SUBCASE("its own due") {
        add(project, 5, 20);
        CHECK(floats(project, {3}) == std::vector<Time>{12});
    }
    SUBCASE("what follows, which is pushed when the gap is used up") {
        const ActivityId a = add(project, 5);
        const ActivityId b = add(project, 5, 30);
        after(project, a, b, 2);
        CHECK(floats(project, {0, 20}) == std::vector<Time>{18, 5});
    }
    SUBCASE("a longest wait: what comes before moves along") {
        // a [0,5) -> b within 4; b slips beyond it and draws a with it, up to a's due
        const ActivityId a = add(project, 5, 10);
        const ActivityId b = add(project, 5, 100);
        after(project, a, b);
        within(project, a, b, 4);
        CHECK(floats(project, {0, 7}) == std::vector<Time>{5, 7});
    }
    SUBCASE("order on a resource is kept, wide as it may be") {
        const ResourceId shelves = add_resource(project, {{0, 3}});
        const ActivityId a = add(project, 5);
        const ActivityId b = add(project, 5, 30);
        needs(project, a, shelves);
        needs(project, b, shelves);
        CHECK(floats(project, {0, 10}) == std::vector<Time>{20, 15});
    }
    SUBCASE("two that overlap have no order") {
        const ResourceId shelves = add_resource(project, {{0, 3}});
        const ActivityId a = add(project, 5, 40);
        const ActivityId b = add(project, 5, 30);
        needs(project, a, shelves);
        needs(project, b, shelves);
        CHECK(floats(project, {8, 10}) == std::vector<Time>{27, 15});
    }
    SUBCASE("the end of a person's hours stops the slip, but one that is pushed jumps to the next morning") {
        const ResourceId person = add_resource(project, {{0, 1}, {20, 0}, {50, 1}, {80, 0}});
        const ActivityId a = add(project, 5, 30);
        const ActivityId b = add(project, 10, 65);
        after(project, a, b);
        needs(project, b, person);
        // a can push b over the night, to 50 at the earliest; b itself may not jump
        CHECK(floats(project, {0, 5}) == std::vector<Time>{25, 5});
    }
    SUBCASE("a slip that would need a jump of its own at-once block") {
        const ResourceId person = add_resource(project, {{0, 1}, {20, 0}, {50, 1}});
        const ActivityId a = add(project, 5, 100);
        const ActivityId b = add(project, 10, 100);
        after(project, a, b);
        within(project, a, b, 0);
        needs(project, b, person);
        CHECK(floats(project, {0, 5}) == std::vector<Time>{5, 5});
    }
    SUBCASE("a stretchable step shortens as its start slips, and is pushed by its users only beyond what it keeps") {
        const ResourceId shelf = add_resource(project, {{0, 1}});
        const ActivityId chill = add(project, 10, 60);
        const ActivityId fill = add(project, 5, 90);
        const ActivityId next = add(project, 5, 95);
        project.activities[chill].stretchable = true;
        project.activities[chill].keep = 20;
        project.activities[chill].users = {fill};
        after(project, chill, fill);
        needs(project, chill, shelf);
        needs(project, next, shelf);
        // chill [0,25) until fill at 25; next on the shelf at 70. fill drags chill along when it keeps no longer, and
        // chill may be ready by 60 at the latest: fill by 80; but the shelf's next (due 95) waits for fill.
        CHECK(floats(project, {0, 25, 70}) == std::vector<Time>{50, 55, 20});
    }
    SUBCASE("an order with an end that moves: the user is pushed") {
        // one person: takes b's last two minutes, at its end, after c; b lasts until its user d
        const ResourceId person = add_resource(project, {{0, 1}});
        const ActivityId b = add(project, 10);
        const ActivityId d = add(project, 5, 50);
        const ActivityId c = add(project, 10);
        project.activities[b].stretchable = true;
        project.activities[b].keep = kNever;
        project.activities[b].users = {d};
        after(project, b, d);
        Demand& last = needs(project, b, person);
        last.from = {Moment::Of::end, -2};
        needs(project, c, person);
        CHECK(floats(project, {0, 30, 15})[c] == 18);  // c ends by 43, b is taken out 43 to 45, d 45 to 50
    }
    SUBCASE("an end that either of two users can move: one of them is enough") {
        const ResourceId person = add_resource(project, {{0, 1}});
        const ActivityId b = add(project, 10);
        const ActivityId d = add(project, 5, 36);
        const ActivityId e = add(project, 5, 60);
        const ActivityId c = add(project, 10);
        project.activities[b].stretchable = true;
        project.activities[b].keep = kNever;
        project.activities[b].users = {d, e};
        after(project, b, d);
        after(project, b, e);
        needs(project, b, person).from = {Moment::Of::end, -2};
        needs(project, c, person);
        // b is taken out at 28 for d; c can slip until it is taken out at 55 for e, though d stays where it is
        CHECK(floats(project, {0, 30, 25, 15})[c] == 28);
    }
    SUBCASE("a held demand ends with its user") {
        const ResourceId bowl = add_resource(project, {{0, 1}});
        const ActivityId mix = add(project, 5);
        const ActivityId fill = add(project, 5);
        const ActivityId other = add(project, 5, 60);
        after(project, mix, fill);
        needs(project, mix, bowl).held_until = {fill};
        needs(project, other, bowl);
        CHECK(floats(project, {0, 20, 30}) == std::vector<Time>{50, 35, 25});
    }
    SUBCASE("capacity that is less for a while") {
        const ResourceId shelves = add_resource(project, {{0, 2}, {20, 1}, {40, 2}});
        const ActivityId a = add(project, 30, 40);
        const ActivityId b = add(project, 8, 100);
        needs(project, a, shelves);
        needs(project, b, shelves);
        // b slips to [12,20) beside a [4,34); a minute more and they meet where there is one shelf, unless a can go
        // on after it
        CHECK(floats(project, {4, 10}) == std::vector<Time>{6, 2});
        project.activities[a].due = 100;
        CHECK(floats(project, {4, 10}) == std::vector<Time>{66, 82});
    }
}

TEST_CASE("ovens: stays, changes, the door, and switching on") {
    Project project;
    project.horizon = 1000;
    const ResourceId oven = add_oven(project, 2);

    SUBCASE("loads that share the oven move together") {
        const ActivityId a = add(project, 10, 100);
        const ActivityId b = add(project, 10, 30);
        bakes(project, a, oven, kHot);
        bakes(project, b, oven, kHot);
        CHECK(floats(project, {10, 15}) == std::vector<Time>{5, 5});
    }
    SUBCASE("a change of setting takes its time") {
        const ActivityId a = add(project, 10, 100);
        const ActivityId b = add(project, 10, 40);
        bakes(project, a, oven, kHot);
        bakes(project, b, oven, kCool);
        CHECK(floats(project, {5, 20}) == std::vector<Time>{12, 10});
    }
    SUBCASE("the change from a setting two stays back may be the longer one") {
        project.settings.push_back({"warm", false});
        project.resources[oven].state.transition = {{0, 3, 30}, {4, 0, 1}, {1, 1, 0}};
        project.resources[oven].state.startup = {5, 2, 3};
        const ActivityId a = add(project, 5, 100);
        const ActivityId b = add(project, 5, 100);
        const ActivityId c = add(project, 5, 60);
        bakes(project, a, oven, kHot);
        bakes(project, b, oven, kCool);
        bakes(project, c, oven, 2);
        project.attended = {{0, 200}};
        CHECK(floats(project, {5, 15, 42}) == std::vector<Time>{15, 34, 13});
    }
    SUBCASE("the door stays shut longer than the next load would like") {
        const ActivityId a = add(project, 10, 100);
        const ActivityId b = add(project, 10, 50);
        bakes(project, a, oven, kHot);
        project.activities[a].demands[0].sealed = 15;
        bakes(project, b, oven, kHot);
        CHECK(floats(project, {5, 20}) == std::vector<Time>{20, 20});
    }
    SUBCASE("switching on needs somebody there") {
        // hot needs 5 minutes: switched on by 39, so a start at 44 is the last before people come back at 60
        const ActivityId a = add(project, 10, 100);
        bakes(project, a, oven, kHot);
        CHECK(floats(project, {8}) == std::vector<Time>{36});
        project.resources[oven].state.self_starting = true;
        CHECK(floats(project, {8}) == std::vector<Time>{82});
    }
    SUBCASE("left alone for too long it is cold: what is pushed waits until somebody can switch it on") {
        const ActivityId a = add(project, 20, 40);
        const ActivityId b = add(project, 10, 60);
        bakes(project, a, oven, kHot);
        bakes(project, b, oven, kHot);
        CHECK(floats(project, {10, 35}) == std::vector<Time>{10, 14});  // b at 49 still finds it hot
        project.activities[a].due = 41;
        CHECK(floats(project, {10, 35}) == std::vector<Time>{11, 15});  // at 50 too, if a ends at 41
        project.activities[a].due = 40;
        const ActivityId before = add(project, 5);
        after(project, before, b);
        project.activities[b].due = 80;
        // pushed beyond 49, b jumps to 65, after switching on at 60; it may start at 70 at the latest
        CHECK(floats(project, {10, 35, 0})[before] == 65);
    }
}

// ------------------------------------------------------------------------------------- against a plain search

namespace {

/// Numbers that are the same on every machine.
class Dice {
public:
    explicit Dice(std::uint32_t seed) : engine_(seed) {}
    Time upto(Time most) { return static_cast<Time>(engine_() % static_cast<std::uint32_t>(most + 1)); }
    bool one_in(Time n) { return upto(n - 1) == 0; }

private:
    std::mt19937 engine_;
};

constexpr Time kEnd = 200;
constexpr Time kReach = 9;  ///< no start can slip further, so that every slip can be tried

/// A few activities on an oven, a person and some shelves, with everything that a project can say.
Project random_project(Dice& dice) {
    Project project;
    project.horizon = kEnd;
    const ResourceId person = add_resource(project, {{0, 1}, {5 + dice.upto(8), 0}, {15 + dice.upto(3), 1}});
    const ResourceId shelves = add_resource(project, {{0, 2}, {8 + dice.upto(4), dice.upto(2)}, {16, 2}});
    const ResourceId oven = add_oven(project, 2);
    project.attended = {{0, 8 + dice.upto(4)}, {14 + dice.upto(3), 60}};
    project.reset_after = 2 + dice.upto(3);
    project.resources[oven].state.self_starting = dice.one_in(3);
    const int count = 3 + dice.upto(1);
    for (int k = 0; k < count; ++k) {
        const ActivityId id = add(project, 1 + dice.upto(4));
        if (dice.one_in(3)) {
            bakes(project, id, oven, dice.upto(1));
            if (dice.one_in(2)) project.activities[id].demands.back().sealed = 1 + dice.upto(5);
        }
        if (dice.one_in(2)) {
            Demand& hands = needs(project, id, person);
            if (dice.one_in(2)) hands.to = {Moment::Of::start, 1};
            if (dice.one_in(3)) needs(project, id, person).from = {Moment::Of::end, -1};
        }
        if (dice.one_in(2)) {
            Demand& shelf = needs(project, id, shelves, 1 + dice.upto(1));
            if (dice.one_in(3)) shelf.to = {Moment::Of::end, dice.upto(2)};
        }
    }
    for (ActivityId a = 0; a < count; ++a) {
        for (ActivityId b = a + 1; b < count; ++b) {
            if (!dice.one_in(3)) continue;
            if (!dice.one_in(4)) after(project, a, b, dice.upto(2));
            if (dice.one_in(3)) within(project, a, b, 2 + dice.upto(3));
            Activity& first = project.activities[a];
            if (dice.one_in(2)) {
                const bool baked = !first.demands.empty() && !first.demands.front().stages.empty();
                first.stretchable = !baked;
                first.keep = dice.one_in(3) ? kNever : dice.upto(6);
                first.users.push_back(b);
            } else if (!first.demands.empty() && first.demands.back().stages.empty()) {
                first.demands.back().held_until.push_back(b);
            }
        }
    }
    return project;
}

/// Starts drawn until the referee is content; dues close enough behind that every slip can be tried.
std::optional<Schedule> random_schedule(Project& project, Dice& dice) {
    for (int attempt = 0; attempt < 3000; ++attempt) {
        std::vector<Time> starts;
        for (std::size_t k = 0; k < project.activities.size(); ++k) starts.push_back(5 + dice.upto(16));
        const Schedule schedule = at(project, starts);
        if (!check(project, schedule).empty()) continue;
        for (std::size_t k = 0; k < starts.size(); ++k)
            project.activities[k].due = starts[k] + project.activities[k].duration + dice.upto(kReach);
        return check(project, schedule).empty() ? std::optional(schedule) : std::nullopt;
    }
    return std::nullopt;
}

/// Orders on resources as they were, and stays on state resources moved as one.
bool keeps_orders(const Project& project, const Schedule& old, const Schedule& now) {
    struct One {
        ActivityId id;
        int demand;
    };
    std::vector<One> all;
    for (ActivityId id = 0; id < static_cast<ActivityId>(project.activities.size()); ++id)
        for (int k = 0; k < static_cast<int>(project.activities[id].demands.size()); ++k) all.push_back({id, k});
    for (const One& a : all) {
        for (const One& b : all) {
            const ResourceId resource = old.chosen[a.id][a.demand];
            if ((a.id == b.id && a.demand == b.demand) || old.chosen[b.id][b.demand] != resource) continue;
            const Interval was_a = demand_interval(project, old, a.id, a.demand);
            const Interval was_b = demand_interval(project, old, b.id, b.demand);
            if (was_a.from >= was_a.to || was_b.from >= was_b.to) continue;
            if (was_a.to <= was_b.from &&
                demand_interval(project, now, a.id, a.demand).to > demand_interval(project, now, b.id, b.demand).from)
                return false;
            const bool met = was_a.from < was_b.to && was_b.from < was_a.to;
            if (project.resources[resource].has_state && met &&
                now.start[a.id] - old.start[a.id] != now.start[b.id] - old.start[b.id])
                return false;
        }
    }
    return true;
}

bool lags_hold(const Project& project, const std::vector<Time>& starts) {
    return std::all_of(project.lags.begin(), project.lags.end(),
                       [&](const Lag& lag) { return starts[lag.to] >= starts[lag.from] + lag.lag; });
}

/// Every way in which the others could start later.
bool some_way(const Project& project, const Schedule& old, ActivityId slipped, std::vector<Time>& starts,
              ActivityId next) {
    if (next == static_cast<ActivityId>(starts.size())) {
        if (!lags_hold(project, starts)) return false;
        const Schedule now = at(project, starts);
        return keeps_orders(project, old, now) && check(project, now).empty();
    }
    if (next == slipped) return some_way(project, old, slipped, starts, next + 1);
    const Activity& activity = project.activities[next];
    for (starts[next] = old.start[next]; starts[next] <= activity.due - activity.duration; ++starts[next])
        if (some_way(project, old, slipped, starts, next + 1)) return true;
    return false;
}

Time float_by_search(const Project& project, const Schedule& old, ActivityId slipped) {
    for (Time slip = 1;; ++slip) {
        std::vector<Time> starts = old.start;
        starts[slipped] += slip;
        if (starts[slipped] + project.activities[slipped].duration > project.activities[slipped].due ||
            !some_way(project, old, slipped, starts, 0))
            return slip - 1;
    }
}

}  // namespace

TEST_CASE("float is what a search through every slip finds") {
    int found = 0;
    Time sum = 0;
    for (std::uint32_t seed = 1; seed <= 400; ++seed) {
        Dice dice(seed);
        Project project = random_project(dice);
        const auto schedule = random_schedule(project, dice);
        if (!schedule) continue;
        ++found;
        const auto floats = total_float(project, *schedule);
        for (ActivityId id = 0; id < static_cast<ActivityId>(floats.size()); ++id) {
            CAPTURE(seed);
            CAPTURE(id);
            CHECK(floats[id] == float_by_search(project, *schedule, id));
            sum += floats[id];
        }
    }
    CHECK(found >= 200);      // enough projects have a schedule
    CHECK(sum >= 2 * found);  // and something in them can slip
}

namespace {

KeptOrders orders_of(const Project& project, const Schedule& schedule) {
    KeptOrders kept{std::vector<char>(project.activities.size(), 0), {}};
    for (ActivityId id = 0; id < static_cast<ActivityId>(project.activities.size()); ++id) {
        auto& busy = kept.busy.emplace_back();
        for (int k = 0; k < static_cast<int>(project.activities[id].demands.size()); ++k)
            busy.push_back(demand_interval(project, schedule, id, k));
    }
    return kept;
}

bool right(const Project& project, const Schedule& before, const std::vector<Time>& starts) {
    const Schedule now = at(project, starts);
    return keeps_orders(project, before, now) && check(project, now).empty();
}

}  // namespace

TEST_CASE("the least shift: nothing without news; as far as the float and not further") {
    int delayed = 0;
    for (std::uint32_t seed = 1; seed <= 200; ++seed) {
        CAPTURE(seed);
        Dice dice(seed);
        Project project = random_project(dice);
        const auto schedule = random_schedule(project, dice);
        if (!schedule) continue;
        const KeptOrders kept = orders_of(project, *schedule);
        CHECK(least_shift(project, *schedule, kept, schedule->start) == schedule->start);
        const auto floats = total_float(project, *schedule);
        for (ActivityId id = 0; id < static_cast<ActivityId>(floats.size()); ++id) {
            CAPTURE(id);
            for (Time slip = 1; slip <= floats[id] + 1 && slip < 20; ++slip) {
                CAPTURE(slip);
                std::vector<Time> from = schedule->start;
                from[id] += slip;
                const auto least = least_shift(project, *schedule, kept, from);
                if (slip > floats[id]) {
                    if (least && (*least)[id] == from[id]) CHECK_FALSE(right(project, *schedule, *least));
                    continue;
                }
                REQUIRE(least);
                CHECK((*least)[id] == from[id]);
                CHECK(right(project, *schedule, *least));
                ++delayed;
            }
        }
    }
    CHECK(delayed > 200);
}
