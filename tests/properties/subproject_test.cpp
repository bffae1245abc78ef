/// A part of a project against the stupid oracle: what is best in the part is best in the whole with the rest held.

#include "project/subproject.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <cstdint>
#include <optional>
#include <string>

#include "oventide/check.hpp"
#include "oventide/scheduler.hpp"
#include "prove/prove.hpp"
#include "support/exhaustive.hpp"
#include "support/random_bake.hpp"
#include "support/random_project.hpp"

using namespace oventide;

namespace {

prove::Proof best_of(const Project& project) {
    prove::ProofOptions options;
    options.nodes = 1'000'000;
    return prove::prove(project, options);
}

std::optional<Schedule> any_schedule(Project project) {
    project.goals.clear();
    return best_of(project).schedule;
}

ActivityId count(const Project& project) { return static_cast<ActivityId>(project.activities.size()); }

/// Two of three are free.
Division divided(const Project& project, std::uint64_t seed) {
    Division division;
    for (ActivityId id = 0; id < count(project); ++id)
        division.free.push_back((seed + static_cast<std::uint64_t>(id)) % 3 != 0);
    return division;
}

/// The same project with what is not free at its start and choices in a schedule, and what is free in the range.
Project held(Project project, const Schedule& schedule, const Division& division) {
    for (ActivityId id = 0; id < count(project); ++id) {
        Activity& activity = project.activities[id];
        if (division.free[id]) {
            if (!division.range) continue;
            activity.release = std::max(activity.release, division.range->from);
            activity.due = std::min(activity.due, division.range->to);
            continue;
        }
        const Time ready = schedule.start[id] + activity.duration;
        // A window that is closed already stays closed.
        activity.release = std::max(activity.release, schedule.start[id]);
        activity.due = std::min(activity.due, ready);
        for (std::size_t k = 0; k < activity.demands.size(); ++k)
            activity.demands[k].choices = {schedule.chosen[id][k]};
    }
    return project;
}

bool programme_outlasts(const Project& project) {
    return std::ranges::any_of(project.activities, [](const Activity& activity) {
        return std::ranges::any_of(activity.demands, [&](const Demand& demand) {
            Time length = 0;
            for (const Stage& stage : demand.stages) length += stage.lasts;
            return length > activity.duration;
        });
    });
}

constexpr support::RandomProjectOptions kEverything{6, 14, 2'000, true, true, true, true};

/// True: the part found something better than what was there.
bool compare(const Project& project, const Schedule& schedule, const Division& division) {
    const Project truth = held(project, schedule, division);
    const auto sub = subproject_of(project, schedule, division);
    REQUIRE(sub);
    REQUIRE(malformed(sub->project) == "");
    const Schedule seen = seen_from(*sub, schedule);
    for (const Violation& violation : check(sub->project, seen)) FAIL_CHECK(violation.what);
    const prove::Proof proof = best_of(sub->project);
    REQUIRE(proof.verdict == prove::Verdict::optimal);
    const Schedule whole = joined(project, schedule, *sub, *proof.schedule);
    for (const Violation& violation : check(truth, whole)) FAIL_CHECK(violation.what);
    CHECK(evaluate(project, whole) == support::try_everything(truth).value);
    return evaluate(project, whole) < evaluate(project, schedule);
}

}  // namespace

TEST_CASE("the best of a part is the best of the whole with the rest held") {
    int bettered = 0;
    for (std::uint64_t seed = 1; seed <= 400; ++seed) {
        CAPTURE(seed);
        const Project project = support::random_project(seed, kEverything);
        const auto schedule = any_schedule(project);
        if (!schedule) continue;
        for (const bool right : {true, false}) {
            CAPTURE(right);
            Division division = divided(project, seed);
            division.held_is_right = right;
            bettered += compare(project, *schedule, division);
        }
    }
    CHECK(bettered > 30);
}

TEST_CASE("in a range as well") {
    int bettered = 0;
    for (std::uint64_t seed = 1; seed <= 600; ++seed) {
        CAPTURE(seed);
        const Project project = support::random_project(seed, kEverything);
        const auto schedule = any_schedule(project);
        if (!schedule || programme_outlasts(project)) continue;
        Division division = divided(project, seed);
        Interval range{kNever, 0};
        for (ActivityId id = 0; id < count(project); ++id) {
            if (!division.free[id]) continue;
            range.from = std::min(range.from, schedule->start[id]);
            range.to = std::max(range.to, schedule->start[id] + project.activities[id].duration);
        }
        range.from = std::max<Time>(0, range.from - static_cast<Time>(seed % 3));
        range.to += static_cast<Time>(seed % 4);
        division.range = range;
        bettered += compare(project, *schedule, division);
    }
    CHECK(bettered > 15);
}

TEST_CASE("what is held may be wrong, and that is seen") {
    int impossible = 0;
    int possible = 0;
    for (std::uint64_t seed = 1; seed <= 600; ++seed) {
        CAPTURE(seed);
        const Project project = support::random_project(seed, kEverything);
        auto schedule = any_schedule(project);
        if (!schedule) continue;
        Division division = divided(project, seed);
        division.held_is_right = false;
        for (ActivityId id = 0; id < count(project); ++id)
            if (!division.free[id] && (seed + static_cast<std::uint64_t>(id)) % 2 == 0) ++schedule->start[id];
        complete(project, *schedule);
        const bool truth = support::try_everything(held(project, *schedule, division)).schedule.has_value();
        const auto sub = subproject_of(project, *schedule, division);
        const bool found = sub && best_of(sub->project).verdict == prove::Verdict::optimal;
        CHECK(found == truth);
        (truth ? possible : impossible) += 1;
    }
    CHECK(possible > 20);
    CHECK(impossible > 20);
}

TEST_CASE("a day of a bake is cut out without its neighbours noticing") {
    int bettered = 0;
    for (std::uint64_t seed = 1; seed <= 150; ++seed) {
        CAPTURE(seed);
        support::RandomShape shape;
        shape.activities = 60;
        shape.chains = 8;
        shape.horizon = 5'000;
        shape.spread = true;
        shape.maximum_lags = false;
        shape.calendars = seed % 4 == 0;
        const Project project = support::random_bake(shape, seed);
        SearchOptions search;
        search.schedules = 6;
        search.nodes = 0;
        search.seed = seed;
        const Outcome outcome = solve(project, search);
        if (!outcome.schedule) continue;
        const Schedule& schedule = *outcome.schedule;
        std::vector<ActivityId> order;
        for (ActivityId id = 0; id < count(project); ++id) order.push_back(id);
        std::ranges::stable_sort(order, {}, [&](ActivityId id) { return schedule.start[id]; });
        for (std::size_t from = 0; from + 8 <= order.size(); from += 8) {
            Division division;
            division.free.resize(order.size());
            Interval range{kNever, 0};
            for (std::size_t k = from; k < from + 8; ++k) {
                division.free[order[k]] = 1;
                range.from = std::min(range.from, schedule.start[order[k]]);
                range.to = std::max(range.to, schedule.start[order[k]] + project.activities[order[k]].duration);
            }
            division.range = {std::max(0, range.from - 60), range.to + 60};
            const auto sub = subproject_of(project, schedule, division);
            REQUIRE(sub);
            REQUIRE(malformed(sub->project) == "");
            const Schedule seen = seen_from(*sub, schedule);
            for (const Violation& violation : check(sub->project, seen)) FAIL_CHECK(violation.what);
            prove::ProofOptions options;
            options.nodes = 300;
            options.incumbent = seen;
            const prove::Proof proof = prove::prove(sub->project, options);
            REQUIRE(proof.schedule);
            const Schedule whole = joined(project, schedule, *sub, *proof.schedule);
            for (const Violation& violation : check(project, whole)) FAIL_CHECK(violation.what);
            const bool better_here = proof.value < evaluate(sub->project, seen);
            CHECK(better_here == (evaluate(project, whole) < evaluate(project, schedule)));
            bettered += better_here;
        }
    }
    CHECK(bettered > 20);
}
