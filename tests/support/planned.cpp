#include "support/planned.hpp"

#include <fstream>
#include <sstream>
#include <stdexcept>

#include "oventide/check.hpp"
#include "oventide/slack.hpp"

namespace oventide::test {
namespace {

/// Stops a test, or a benchmark, and says why.
[[noreturn]] void stop(const std::string& why) { throw std::runtime_error(why); }

void expect_sound(const std::vector<Violation>& violations) {
    for (const Violation& violation : violations) stop(violation.what);
}

}  // namespace

Planned planned(std::string_view text, std::int64_t schedules) {
    PlanReading reading = parse_plan(text, "plan.toml", reader_of({}));
    std::string trouble;
    for (const Diagnostic& diagnostic : reading.diagnostics) trouble += render(diagnostic, reading.sources) + "\n";
    if (!reading.plan) stop(trouble);
    const auto zone = clock::Zone::find(reading.plan->timezone);
    ExpandResult expanded = expand(*reading.plan);
    if (!expanded.expansion) stop(expanded.diagnostics.front().message);
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
    expect_sound(check(project, *result.outcome.schedule));
    result.floats = total_float(project, *result.outcome.schedule);
    result.timetable =
        make_timetable(result.plan, result.expansion, result.outcome,
                       {result.floats, total_float(without_margins(result.plan), *result.outcome.schedule)});
    expect_sound(check(result.plan, *result.timetable));
    return result;
}

std::vector<Clash> Planned::clashes() const {
    return outcome.schedule ? find_clashes(expansion, *outcome.schedule) : std::vector<Clash>();
}

std::string project_file(const std::string& path) {
    std::ifstream file(std::string(OVENTIDE_SOURCE_DIR) + "/" + path);
    if (!file) stop("cannot read " + path);
    std::ostringstream text;
    text << file.rdbuf();
    return text.str();
}

}  // namespace oventide::test
