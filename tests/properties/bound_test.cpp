/// What no schedule can better: never better than the best that trying everything finds, and as good where work alone
/// says it.

#include "schedule/bound.hpp"

#include <doctest/doctest.h>

#include <cstdint>
#include <string>

#include "oventide/project.hpp"
#include "support/exhaustive.hpp"
#include "support/random_project.hpp"

using namespace oventide;
using namespace oventide::scheduling;

namespace {

Project hands(std::vector<std::vector<CapacityStep>> calendars) {
    Project project;
    project.horizon = 100;
    project.goals = {Goal::alarm};
    for (auto& calendar : calendars) {
        Resource person;
        person.name = "person " + std::to_string(project.resources.size());
        person.capacity = std::move(calendar);
        person.wakes = true;
        project.resources.push_back(std::move(person));
    }
    return project;
}

/// Work for anybody.
void add_work(Project& project, Time duration, Time due) {
    Activity activity;
    activity.name = "work " + std::to_string(project.activities.size());
    activity.duration = duration;
    activity.due = due;
    Demand demand;
    for (ResourceId id = 0; id < static_cast<ResourceId>(project.resources.size()); ++id) demand.choices.push_back(id);
    activity.demands = {demand};
    project.activities.push_back(std::move(activity));
}

Time latest_alarm(const Project& project) { return static_cast<Time>(-lower_bound(make_model(project))[0]); }

}  // namespace

TEST_CASE("the alarm leaves time for all that has to be done by each deadline") {
    Project alone = hands({{{0, 1}}});
    add_work(alone, 10, 60);
    CHECK(latest_alarm(alone) == 50);
    add_work(alone, 10, 60);
    CHECK(latest_alarm(alone) == 40);
    add_work(alone, 25, 90);  // fits behind the others
    CHECK(latest_alarm(alone) == 40);
    add_work(alone, 10, 90);  // 55 minutes by 90
    CHECK(latest_alarm(alone) == 35);

    Project two = hands({{{0, 1}}, {{0, 0}, {50, 1}}});  // the second one comes at 50
    for (int k = 0; k < 3; ++k) add_work(two, 10, 60);
    CHECK(latest_alarm(two) == 40);

    Project breaks = hands({{{0, 1}, {30, 0}, {55, 1}}});  // nobody from 30 to 55
    add_work(breaks, 5, 60);
    CHECK(latest_alarm(breaks) == 55);
    add_work(breaks, 5, 60);
    CHECK(latest_alarm(breaks) == 25);
}

TEST_CASE("where nobody is woken, the same holds for what is needed first") {
    Project project;
    project.horizon = 100;
    project.goals = {Goal::alarm};
    Resource oven;
    oven.name = "oven";
    oven.capacity = {{0, 2}};
    project.resources = {oven};
    for (int k = 0; k < 5; ++k) {
        Activity bake;
        bake.name = "bake " + std::to_string(k);
        bake.duration = 10;
        bake.due = 50;
        Demand demand;
        demand.choices = {0};
        demand.from.offset = 2;  // put in two minutes after it begins
        bake.demands = {demand};
        project.activities.push_back(bake);
    }
    CHECK(latest_alarm(project) == 28);  // 40 minutes on two shelves by 50, and two before
}

TEST_CASE("random projects: no schedule betters the bound on the alarm") {
    int possible = 0;
    int met = 0;
    for (std::uint64_t seed = 1; seed <= 800; ++seed) {
        CAPTURE(seed);
        Project project = support::random_project(seed, {5, 14, 3'000, seed % 2 == 0, seed % 3 == 0, true});
        project.goals = {Goal::alarm};
        project.freshness.clear();
        const support::Exhaustive truth = support::try_everything(project);
        if (!truth.schedule) continue;
        ++possible;
        const std::int64_t bound = lower_bound(make_model(project))[0];
        CHECK(bound <= truth.value[0]);
        met += bound == truth.value[0];
    }
    CHECK(possible > 200);
    CHECK(met > possible / 4);
}
