#include "cli/commands.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "cli/interrupt.hpp"
#include "cli/output.hpp"
#include "cli/pipeline.hpp"
#include "cli/progress.hpp"
#include "cli/terminal.hpp"
#include "oventide/clashes.hpp"
#include "oventide/clock.hpp"
#include "oventide/report.hpp"

namespace oventide::cli {
namespace {

std::string counted(std::size_t count, const std::string& what) {
    return fmt::format("{} {}{}", count, what, count == 1 ? "" : "s");
}

/// `code`, unless the text could not be written.
ExitCode print(const std::string& text, ExitCode code) {
    const std::string problem = write_output(text);
    if (problem.empty()) return code;
    write_error(fmt::format("oventide: the output could not be written: {}\n", problem));
    return ExitCode::unwritten;
}

void print_diagnostics(const Reading& reading) {
    for (const Diagnostic& diagnostic : reading.diagnostics) write_error(render(diagnostic, reading.sources) + "\n");
}

ExitCode refuse_plan(const Reading& reading, const Arguments& arguments) {
    if (arguments.json) return print(report::diagnostics_json(reading.diagnostics, reading.sources), ExitCode::wrong);
    print_diagnostics(reading);
    const auto errors = std::count_if(reading.diagnostics.begin(), reading.diagnostics.end(),
                                      [](const Diagnostic& one) { return one.severity == Severity::error; });
    write_error(fmt::format("{} in the plan\n", counted(static_cast<std::size_t>(errors), "error")));
    return ExitCode::wrong;
}

ExitCode approve_plan(const Reading& reading, const Arguments& arguments) {
    if (arguments.json)
        return print(report::diagnostics_json(reading.diagnostics, reading.sources), ExitCode::timetable);
    return print(fmt::format("nothing wrong: {}, {}, {}\n", counted(reading.plan->orders.size(), "order"),
                             counted(reading.plan->components.size(), "component"),
                             counted(reading.expansion->tasks.size(), "step")),
                 ExitCode::timetable);
}

Answer search(const Reading& reading, const Arguments& arguments) {
    const Interrupt interrupt;
    SearchOptions options;
    options.schedules = arguments.schedules;
    options.seed = arguments.seed;
    options.stop = &interrupt.requested();
    Answer answer;
    {
        ProgressLine line(arguments.schedules);
        if (can_show_progress()) options.progress = [&line](const auto& progress) { line.show(progress); };
        answer = work_out(*reading.plan, *reading.expansion, options, arguments.command == Command::timetable);
    }
    if (interrupt.requested())
        write_error(fmt::format("stopped early, after {}; this is what there is\n",
                                counted(static_cast<std::size_t>(answer.outcome.schedules), "schedule")));
    return answer;
}

ExitCode confess(const Reading& reading, const std::vector<Violation>& violations) {
    write_error("oventide: an error of this program: its timetable breaks a rule, so it is not printed\n");
    for (const Violation& violation : violations) {
        const std::string what = fmt::format("{}: {}", rule_name(violation.rule), violation.what);
        write_error(render({Severity::error, violation.place, what, "", {}}, reading.sources) + "\n");
    }
    return ExitCode::internal_error;
}

std::string report_of(const report::Subject& subject, const Arguments& arguments) {
    const report::Style style = page_style(arguments.width, arguments.ascii);
    if (subject.timetable == nullptr && !arguments.json) return report::no_timetable_text(subject, style);
    switch (arguments.command) {
        case Command::timetable:
            return arguments.json ? report::timetable_json(subject) : report::timetable_text(subject, style);
        case Command::clashes: {
            const auto& schedule = subject.outcome.schedule;
            const auto clashes = schedule ? find_clashes(subject.expansion, *schedule) : std::vector<Clash>();
            return arguments.json ? report::clashes_json(subject, clashes)
                                  : report::clashes_text(subject, clashes, style);
        }
        case Command::checklist:
            return arguments.json ? report::checklist_json(subject) : report::checklist_text(subject, style);
        case Command::check:
            break;  // makes no timetable
    }
    return {};
}

}  // namespace

ExitCode run(const Arguments& arguments) {
    const Reading reading = read(arguments.plan);
    if (!reading.expansion) return refuse_plan(reading, arguments);
    if (!arguments.json) print_diagnostics(reading);  // cautions
    if (arguments.command == Command::check) return approve_plan(reading, arguments);

    const Answer answer = search(reading, arguments);
    if (!answer.violations.empty()) return confess(reading, answer.violations);
    const auto zone = clock::Zone::find(reading.plan->timezone);
    const report::Subject subject{
        *reading.plan,   *zone, *reading.expansion, answer.outcome, answer.timetable ? &*answer.timetable : nullptr,
        &reading.sources};
    return print(report_of(subject, arguments), answer.timetable ? ExitCode::timetable : ExitCode::none);
}

}  // namespace oventide::cli
