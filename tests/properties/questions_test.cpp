/// Many questions about one project against each asked by itself; and a search near a schedule that is wrong.

#include "prove/questions.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <cstdint>
#include <string>

#include "oventide/check.hpp"
#include "oventide/scheduler.hpp"
#include "prove/prove.hpp"
#include "schedule/random.hpp"
#include "support/random_project.hpp"

using namespace oventide;

namespace {

constexpr std::int64_t kEnough = 1'000'000;

Project feasible_or_not(std::uint64_t seed) {
    Project project = support::random_project(seed);
    project.goals.clear();
    return project;
}

std::optional<Schedule> any_schedule(const Project& project) {
    prove::ProofOptions options;
    options.nodes = kEnough;
    return prove::prove(project, options).schedule;
}

/// Starts and choices that follow no rule.
Schedule nonsense(const Project& project, scheduling::Random& random) {
    Schedule schedule;
    for (const Activity& activity : project.activities) {
        schedule.start.push_back(static_cast<Time>(random.below(static_cast<std::uint32_t>(project.horizon + 1))));
        auto& chosen = schedule.chosen.emplace_back();
        for (const Demand& demand : activity.demands)
            chosen.push_back(demand.choices[random.below(static_cast<std::uint32_t>(demand.choices.size()))]);
    }
    complete(project, schedule);
    return schedule;
}

std::vector<prove::Hold> random_holds(const Project& project, scheduling::Random& random) {
    std::vector<prove::Hold> holds;
    for (std::uint32_t count = 1 + random.below(3); count > 0; --count) {
        prove::Hold& hold = holds.emplace_back();
        hold.activity = static_cast<ActivityId>(random.below(static_cast<std::uint32_t>(project.activities.size())));
        hold.earliest = static_cast<Time>(random.below(static_cast<std::uint32_t>(project.horizon + 1)));
        hold.latest = hold.earliest + static_cast<Time>(random.below(4));
        if (random.below(2) == 0)
            for (const Demand& demand : project.activities[hold.activity].demands)
                hold.chosen.push_back(demand.choices[random.below(static_cast<std::uint32_t>(demand.choices.size()))]);
    }
    return holds;
}

Project with(Project project, const std::vector<prove::Hold>& holds) {
    for (const prove::Hold& hold : holds) {
        Activity& activity = project.activities[hold.activity];
        // As lags: a due would say when it is ready, and what is stretched is ready later.
        Activity beginning;
        beginning.due = 0;
        const auto first = static_cast<ActivityId>(project.activities.size());
        for (std::size_t k = 0; k < hold.chosen.size(); ++k) {
            auto& choices = activity.demands[k].choices;
            const bool there = std::ranges::find(choices, hold.chosen[k]) != choices.end();
            choices = {hold.chosen[k]};
            if (!there) project.lags.push_back({first, hold.activity, hold.latest + 1, kNoPromise});  // two at once
        }
        project.activities.push_back(beginning);
        project.lags.push_back({first, hold.activity, hold.earliest, kNoPromise});
        project.lags.push_back({hold.activity, first, -hold.latest, kNoPromise});
    }
    return project;
}

bool keeps(const Schedule& schedule, const std::vector<prove::Hold>& holds) {
    return std::ranges::all_of(holds, [&](const prove::Hold& hold) {
        const Time start = schedule.start[hold.activity];
        return hold.earliest <= start && start <= hold.latest &&
               (hold.chosen.empty() || schedule.chosen[hold.activity] == hold.chosen);
    });
}

}  // namespace

TEST_CASE("each of many questions has the answer that it has by itself, whatever was asked and kept before") {
    int found = 0, none = 0;
    for (std::uint64_t seed = 1; seed <= 400; ++seed) {
        const Project project = feasible_or_not(seed);
        if (project.activities.empty()) continue;
        scheduling::Random random(seed);
        prove::Questions questions(project);
        Project so_far = project;
        for (int k = 0; k < 10; ++k) {
            const auto holds = random_holds(project, random);
            const auto reply = questions.ask(holds, nonsense(project, random), kEnough);
            const Project asked = with(so_far, holds);
            INFO("seed " << seed << ", question " << k);
            REQUIRE((reply.answer == prove::Answer::found) == any_schedule(asked).has_value());
            REQUIRE((reply.answer == prove::Answer::found) == reply.schedule.has_value());
            ++(reply.schedule ? found : none);
            if (!reply.schedule) continue;
            REQUIRE(check(project, *reply.schedule).empty());
            REQUIRE(keeps(*reply.schedule, holds));
            if (random.below(2) == 0) continue;
            questions.keep();
            so_far = asked;
        }
    }
    CHECK(found > 300);
    CHECK(none > 300);
}

TEST_CASE("near a schedule that is wrong, or from one that is right, the best is the same") {
    int asked = 0;
    for (std::uint64_t seed = 1; seed <= 400; ++seed) {
        const Project project = support::random_project(seed);
        scheduling::Random random(seed);
        SearchOptions options;
        options.schedules = 20;
        options.nodes = kEnough;
        const Outcome plain = solve(project, options);
        options.near = nonsense(project, random);
        const Outcome near = solve(project, options);
        INFO("seed " << seed);
        REQUIRE(near.infeasible == plain.infeasible);
        REQUIRE(near.optimal == plain.optimal);
        if (!plain.schedule) continue;
        REQUIRE(near.value == plain.value);
        REQUIRE(check(project, *near.schedule).empty());
        ++asked;

        Project any = project;
        any.goals.clear();
        options.first = any_schedule(any);
        const Outcome better = solve(project, options);
        REQUIRE(better.value == plain.value);
        REQUIRE(check(project, *better.schedule).empty());
    }
    CHECK(asked > 100);
}
