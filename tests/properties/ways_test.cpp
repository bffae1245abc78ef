/// Random plans, many without a timetable: what is said of why, and of what would help, is true of each.

#include "oventide/ways.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <optional>
#include <random>
#include <string>
#include <vector>

#include "oventide/check.hpp"
#include "support/plan_text.hpp"
#include "support/random_plan.hpp"
#include "ways/conditions.hpp"

using namespace oventide;

namespace {

constexpr std::uint64_t kSeeds = 80;

/// Every other one begins a few hours before its first pickup.
Plan tight_plan(std::uint64_t seed) {
    support::RandomPlanOptions options;
    options.goods = 2;
    options.orders = 2;
    options.pieces = 12;
    options.tight = true;
    Plan plan = test::plan_of(support::random_plan(seed, options));
    if (seed % 2 == 0) {
        Instant first = plan.orders.front().pickup;
        for (const Order& order : plan.orders) first = std::min(first, order.pickup);
        plan.from = first - std::chrono::hours{1 + seed / 2 % 6};
    }
    return plan;
}

/// Nothing where the plan does not expand.
struct Case {
    Plan plan;
    Expansion expansion;
    Outcome outcome;
};
std::optional<Case> case_of(std::uint64_t seed) {
    Plan plan = tight_plan(seed);
    ExpandResult expanded = expand(plan);
    if (!expanded.expansion) return std::nullopt;
    SearchOptions options;
    options.schedules = 60;
    Outcome outcome = solve(expanded.expansion->project, options);
    return Case{std::move(plan), std::move(*expanded.expansion), std::move(outcome)};
}

void passes(const Project& project, const Schedule& schedule) {
    for (const Violation& violation : check(project, schedule)) FAIL_CHECK(violation.what);
}

}  // namespace

TEST_CASE("random plans: leaving conditions out makes a sound project, and never a possible plan impossible") {
    int possible = 0;
    for (std::uint64_t seed = 1; seed <= kSeeds; ++seed) {
        CAPTURE(seed);
        const auto one = case_of(seed);
        if (!one) continue;
        const ways::Relaxations relaxations(one->plan, one->expansion);
        std::mt19937_64 random(seed);
        for (int round = 0; round < 4; ++round) {
            std::vector<bool> kept;
            for (std::size_t i = 0; i < relaxations.conditions().size(); ++i)
                kept.push_back(round == 0 || random() % 3 != 0);
            const Project project = relaxations.keeping(kept);
            CHECK(malformed(project) == "");
            SearchOptions options;
            options.schedules = 20;
            const Outcome outcome = solve(project, options);
            if (outcome.schedule) passes(project, *outcome.schedule);
            if (one->outcome.schedule) {
                ++possible;
                CHECK_FALSE(outcome.infeasible);
            }
            if (round == 0 && one->outcome.infeasible) CHECK_FALSE(outcome.schedule.has_value());
        }
    }
    CHECK(possible > 20);
}

TEST_CASE("random plans: why there is no timetable is a contradiction in which nothing can be spared") {
    int explained = 0;
    for (std::uint64_t seed = 1; seed <= kSeeds; ++seed) {
        CAPTURE(seed);
        const auto one = case_of(seed);
        if (!one) continue;
        const ways::WhyNot why = ways::why_not(one->plan, one->expansion);
        if (one->outcome.schedule) CHECK_FALSE(why.proven);
        if (!why.proven) continue;
        ++explained;
        CHECK(why.needed.size() == why.conditions.size());
        CHECK_FALSE(ways::solve_with(one->plan, one->expansion, why.conditions, {}).schedule.has_value());
        for (std::size_t left_out = 0; left_out < why.conditions.size(); ++left_out) {
            auto rest = why.conditions;
            rest.erase(rest.begin() + static_cast<std::ptrdiff_t>(left_out));
            const Outcome outcome = ways::solve_with(one->plan, one->expansion, rest, {});
            CHECK_FALSE(outcome.infeasible);
            CHECK(outcome.schedule.has_value() == why.needed[left_out]);
        }
    }
    CHECK(explained > 10);
}

TEST_CASE("random plans: each way out gives a timetable that both referees pass") {
    int offered = 0;
    int plans = 0;
    for (std::uint64_t seed = 1; seed <= kSeeds && plans < 8; ++seed) {
        CAPTURE(seed);
        const auto one = case_of(seed);
        if (!one || !one->outcome.infeasible) continue;
        ++plans;
        const ways::WhyNot why = ways::why_not(one->plan, one->expansion);
        for (const ways::WayOut& way : ways::ways_out(one->plan, one->expansion, why).ways) {
            CAPTURE(way.change.index());
            const Plan plan = ways::changed(one->plan, way.change);
            const ExpandResult expanded = expand(plan);
            REQUIRE(expanded.expansion);
            Outcome outcome = solve(expanded.expansion->project);
            REQUIRE(outcome.schedule);
            ++offered;
            passes(expanded.expansion->project, *outcome.schedule);
            const Timetable timetable = make_timetable(plan, *expanded.expansion, outcome, {});
            for (const Violation& violation : check(plan, timetable)) FAIL_CHECK(violation.what);
        }
    }
    CHECK(offered > 3);
}

TEST_CASE("an effort that decides nothing says so, and accuses nobody") {
    const Plan plan = test::plan_of(test::plan_for_buns(R"(
[[order]]
name = "second"
pickup = 2026-10-03T06:30:00
items = { bun = 12 }
[[component]]
name = "bun"
makes = "6 pieces"
keeps = "40 min"
steps = [
  { name = "mix", takes = "20 min", uses = "mixer", hands = true },
  { name = "bake", takes = "20 min", oven = "180 C", tray = 3, hands = true, within = "5 min" },
]
)"));
    const Expansion expansion = *expand(plan).expansion;
    const ways::Effort none{1, 0, 1, nullptr};
    const ways::WhyNot why = ways::why_not(plan, expansion, none);
    SearchOptions hardly;
    hardly.schedules = 1;
    hardly.nodes = 0;
    REQUIRE_FALSE(solve(expansion.project, hardly).infeasible);
    CHECK_FALSE(why.proven);
    CHECK(why.conditions.empty());
    CHECK_FALSE(ways::ways_out(plan, expansion, why, none).undecided.empty());
}
