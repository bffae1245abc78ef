/// Random plans through the whole house: reader, expansion, scheduler, timetable. Whatever comes out, neither referee
/// finds anything against it, and both count the same.

#include "support/random_plan.hpp"

#include <doctest/doctest.h>

#include <random>
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
    const Timetable timetable = make_timetable(*reading.plan, *expanded.expansion, outcome, {slips, {}});
    const auto against_timetable = check(*reading.plan, timetable);
    CHECK_MESSAGE(against_timetable.empty(), all(against_timetable));
    return true;
}

/// One step moved, or somebody or something else taken for it. Most often that breaks something.
void disturb(const Project& project, std::mt19937_64& random, Schedule& schedule) {
    const auto one_of = [&](std::size_t count) { return static_cast<std::size_t>(random() % count); };
    const std::size_t id = one_of(project.activities.size());
    if (one_of(4) == 0 && !project.activities[id].demands.empty()) {
        const std::size_t demand = one_of(project.activities[id].demands.size());
        const auto& choices = project.activities[id].demands[demand].choices;
        schedule.chosen[id][demand] = choices[one_of(choices.size())];
    } else {
        const Time by = one_of(2) == 0 ? 1 : 1 + static_cast<Time>(one_of(40));
        schedule.start[id] += one_of(2) == 0 ? by : -by;
    }
    complete(project, schedule);
}

struct Agreement {
    int right = 0;
    int wrong = 0;
};

/// The two referees share no code and read different things; of each disturbed schedule they must say the same.
void compare_referees(std::uint64_t seed, const support::RandomPlanOptions& options, Agreement& agreement) {
    const std::string text = support::random_plan(seed, options);
    const PlanReading reading = parse_plan(text, "seed.toml");
    REQUIRE(reading.plan);
    const ExpandResult expanded = expand(*reading.plan);
    REQUIRE(expanded.expansion);
    const Project& project = expanded.expansion->project;
    SearchOptions search;
    search.schedules = 10;
    Outcome outcome = solve(project, search);
    if (!outcome.schedule) return;
    std::mt19937_64 random(seed);
    const Schedule found = *outcome.schedule;
    for (int i = 0; i < 40; ++i) {
        outcome.schedule = found;
        disturb(project, random, *outcome.schedule);
        const auto of_schedule = check(project, *outcome.schedule);
        outcome.value = checked_value(project, *outcome.schedule);
        outcome.bound = outcome.value;
        const auto of_timetable = check(*reading.plan, make_timetable(*reading.plan, *expanded.expansion, outcome, {}));
        CAPTURE(seed);
        CAPTURE(i);
        CAPTURE(text);
        const std::string both = "of the schedule:\n" + all(of_schedule) + "of the timetable:\n" + all(of_timetable);
        CHECK_MESSAGE(of_schedule.empty() == of_timetable.empty(), both);
        ++(of_schedule.empty() ? agreement.right : agreement.wrong);
    }
}

}  // namespace

TEST_CASE("both referees say the same of timetables that may be wrong") {
    Agreement agreement;
    support::RandomPlanOptions tight;
    tight.tight = true;
    for (std::uint64_t seed = 2001; seed <= 2050; ++seed) {
        compare_referees(seed, {}, agreement);
        compare_referees(seed, tight, agreement);
    }
    CHECK(agreement.right > 100);
    CHECK(agreement.wrong > 100);
}

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
