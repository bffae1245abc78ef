/// Every rule of project.hpp, broken alone in a project that keeps them all.

#include <doctest/doctest.h>

#include <functional>
#include <string>
#include <vector>

#include "oventide/project.hpp"
#include "support/random_project.hpp"

namespace oventide::test {
namespace {

Project sound_project() {
    Project project;
    project.horizon = 100;
    project.attended = {{0, 10}, {20, 90}};
    project.settings = {{"180 C", false}, {"off", true}};
    project.resources.resize(2);
    project.resources[0].name = "rack";
    project.resources[0].capacity = {{0, 3}, {50, 0}, {60, 3}};
    project.resources[1].name = "oven";
    project.resources[1].capacity = {{0, 2}};
    project.resources[1].has_state = true;
    project.resources[1].state.transition = {{0, 5}, {7, 0}};
    project.resources[1].state.startup = {16, 16};
    project.activities.resize(3);
    project.activities[0].name = "bake";
    project.activities[0].duration = 30;
    Demand oven;
    oven.choices = {1};
    oven.stages = {{0, 20}, {1, 10}};
    oven.sealed = 15;
    project.activities[0].demands = {oven};
    project.activities[1].name = "cool";
    project.activities[1].duration = 10;
    project.activities[1].stretchable = true;
    project.activities[1].keep = 60;
    project.activities[1].users = {2};
    Demand rack;
    rack.choices = {0};
    rack.held_until = {2};
    project.activities[1].demands = {rack};
    project.activities[2].name = "fill";
    project.activities[2].duration = 5;
    project.activities[2].due = 90;
    project.lags = {{0, 1, 30, kNoPromise}, {1, 2, 10, 0}};
    project.goals = {Goal::overrun, Goal::alarm, Goal::waiting};
    project.freshness = {{{1}, {2}, 95, 30}};
    project.links = {{0, 1, 0, 12}, {2, -1, 95, 12}};
    return project;
}

TEST_CASE("a sound project is not malformed, nor is any random one") {
    CHECK(malformed(sound_project()) == "");
    CHECK(malformed(Project{}) == "");
    for (std::uint64_t seed = 1; seed <= 200; ++seed) {
        CAPTURE(seed);
        support::RandomProjectOptions options;
        options.loose_states = seed % 2 == 0;
        CHECK(malformed(support::random_project(seed, options)) == "");
    }
}

TEST_CASE("each rule, broken alone, is named") {
    struct Row {
        std::string problem;
        std::function<void(Project&)> damage;
    };
    const std::vector<Row> rows = {
        {"horizon: negative or later than never", [](Project& p) { p.horizon = -1; }},
        {"reset_after: less than a minute", [](Project& p) { p.reset_after = 0; }},
        {"attended 0: empty", [](Project& p) { p.attended[0].to = 0; }},
        {"attended 1: touches the interval before it", [](Project& p) { p.attended[0].to = 20; }},
        {"setting 1: no name", [](Project& p) { p.settings[1].name.clear(); }},
        {"resource 0: no capacity", [](Project& p) { p.resources[0].capacity.clear(); }},
        {"resource 0: the calendar does not begin at 0", [](Project& p) { p.resources[0].capacity[0].from = 1; }},
        {"resource 0: negative capacity", [](Project& p) { p.resources[0].capacity[1].capacity = -1; }},
        {"resource 0: unsorted calendar", [](Project& p) { p.resources[0].capacity[2].from = 50; }},
        {"resource 1: transitions not of the size of the settings",
         [](Project& p) { p.resources[1].state.transition.pop_back(); }},
        {"resource 1: start-ups not of the size of the settings",
         [](Project& p) { p.resources[1].state.startup.pop_back(); }},
        {"resource 1: negative start-up", [](Project& p) { p.resources[1].state.startup[0] = -1; }},
        {"resource 1: transitions not square", [](Project& p) { p.resources[1].state.transition[0].pop_back(); }},
        {"resource 1: negative transition", [](Project& p) { p.resources[1].state.transition[0][1] = -1; }},
        {"resource 1: a transition from a setting to itself takes time",
         [](Project& p) { p.resources[1].state.transition[0][0] = 1; }},
        {"activity 1: no name", [](Project& p) { p.activities[1].name.clear(); }},
        {"activity 1: its name is taken", [](Project& p) { p.activities[1].name = "bake"; }},
        {"activity 2: negative duration", [](Project& p) { p.activities[2].duration = -1; }},
        {"activity 2: negative release", [](Project& p) { p.activities[2].release = -1; }},
        {"activity 2: due later than never", [](Project& p) { p.activities[2].due = kNever + 1; }},
        {"activity 2: a negative promise", [](Project& p) { p.activities[2].due_promise = -2; }},
        {"activity 2: fixed, yet held", [](Project& p) { p.activities[2].held_until = 95; }},
        {"activity 2: fixed, yet held", [](Project& p) { p.activities[2].users = {0}; }},
        {"activity 1: negative keep", [](Project& p) { p.activities[1].keep = -1; }},
        {"activity 1: held until before the origin", [](Project& p) { p.activities[1].held_until = -2; }},
        {"activity 1: a user that is not there", [](Project& p) { p.activities[1].users = {3}; }},
        {"activity 1: a user twice",
         [](Project& p) {
             p.activities[1].users = {2, 2};
         }},
        {"activity 1: its own user", [](Project& p) { p.activities[1].users = {1}; }},
        {"activity 0: a demand without choices", [](Project& p) { p.activities[0].demands[0].choices.clear(); }},
        {"activity 1: a demand with a choice twice",
         [](Project& p) {
             p.activities[1].demands[0].choices = {0, 0};
         }},
        {"activity 1: a demand for nothing", [](Project& p) { p.activities[1].demands[0].amount = 0; }},
        {"activity 1: a resource that is not there", [](Project& p) { p.activities[1].demands[0].choices = {2}; }},
        {"activity 1: held until an activity that is not there",
         [](Project& p) { p.activities[1].demands[0].held_until = {-1}; }},
        {"activity 1: stages belong to resources with a state, and to all of them",
         [](Project& p) { p.activities[1].demands[0].choices = {1}; }},
        {"activity 0: stages belong to resources with a state, and to all of them",
         [](Project& p) {
             p.activities[0].demands[0].choices = {1, 0};
         }},
        {"activity 0: negative seal", [](Project& p) { p.activities[0].demands[0].sealed = -1; }},
        {"activity 1: a seal on a resource without a state", [](Project& p) { p.activities[1].demands[0].sealed = 1; }},
        {"activity 0: a setting that is not there",
         [](Project& p) { p.activities[0].demands[0].stages[0].setting = 2; }},
        {"activity 0: a negative stage", [](Project& p) { p.activities[0].demands[0].stages[0].lasts = -1; }},
        {"lag 0: an activity that is not there", [](Project& p) { p.lags[0].to = 3; }},
        {"lag 1: from an activity to itself", [](Project& p) { p.lags[1].to = 1; }},
        {"lag 1: longer than ever", [](Project& p) { p.lags[1].lag = kNever + 1; }},
        {"lag 1: a negative promise", [](Project& p) { p.lags[1].promise = -2; }},
        {"goals: a goal twice",
         [](Project& p) {
             p.goals = {Goal::alarm, Goal::alarm};
         }},
        {"freshness 0: nobody makes it", [](Project& p) { p.freshness[0].makers.clear(); }},
        {"freshness 0: an activity that is not there", [](Project& p) { p.freshness[0].users = {7}; }},
        {"freshness 0: best within a negative time", [](Project& p) { p.freshness[0].best_within = -1; }},
        {"link 0: a maker that is not there", [](Project& p) { p.links[0].maker = -1; }},
        {"link 0: a user that is not there", [](Project& p) { p.links[0].user = 3; }},
        {"link 1: a negative weight", [](Project& p) { p.links[1].weight = -1; }},
    };
    for (const Row& row : rows) {
        CAPTURE(row.problem);
        Project project = sound_project();
        row.damage(project);
        CHECK(malformed(project) == row.problem);
    }
}

}  // namespace
}  // namespace oventide::test
