#include <doctest/doctest.h>

#include <algorithm>
#include <numeric>
#include <set>
#include <string>

#include "oventide/check.hpp"
#include "oventide/scheduler.hpp"
#include "schedule/plain.hpp"
#include "schedule/priority.hpp"
#include "schedule/serial_pass.hpp"
#include "support/exhaustive.hpp"
#include "support/instances.hpp"
#include "support/random_bake.hpp"
#include "support/random_project.hpp"

using namespace oventide;
using namespace oventide::scheduling;

namespace {

Activity activity(std::string name, Time duration, std::vector<Demand> demands = {}) {
    Activity result;
    result.name = std::move(name);
    result.duration = duration;
    result.demands = std::move(demands);
    return result;
}

Demand use(ResourceId resource, std::int32_t amount = 1) {
    Demand demand;
    demand.choices = {resource};
    demand.amount = amount;
    return demand;
}

Resource resource(std::vector<CapacityStep> capacity, bool wakes = false) {
    Resource result;
    result.capacity = std::move(capacity);
    result.wakes = wakes;
    return result;
}

/// Solved, and right in every respect.
Outcome solved(const Project& project, SearchOptions options = {}) {
    const Outcome outcome = solve(project, options);
    REQUIRE(outcome.schedule);
    for (const Violation& violation : check(project, *outcome.schedule)) FAIL_CHECK(violation.what);
    CHECK(outcome.value == evaluate(project, *outcome.schedule));
    for (std::size_t goal = 0; goal < project.goals.size(); ++goal)
        if (outcome.value[goal] != outcome.bound[goal]) {
            CHECK(outcome.value[goal] > outcome.bound[goal]);
            break;
        }
    return outcome;
}

/// What lists and repair find by themselves.
SearchOptions lists_alone(std::int64_t schedules = 200) {
    SearchOptions options;
    options.schedules = schedules;
    options.nodes = 0;
    return options;
}

/// start' = horizon - start - duration: a pass that runs backward over it runs forward over the project.
Project mirrored(const Project& project) {
    Project mirror = project;
    for (Lag& lag : mirror.lags) {
        lag.lag += project.activities[lag.to].duration - project.activities[lag.from].duration;
        std::swap(lag.from, lag.to);
    }
    return mirror;
}

/// Activities 1 to 6 of Kolisch and Hartmann, in: Weglarz (ed.), Project Scheduling (1999), example 1; data as
/// recalled in check-values 3.4, its optimum of 13 as read.
Project kolisch_hartmann() {
    Project project;
    project.resources = {resource({{0, 4}})};
    const Time durations[] = {3, 4, 2, 2, 1, 4};
    const std::int32_t demands[] = {2, 3, 4, 4, 3, 2};
    for (std::size_t k = 0; k < 6; ++k)
        project.activities.push_back(activity(std::to_string(k + 1), durations[k], {use(0, demands[k])}));
    for (const auto& [from, to] : {std::pair{0, 2}, {2, 4}, {1, 3}, {3, 5}})
        project.lags.push_back({from, to, durations[from], kNoPromise});
    project.horizon = 16;
    project.goals = {Goal::alarm};
    return project;
}

}  // namespace

TEST_CASE("Serial generation, step by step: the worked example of Kolisch and Hartmann (1999)") {
    const Project project = kolisch_hartmann();
    const Project mirror = mirrored(project);
    const Model model = make_model(mirror);
    struct Row {
        List list;
        std::vector<Time> starts;  ///< by activity
        Time makespan;
    };
    const Row rows[] = {
        {{1, 3, 5, 0, 2, 4}, {6, 0, 10, 4, 12, 6}, 13},
        {{0, 2, 1, 4, 3, 5}, {0, 5, 3, 10, 9, 12}, 16},
        {{0, 1, 2, 3, 4, 5}, {0, 3, 7, 9, 11, 12}, 16},
    };
    for (const Row& row : rows) {
        SerialPass pass(model);
        List list = row.list;
        REQUIRE(pass.run(list, 0));
        CHECK(list == row.list);
        const Schedule schedule = pass.schedule();
        CHECK(check(mirror, schedule).empty());
        for (std::size_t id = 0; id < 6; ++id)
            CHECK(project.horizon - schedule.start[id] - project.activities[id].duration == row.starts[id]);
        // The pass for plain projects, forward over the project itself.
        const Model straight = make_model(project);
        const auto plain = make_plain(straight);
        REQUIRE(plain);
        PlainPass plain_pass(*plain);
        CHECK(plain_pass.run(Direction::forward, row.list.data()) == row.makespan);
        CHECK(plain_pass.starts() == row.starts);
    }
    const Outcome best = solved(project);
    CHECK(support::makespan(project, *best.schedule) == 13);
    CHECK(best.optimal);
}

TEST_CASE("Both passes say the same of every list: all twenty of the worked example") {
    const Project project = kolisch_hartmann();
    const Model model = make_model(project);
    const auto plain = make_plain(model);
    REQUIRE(plain);
    PlainPass plain_pass(*plain);
    SerialPass pass(model);
    List list{0, 1, 2, 3, 4, 5};
    std::multiset<Time> makespans;
    do {
        const auto position = [&](UnitId unit) { return std::find(list.begin(), list.end(), unit); };
        if (position(4) > position(2) || position(2) > position(0)) continue;
        if (position(5) > position(3) || position(3) > position(1)) continue;
        const Time makespan = plain_pass.run(Direction::backward, list.data());
        List copy = list;
        REQUIRE(pass.run(copy, 0));
        CHECK(pass.schedule().start == project_starts(*plain, Direction::backward, plain_pass.starts(), makespan));
        makespans.insert(makespan);
    } while (std::next_permutation(list.begin(), list.end()));
    CHECK(makespans.size() == 20);
    CHECK(*makespans.begin() == 13);
    CHECK(*makespans.rbegin() == 16);
}

TEST_CASE("PSPLIB j301_1: critical path 38, shortest makespan 43 (read, check-values 3.4)") {
    struct Row {
        Time duration;
        std::array<std::int32_t, 4> demand;
        std::vector<ActivityId> successors;  ///< counted from 1
    };
    const std::vector<Row> rows = {
        {0, {0, 0, 0, 0}, {2, 3, 4}},  {8, {4, 0, 0, 0}, {6, 11, 15}},  {4, {10, 0, 0, 0}, {7, 8, 13}},
        {6, {0, 0, 0, 3}, {5, 9, 10}}, {3, {3, 0, 0, 0}, {20}},         {8, {0, 0, 0, 8}, {30}},
        {5, {4, 0, 0, 0}, {27}},       {9, {0, 1, 0, 0}, {12, 19, 27}}, {2, {6, 0, 0, 0}, {14}},
        {7, {0, 0, 0, 1}, {16, 25}},   {9, {0, 5, 0, 0}, {20, 26}},     {2, {0, 7, 0, 0}, {14}},
        {6, {4, 0, 0, 0}, {17, 18}},   {3, {0, 8, 0, 0}, {17}},         {9, {3, 0, 0, 0}, {25}},
        {10, {0, 0, 0, 5}, {21, 22}},  {6, {0, 0, 0, 8}, {22}},         {5, {0, 0, 0, 7}, {20, 22}},
        {3, {0, 1, 0, 0}, {24, 29}},   {7, {0, 10, 0, 0}, {23, 25}},    {2, {0, 0, 0, 6}, {28}},
        {7, {2, 0, 0, 0}, {23}},       {2, {3, 0, 0, 0}, {24}},         {3, {0, 9, 0, 0}, {30}},
        {3, {4, 0, 0, 0}, {30}},       {7, {0, 0, 4, 0}, {31}},         {8, {0, 0, 0, 7}, {28}},
        {3, {0, 8, 0, 0}, {31}},       {7, {0, 7, 0, 0}, {32}},         {2, {0, 7, 0, 0}, {32}},
        {2, {0, 0, 2, 0}, {32}},       {0, {0, 0, 0, 0}, {}},
    };
    Project project;
    for (const std::int32_t capacity : {12, 13, 4, 12}) project.resources.push_back(resource({{0, capacity}}));
    for (const Row& row : rows) {
        Activity job = activity(std::to_string(project.activities.size() + 1), row.duration);
        for (ResourceId r = 0; r < 4; ++r)
            if (row.demand[static_cast<std::size_t>(r)] > 0)
                job.demands.push_back(use(r, row.demand[static_cast<std::size_t>(r)]));
        for (const ActivityId successor : row.successors)
            project.lags.push_back(
                {static_cast<ActivityId>(project.activities.size()), successor - 1, row.duration, kNoPromise});
        project.horizon += row.duration;
        project.activities.push_back(job);
    }
    project.goals = {Goal::alarm};
    CHECK(support::critical_path(project) == 38);
    const Outcome best = solved(project);
    CHECK(support::makespan(project, *best.schedule) == 43);
    CHECK(best.optimal);
    // Ten times and sixty times as long is the same project.
    for (const Time factor : {10, 60}) {
        const Project longer = support::scaled(project, factor);
        CHECK(support::makespan(longer, *solved(longer).schedule) == 43 * factor);
    }
    // Lists alone come near: between the critical path and what a single list gives (serial LFT 49, computed).
    CHECK(support::makespan(project, *solved(project, lists_alone(500)).schedule) <= 49);
}

TEST_CASE("sm_j10 PSP1: maximum lags and five resources, shortest makespan 26 (read, check-values 3.3)") {
    Project project;
    for (int r = 0; r < 5; ++r) project.resources.push_back(resource({{0, 5}}));
    const Time durations[] = {0, 3, 10, 3, 3, 3, 5, 10, 2, 6, 1, 0};
    const std::int32_t demands[12][5] = {{},
                                         {4, 1, 0, 0, 0},
                                         {1, 0, 3, 0, 0},
                                         {4, 0, 2, 2, 3},
                                         {0, 0, 0, 3, 0},
                                         {0, 1, 2, 4, 0},
                                         {2, 3, 4, 0, 0},
                                         {0, 4, 4, 0, 4},
                                         {2, 0, 0, 4, 4},
                                         {5, 0, 0, 1, 1},
                                         {0, 1, 0, 0, 0},
                                         {}};
    for (std::size_t id = 0; id < 12; ++id) {
        project.activities.push_back(activity(std::to_string(id), durations[id]));
        for (ResourceId r = 0; r < 5; ++r)
            if (demands[id][r] > 0) project.activities.back().demands.push_back(use(r, demands[id][r]));
    }
    project.lags = {{0, 1, 0, 0},   {0, 2, 0, 0},  {0, 3, 0, 0},  {0, 4, 0, 0},  {1, 9, 9, 0},   {1, 7, 1, 0},
                    {1, 8, 8, 0},   {1, 10, 2, 0}, {2, 8, 24, 0}, {3, 10, 4, 0}, {3, 7, 8, 0},   {4, 10, 0, 0},
                    {4, 9, 0, 0},   {4, 5, 7, 0},  {5, 6, 0, 0},  {6, 11, 5, 0}, {7, 11, 10, 0}, {8, 1, -22, 0},
                    {8, 2, -34, 0}, {8, 11, 2, 0}, {9, 11, 6, 0}, {10, 11, 1, 0}};
    project.horizon = 80;
    project.goals = {Goal::alarm};
    const Outcome best = solved(project);
    CHECK(support::makespan(project, *best.schedule) == 26);
    CHECK(best.optimal);
    CHECK(support::makespan(project, *solved(project, lists_alone()).schedule) >= 26);
}

TEST_CASE("A job shop of six jobs and six machines: 55 (Fisher and Thompson 1963; data and optimum from memory)") {
    const int shop[6][6][2] = {
        {{2, 1}, {0, 3}, {1, 6}, {3, 7}, {5, 3}, {4, 6}}, {{1, 8}, {2, 5}, {4, 10}, {5, 10}, {0, 10}, {3, 4}},
        {{2, 5}, {3, 4}, {5, 8}, {0, 9}, {1, 1}, {4, 7}}, {{1, 5}, {0, 5}, {2, 5}, {3, 3}, {4, 8}, {5, 9}},
        {{2, 9}, {1, 3}, {4, 5}, {5, 4}, {0, 3}, {3, 1}}, {{1, 3}, {3, 3}, {5, 9}, {0, 10}, {4, 4}, {2, 1}}};
    Project project;
    for (int machine = 0; machine < 6; ++machine) project.resources.push_back(resource({{0, 1}}));
    for (const auto& job : shop)
        for (int k = 0; k < 6; ++k) {
            const auto id = static_cast<ActivityId>(project.activities.size());
            project.activities.push_back(activity("operation", job[k][1], {use(job[k][0])}));
            if (k > 0) project.lags.push_back({id - 1, id, job[k - 1][1], kNoPromise});
        }
    project.horizon = 200;
    project.goals = {Goal::alarm};
    const Outcome best = solved(project);
    CHECK(support::makespan(project, *best.schedule) == 55);
    CHECK(best.optimal);
}

//  custard |--cook--|                chill ready at 60, used from 100 and 150: fridge held 40 to 150
//  fridge           |======chill======================|
TEST_CASE("What keeps stays in the fridge until its last user has started") {
    Project project;
    project.resources = {resource({{0, 1}})};
    project.activities = {activity("chill", 20, {use(0)}), activity("fill", 10), activity("glaze", 10),
                          activity("other", 30, {use(0)})};
    project.activities[0].stretchable = true;
    project.activities[0].keep = kNever;
    project.activities[0].users = {1, 2};
    project.activities[1].due = 110;
    project.activities[2].due = 160;
    project.activities[3].due = 160;
    project.lags = {{0, 1, 20, 0}, {0, 2, 20, 0}};
    project.horizon = 200;
    project.goals = {Goal::waiting};
    project.links = {{0, 2, 0, 1}, {1, -1, 110, 1}, {2, -1, 160, 1}, {3, -1, 160, 1}};
    const Outcome best = solved(project, lists_alone());
    CHECK(best.schedule->end[0] == best.schedule->start[2]);
    const Outcome proven = solved(project);
    CHECK(proven.optimal);
    // The other one needs the shelf for 30 by 160: the glaze starts at 130 (20 early), the chill is ready 30 before.
    CHECK(proven.value[0] == 50);
}

//  hours      |=========|      |=====|
//            60        100    200   230
TEST_CASE("Hands only within hours; a step between them needs none") {
    Project project;
    project.resources = {resource({{0, 0}, {60, 1}, {100, 0}, {200, 1}, {230, 0}}, true)};
    Demand load = use(0);
    load.to = {Moment::Of::start, 5};
    Demand unload = use(0);
    unload.from = {Moment::Of::end, -5};
    project.activities = {activity("mix", 20, {use(0)}), activity("prove", 110, {load, unload})};
    project.activities[1].due = 225;
    project.lags = {{0, 1, 20, 0}};
    project.horizon = 300;
    project.goals = {Goal::alarm};
    const Outcome best = solved(project, lists_alone());
    CHECK(best.schedule->start == std::vector<Time>{75, 95});
    CHECK(best.value[0] == -75);
}

TEST_CASE("At once is one block, placed as one") {
    Project project;
    project.resources = {resource({{0, 1}}), resource({{0, 1}, {50, 0}, {70, 1}})};
    project.activities = {activity("warm", 10, {use(0)}), activity("pour", 10, {use(1)}),
                          activity("stir", 35, {use(0)})};
    project.activities[1].due = 75;
    project.activities[2].due = 45;
    project.lags = {{0, 1, 10, 0}, {1, 0, -10, 0}};
    project.horizon = 100;
    project.goals = {Goal::alarm};
    const Outcome best = solved(project, lists_alone());
    // Pouring at 40 at the latest (closed 50 to 70), so warming at 30, so stirring before that has no room: it ends
    // by 30 only when it starts before 0; the block goes first instead.
    CHECK(best.schedule->start[1] - best.schedule->start[0] == 10);
    CHECK(best.schedule->start == std::vector<Time>{0, 10, 10});
}

TEST_CASE("One of several: each demand finds somebody, and not the same one twice at once") {
    Project project;
    project.resources = {resource({{0, 1}}, true), resource({{0, 1}}, true)};
    Demand anybody = use(0);
    anybody.choices = {0, 1};
    project.activities = {activity("lift", 10, {anybody, anybody}), activity("knead", 10, {anybody})};
    project.activities[0].due = project.activities[1].due = 100;
    project.horizon = 100;
    project.goals = {Goal::alarm};
    const Outcome best = solved(project, lists_alone());
    CHECK(best.schedule->chosen[0][0] != best.schedule->chosen[0][1]);
    CHECK(best.value[0] == -80);
}

TEST_CASE("No timetable: what could not be placed, and what was in the way") {
    Project project;
    project.resources = {resource({{0, 1}})};
    project.activities = {activity("a", 30, {use(0)}), activity("b", 30, {use(0)})};
    project.horizon = 59;
    project.goals = {Goal::alarm};
    const Outcome lists = solve(project, lists_alone(10));
    CHECK_FALSE(lists.schedule);
    REQUIRE_FALSE(lists.obstacles.empty());
    CHECK(lists.obstacles.front().cause == Obstacle::Cause::resource);
    CHECK(lists.obstacles.front().resource == 0);
    CHECK(lists.obstacles.front().holders.size() == 1);
    CHECK(solve(project).infeasible);

    project.activities[1].due = 20;
    const Outcome windows = solve(project);
    CHECK(windows.infeasible);
    CHECK(windows.contradiction == std::vector<Lag>{{1, 1, 0, kNoPromise}});
}

TEST_CASE("The same seed gives the same schedule; the referee accepts what every stage makes") {
    support::RandomShape shape;
    shape.activities = 12;
    shape.chains = 3;
    for (std::uint64_t seed = 1; seed <= 25; ++seed) {
        CAPTURE(seed);
        const Project project = support::random_bake(shape, seed);
        SearchOptions options;
        options.schedules = 40;
        const Outcome first = solve(project, options);
        const Outcome again = solve(project, options);
        CHECK(first.schedule == again.schedule);
        CHECK(first.bound == again.bound);
        if (!first.schedule) continue;
        for (const Violation& violation : check(project, *first.schedule)) FAIL_CHECK(violation.what);
        const Outcome lists = solve(project, lists_alone(40));
        CHECK_FALSE(lists.infeasible);
        if (!lists.schedule) continue;
        for (const Violation& violation : check(project, *lists.schedule)) FAIL_CHECK(violation.what);
        CHECK(lists.value >= first.bound);
    }
}

TEST_CASE("Lists and repair against trying everything: never better than the best, none where there is none") {
    int tried = 0;
    int found = 0;
    for (std::uint64_t seed = 1; seed <= 60; ++seed) {
        CAPTURE(seed);
        support::RandomProjectOptions small;
        small.activities = 4;
        small.starts = 3'000;
        const Project project = support::random_project(seed, small);
        const support::Exhaustive truth = support::try_everything(project);
        const Outcome lists = solve(project, lists_alone(60));
        if (lists.infeasible) CHECK_FALSE(truth.schedule);
        tried += truth.schedule ? 1 : 0;
        if (!lists.schedule) continue;
        ++found;
        for (const Violation& violation : check(project, *lists.schedule)) FAIL_CHECK(violation.what);
        REQUIRE(truth.schedule);
        CHECK(lists.value >= truth.value);
        CHECK(lists.bound <= truth.value);
    }
    CHECK(tried > 10);
    CHECK(found * 10 >= tried * 7);  // what they miss, the exact search finds
}
