#include "support/planned.hpp"

#include <doctest/doctest.h>

#include <fstream>
#include <sstream>

#include "oventide/check.hpp"
#include "oventide/slack.hpp"

namespace oventide::test {

Planned planned(std::string_view text, std::int64_t schedules) {
    PlanReading reading = parse_plan(text, "plan.toml", reader_of({}));
    std::string trouble;
    for (const Diagnostic& diagnostic : reading.diagnostics) trouble += render(diagnostic, reading.sources) + "\n";
    CAPTURE(trouble);
    REQUIRE(reading.plan);
    const auto zone = clock::Zone::find(reading.plan->timezone);
    REQUIRE(zone);
    ExpandResult expanded = expand(*reading.plan);
    REQUIRE(expanded.expansion);
    SearchOptions options;
    options.schedules = schedules;
    Outcome outcome = solve(expanded.expansion->project, options);
    Planned result{std::move(reading.sources),
                   std::move(*reading.plan),
                   *zone,
                   std::move(*expanded.expansion),
                   std::move(outcome),
                   {},
                   std::nullopt};
    if (!result.outcome.schedule) return result;
    steady_hands(result.expansion, *result.outcome.schedule);
    const Project& project = result.expansion.project;
    for (const Violation& violation : check(project, *result.outcome.schedule)) FAIL(violation.what);
    result.floats = total_float(project, *result.outcome.schedule);
    result.timetable =
        make_timetable(result.plan, result.expansion, result.outcome,
                       {result.floats, total_float(without_margins(result.plan), *result.outcome.schedule)});
    for (const Violation& violation : check(result.plan, *result.timetable)) FAIL(violation.what);
    return result;
}

std::vector<Clash> Planned::clashes() const {
    return outcome.schedule ? find_clashes(expansion, *outcome.schedule) : std::vector<Clash>();
}

std::string project_file(const std::string& path) {
    std::ifstream file(std::string(OVENTIDE_SOURCE_DIR) + "/" + path);
    REQUIRE(file);
    std::ostringstream text;
    text << file.rdbuf();
    return text.str();
}

}  // namespace oventide::test
