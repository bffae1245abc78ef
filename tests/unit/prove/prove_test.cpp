/// The exact search on projects small enough to be understood.

#include "prove/prove.hpp"

#include <doctest/doctest.h>

#include <atomic>

#include "oventide/check.hpp"

using namespace oventide;

namespace {

ActivityId add(Project& project, Time duration, std::vector<ResourceId> resources = {}) {
    Activity activity;
    activity.name = "a" + std::to_string(project.activities.size());
    activity.duration = duration;
    for (const ResourceId resource : resources) {
        Demand demand;
        demand.choices = {resource};
        activity.demands.push_back(std::move(demand));
    }
    project.activities.push_back(std::move(activity));
    return static_cast<ActivityId>(project.activities.size()) - 1;
}

ResourceId add_machine(Project& project, std::int32_t capacity = 1) {
    Resource resource;
    resource.name = "m" + std::to_string(project.resources.size());
    resource.capacity = {{0, capacity}};
    project.resources.push_back(std::move(resource));
    return static_cast<ResourceId>(project.resources.size()) - 1;
}

Time makespan(const Project& project, const prove::Proof& proof) {
    return project.horizon - static_cast<Time>(-proof.value[0]);
}

/// Jobs as rows of (machine, time), each in its order.
Project job_shop(const std::vector<std::vector<std::pair<int, Time>>>& jobs, int machines) {
    Project project;
    project.goals = {Goal::alarm};
    for (int i = 0; i < machines; ++i) add_machine(project);
    for (const auto& job : jobs) {
        ActivityId before = -1;
        for (const auto& [machine, time] : job) {
            const ActivityId id = add(project, time, {machine});
            project.horizon += time;
            if (before >= 0) project.lags.push_back({before, id, project.activities[before].duration, kNoPromise});
            before = id;
        }
    }
    return project;
}

}  // namespace

TEST_CASE("a published job shop is solved to its optimum, whatever the unit of time") {
    // The 6 x 6 shop FT06, optimum 55: Fisher and Thompson, Probabilistic learning combinations of local job-shop
    // scheduling rules, in Muth and Thompson (eds.), Industrial Scheduling (1963) 225-251. Data from memory.
    const std::vector<std::vector<std::pair<int, Time>>> ft06{
        {{2, 1}, {0, 3}, {1, 6}, {3, 7}, {5, 3}, {4, 6}}, {{1, 8}, {2, 5}, {4, 10}, {5, 10}, {0, 10}, {3, 4}},
        {{2, 5}, {3, 4}, {5, 8}, {0, 9}, {1, 1}, {4, 7}}, {{1, 5}, {0, 5}, {2, 5}, {3, 3}, {4, 8}, {5, 9}},
        {{2, 9}, {1, 3}, {4, 5}, {5, 4}, {0, 3}, {3, 1}}, {{1, 3}, {3, 3}, {5, 9}, {0, 10}, {4, 4}, {2, 1}}};
    for (const Time unit : {1, 10, 60}) {
        CAPTURE(unit);
        auto jobs = ft06;
        for (auto& job : jobs)
            for (auto& [machine, time] : job) time *= unit;
        const Project project = job_shop(jobs, 6);
        const prove::Proof proof = prove::prove(project);
        REQUIRE(proof.verdict == prove::Verdict::optimal);
        CHECK(makespan(project, proof) == 55 * unit);
        CHECK(check(project, *proof.schedule).empty());
    }
}

TEST_CASE("lags that contradict each other are named, and only they") {
    // a0 -> a1 at least 10, a1 -> a2 at least 10, a0 -> a2 at most 15; a3 has nothing to do with it.
    Project project;
    project.horizon = 1'000;
    for (int i = 0; i < 4; ++i) add(project, 5);
    project.lags = {{0, 1, 10, kNoPromise}, {2, 3, 5, kNoPromise}, {1, 2, 10, kNoPromise}, {2, 0, -15, kNoPromise}};
    const prove::Proof proof = prove::prove(project);
    REQUIRE(proof.verdict == prove::Verdict::infeasible);
    REQUIRE(proof.contradiction);
    CHECK(proof.nodes == 0);
    CHECK(std::vector<std::int32_t>{0, 2, 3} == [&] {
        auto lags = proof.contradiction->lags;
        std::erase(lags, 1);  // a3 ends by the horizon too, which may be what stops the circle
        return lags;
    }());
}

TEST_CASE("what does not fit on a resource is named with it") {
    Project project;
    project.horizon = 10;
    const ResourceId machine = add_machine(project);
    add_machine(project);
    add(project, 6, {machine});
    add(project, 6, {machine});
    const prove::Proof proof = prove::prove(project);
    REQUIRE(proof.verdict == prove::Verdict::infeasible);
    REQUIRE(proof.contradiction);
    CHECK(proof.contradiction->resources == std::vector<ResourceId>{machine});
    CHECK(proof.contradiction->activities == std::vector<ActivityId>{0, 1});
}

TEST_CASE("the same project gives the same proof") {
    const Project project = job_shop({{{0, 3}, {1, 2}, {2, 2}}, {{0, 2}, {2, 1}, {1, 4}}, {{1, 4}, {2, 3}}}, 3);
    const prove::Proof once = prove::prove(project);
    const prove::Proof again = prove::prove(project);
    CHECK(makespan(project, once) ==
          11);  // by hand: 10 on machine 1 without a pause leaves machine 2 no way to end by 10
    CHECK(once.schedule == again.schedule);
    CHECK(once.nodes == again.nodes);
    CHECK(once.conflicts == again.conflicts);
}

TEST_CASE("a stop is obeyed and what is known is returned") {
    const Project project = job_shop({{{0, 3}, {1, 2}}, {{1, 2}, {0, 4}}}, 2);
    prove::ProofOptions options;
    const std::atomic<bool> stop = true;
    options.stop = &stop;
    CHECK(prove::prove(project, options).verdict == prove::Verdict::unknown);
    options.incumbent = prove::prove(project).schedule;
    const prove::Proof proof = prove::prove(project, options);
    CHECK(proof.schedule == options.incumbent);
}

TEST_CASE("an empty project has an empty best schedule") {
    Project project;
    project.goals = {Goal::overrun, Goal::waiting};
    const prove::Proof proof = prove::prove(project);
    CHECK(proof.verdict == prove::Verdict::optimal);
    CHECK(proof.value == Value{});
}
