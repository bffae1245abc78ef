/// Random plans through the whole house: reader, expansion, scheduler, timetable. Whatever comes out, neither referee
/// finds anything against it, and both count the same.

#include "support/random_plan.hpp"

#include <doctest/doctest.h>

#include <string>

#include "oventide/check.hpp"
#include "oventide/expand.hpp"
#include "oventide/plan_file.hpp"
#include "oventide/scheduler.hpp"
#include "oventide/slack.hpp"
#include "oventide/timetable.hpp"

using namespace oventide;

namespace {

std::string all(const std::vector<Diagnostic>& diagnostics, const Sources& sources) {
    std::string text;
    for (const Diagnostic& one : diagnostics) text += render(one, sources) + "\n";
    return text;
}

std::string all(const std::vector<Violation>& violations) {
    std::string text;
    for (const Violation& one : violations) text += std::string(rule_name(one.rule)) + ": " + one.what + "\n";
    return text;
}

/// True when there is a timetable.
bool judge(std::uint64_t seed, const support::RandomPlanOptions& options) {
    const std::string text = support::random_plan(seed, options);
    CAPTURE(seed);
    CAPTURE(text);
    const PlanReading reading = parse_plan(text, "seed.toml");
    REQUIRE_MESSAGE(reading.plan, all(reading.diagnostics, reading.sources));
    const ExpandResult expanded = expand(*reading.plan);
    REQUIRE_MESSAGE(expanded.expansion, all(expanded.diagnostics, reading.sources));
    const Project& project = expanded.expansion->project;
    REQUIRE_MESSAGE(malformed(project).empty(), malformed(project));

    SearchOptions search;
    search.schedules = 40;
    search.seed = seed;
    const Outcome outcome = solve(project, search);
    if (!outcome.schedule) return false;
    const auto against_schedule = check(project, *outcome.schedule);
    CHECK_MESSAGE(against_schedule.empty(), all(against_schedule));
    const Value value = evaluate(project, *outcome.schedule);
    CHECK(value == checked_value(project, *outcome.schedule));
    CHECK(value == outcome.value);
    CHECK(outcome.bound <= outcome.value);

    const auto slips = total_float(project, *outcome.schedule);
    const Timetable timetable = make_timetable(*reading.plan, *expanded.expansion, outcome, slips);
    const auto against_timetable = check(*reading.plan, timetable);
    CHECK_MESSAGE(against_timetable.empty(), all(against_timetable));
    return true;
}

}  // namespace

TEST_CASE("random plans become timetables that both referees let pass") {
    int timetables = 0;
    for (std::uint64_t seed = 1; seed <= 100; ++seed) timetables += judge(seed, {}) ? 1 : 0;
    INFO(timetables, " of 100 have a timetable");
    CHECK(timetables >= 80);
}

TEST_CASE("random plans that are hardly possible become timetables that both referees let pass") {
    support::RandomPlanOptions options;
    options.tight = true;
    int timetables = 0;
    for (std::uint64_t seed = 1001; seed <= 1060; ++seed) timetables += judge(seed, options) ? 1 : 0;
    INFO(timetables, " of 60 have a timetable");
    CHECK(timetables >= 30);
}
