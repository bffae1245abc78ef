/// Prints a random plan's project and what the program makes of it, as one JSON document: for tests/oracle/solve.py.
///
///     oventide_oracle SEED SCHEDULES            the night before
///     oventide_oracle SEED replanned            what is left on a day on which things go wrong: as few minutes late
///                                               as can be

#include <cstdio>
#include <cstdlib>
#include <nlohmann/json.hpp>
#include <string>

#include "oventide/expand.hpp"
#include "oventide/plan_file.hpp"
#include "oventide/report.hpp"
#include "oventide/scheduler.hpp"
#include "support/random_day.hpp"
#include "support/random_plan.hpp"

namespace {

using namespace oventide;
using Json = nlohmann::ordered_json;

Json answer_of(const Expansion& question, const Schedule* schedule) {
    Json json;
    json["project"] = Json::parse(report::project_json(question));
    json["optimal"] = json["infeasible"] = false;
    json["bound"] = Value{};
    json["schedule"] = nullptr;
    if (schedule == nullptr) return json;
    json["schedule"] = {{"start", schedule->start}, {"chosen", schedule->chosen}};
    json["value"] = evaluate(question.project, *schedule);
    return json;
}

Json night_before(std::uint64_t seed, std::int64_t schedules) {
    support::RandomPlanOptions options;
    options.small_night = true;
    const PlanReading reading = parse_plan(support::random_plan(seed, options), "seed.toml");
    if (!reading.plan) return nullptr;
    const ExpandResult expanded = expand(*reading.plan);
    if (!expanded.expansion) return nullptr;
    SearchOptions search;
    search.seed = seed;
    search.schedules = schedules;
    const Outcome outcome = solve(expanded.expansion->project, search);
    Json json = answer_of(*expanded.expansion, outcome.schedule ? &*outcome.schedule : nullptr);
    json["optimal"] = outcome.optimal;
    json["infeasible"] = outcome.infeasible;
    json["bound"] = outcome.bound;
    return json;
}

/// The replanned timetable claims to be as little late as can be found, and here as little as can be.
Json replanned(std::uint64_t seed) {
    const auto day = test::random_day(seed);
    const auto result = day ? test::replan_random(*day) : std::nullopt;
    if (!result) return nullptr;
    Json json = answer_of(result->question, &result->schedule);
    json["optimal"] = true;
    json["value"] = Value{result->late};
    json["bound"] = json["value"];
    return json;
}

}  // namespace

int main(int argc, char** argv) {
    if (argc < 3) return 2;
    const std::uint64_t seed = std::strtoull(argv[1], nullptr, 10);
    const Json json =
        std::string(argv[2]) == "replanned" ? replanned(seed) : night_before(seed, std::strtoll(argv[2], nullptr, 10));
    if (json.is_null()) return 2;
    std::puts(json.dump().c_str());
}
