/// Prints a random plan's project, what the program makes of it, as one JSON document: for tests/oracle/solve.py.
///
///     oventide_oracle SEED [SCHEDULES]

#include <cstdio>
#include <cstdlib>
#include <nlohmann/json.hpp>
#include <string>

#include "oventide/expand.hpp"
#include "oventide/plan_file.hpp"
#include "oventide/report.hpp"
#include "oventide/scheduler.hpp"
#include "support/random_plan.hpp"

int main(int argc, char** argv) {
    using namespace oventide;
    if (argc < 2) return 2;
    support::RandomPlanOptions options;
    options.small_night = true;
    const std::uint64_t seed = std::strtoull(argv[1], nullptr, 10);
    const PlanReading reading = parse_plan(support::random_plan(seed, options), "seed.toml");
    if (!reading.plan) return 2;
    const ExpandResult expanded = expand(*reading.plan);
    if (!expanded.expansion) return 2;
    SearchOptions search;
    search.seed = seed;
    if (argc > 2) search.schedules = std::strtoll(argv[2], nullptr, 10);
    const Outcome outcome = solve(expanded.expansion->project, search);

    nlohmann::ordered_json json;
    json["project"] = nlohmann::ordered_json::parse(report::project_json(*expanded.expansion));
    json["optimal"] = outcome.optimal;
    json["infeasible"] = outcome.infeasible;
    json["bound"] = outcome.bound;
    json["schedule"] = nullptr;
    if (outcome.schedule) {
        json["schedule"] = {{"start", outcome.schedule->start}, {"chosen", outcome.schedule->chosen}};
        json["value"] = outcome.value;
    }
    std::puts(json.dump().c_str());
}
