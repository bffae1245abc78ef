#include "cli/pipeline.hpp"

#include <unistd.h>

#include <cerrno>
#include <cstring>

#include "oventide/limits.hpp"
#include "oventide/plan_file.hpp"
#include "oventide/slack.hpp"

namespace oventide::cli {
namespace {

const std::string kStandardInput = "standard input";

FileText read_standard_input() {
    std::string text;
    char buffer[1 << 16];
    while (text.size() <= Limits::file_bytes) {
        const ssize_t got = ::read(STDIN_FILENO, buffer, sizeof buffer);
        if (got < 0 && errno == EINTR) continue;
        if (got < 0) return {{}, std::strerror(errno)};
        if (got == 0) return {std::move(text), ""};
        text.append(buffer, static_cast<std::size_t>(got));
    }
    return {{}, "is longer than a plan may be"};
}

FileText read_file_or_input(const std::filesystem::path& path) {
    return path == kStandardInput ? read_standard_input() : read_file(path);
}

/// The checker's words about the project, at the step in the cook's file that each is about.
std::vector<Violation> check_project(const Plan& plan, const Expansion& expansion, const Schedule& schedule) {
    std::vector<Violation> violations = check(expansion.project, schedule);
    for (Violation& violation : violations) {
        if (violation.activity < 0) continue;
        const Task& task = expansion.tasks[violation.activity];
        const Component& component = plan.components[expansion.batches[task.batch].component];
        violation.place = component.steps[task.step].place;
    }
    return violations;
}

}  // namespace

Reading read(const std::string& path) {
    PlanReading read = path == "-" ? read_plan(kStandardInput, read_file_or_input) : read_plan(path);
    Reading reading{std::move(read.sources), std::move(read.diagnostics), std::move(read.plan), {}};
    if (!reading.plan) return reading;
    ExpandResult expanded = expand(*reading.plan);
    reading.expansion = std::move(expanded.expansion);
    reading.diagnostics.insert(reading.diagnostics.end(), expanded.diagnostics.begin(), expanded.diagnostics.end());
    return reading;
}

Answer work_out(const Plan& plan, const Expansion& expansion, const SearchOptions& options, bool with_slips) {
    Answer answer{solve(expansion.project, options), {}, {}};
    if (!answer.outcome.schedule) return answer;
    steady_hands(expansion, *answer.outcome.schedule);
    const Schedule& schedule = *answer.outcome.schedule;
    Slips slips;
    if (with_slips) slips = {total_float(expansion.project, schedule), total_float(without_margins(plan), schedule)};
    answer.timetable = make_timetable(plan, expansion, answer.outcome, slips);
    answer.violations = check_project(plan, expansion, schedule);
    const auto broken = check(plan, *answer.timetable);
    answer.violations.insert(answer.violations.end(), broken.begin(), broken.end());
    return answer;
}

}  // namespace oventide::cli
