#include "cli/commands.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <optional>

#include "cli/chill.hpp"
#include "cli/day.hpp"
#include "cli/day_slips.hpp"
#include "cli/files.hpp"
#include "cli/interrupt.hpp"
#include "cli/now.hpp"
#include "cli/output.hpp"
#include "cli/pipeline.hpp"
#include "cli/progress.hpp"
#include "cli/starter.hpp"
#include "cli/terminal.hpp"
#include "oventide/calendar.hpp"
#include "oventide/chill.hpp"
#include "oventide/clashes.hpp"
#include "oventide/clock.hpp"
#include "oventide/report.hpp"
#include "oventide/sheet.hpp"
#include "oventide/spelling.hpp"
#include "oventide/ways.hpp"

namespace oventide::cli {
namespace {

std::string counted(std::size_t count, const std::string& what) {
    return fmt::format("{} {}{}", count, what, count == 1 ? "" : "s");
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
    const std::size_t cautions = reading.diagnostics.size();  // an error would have been refused
    std::size_t steps = 0;
    for (const Component& component : reading.plan->components) steps += component.steps.size();
    const std::size_t done = reading.expansion->tasks.size();
    const std::string often = done == steps ? "" : fmt::format(", {} with every batch and load", done);
    return print(
        fmt::format("{}: {}, {}, {}{}\n", cautions == 0 ? "nothing wrong" : counted(cautions, "caution") + ", no error",
                    counted(reading.plan->orders.size(), "order"),
                    counted(reading.plan->components.size(), "component"), counted(steps, "step"), often),
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
        std::optional<ProgressLine> line;
        if (can_show_progress()) {
            line.emplace();
            options.progress = [&line](const auto& progress) { line->note(progress); };
        }
        const bool with_slips = arguments.command == Command::timetable || arguments.command == Command::sheet;
        answer = work_out(*reading.plan, *reading.expansion, options, with_slips);
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

std::vector<PersonIndex> people_of(const Plan& plan, const Arguments& arguments) {
    std::vector<PersonIndex> people;
    for (std::size_t i = 0; i < plan.kitchen.crew.size(); ++i)
        if (std::count(arguments.people.begin(), arguments.people.end(), plan.kitchen.crew[i].name) > 0)
            people.push_back(static_cast<PersonIndex>(i));
    return people;
}

std::string report_of(const report::Subject& subject, const Arguments& arguments) {
    const report::Style style = page_style(arguments.width, arguments.ascii);
    if (subject.timetable == nullptr)
        return arguments.json ? report::timetable_json(subject) : report::no_timetable_text(subject, style);
    switch (arguments.command) {
        case Command::timetable:
            return arguments.json      ? report::timetable_json(subject)
                   : arguments.picture ? report::picture_text(subject, style)
                                       : report::timetable_text(subject, style);
        case Command::clashes: {
            const auto clashes = find_clashes(subject.expansion, *subject.outcome.schedule);
            return arguments.json ? report::clashes_json(subject, clashes)
                                  : report::clashes_text(subject, clashes, style);
        }
        case Command::checklist:
            return arguments.json ? report::checklist_json(subject, people_of(subject.plan, arguments))
                                  : report::checklist_text(subject, style, people_of(subject.plan, arguments));
        case Command::weigh:
            return arguments.json ? report::weigh_json(subject) : report::weigh_text(subject, style);
        case Command::shop:
            return arguments.json ? report::shop_json(subject) : report::shop_text(subject, style);
        case Command::allergens:
        case Command::ways:
        case Command::sheet:
        case Command::calendar:
        case Command::check:
        case Command::begin:
        case Command::publish:
        case Command::note:
        case Command::replan:
        case Command::chill:
            break;  // nothing to read here
    }
    return {};
}

/// Many plans are tried, each with a share of the effort that one would have, and never more than a little.
ways::Effort share_of_effort(const Arguments& arguments, const Interrupt& interrupt, std::int64_t share) {
    constexpr std::int64_t kMostNodes = 20'000;
    ways::Effort effort;
    effort.schedules = std::clamp<std::int64_t>(arguments.schedules / share, 1, kMostNodes / share);
    effort.nodes = std::min(2 * arguments.schedules, kMostNodes);
    effort.seed = arguments.seed;
    effort.stop = &interrupt.requested();
    return effort;
}

/// Whoever stops the trying gets what has been tried.
void tell_if_stopped(const Interrupt& interrupt) {
    if (interrupt.requested()) write_error("stopped early; this is what has been tried\n");
}

/// With more activities than this nothing is proven, and each trial takes seconds: only `ways` is asked for them.
constexpr std::size_t kMostToExplain = 400;

/// There is no timetable: why, and for `ways` what would help.
ExitCode explain(const report::Subject& nothing, const Arguments& arguments) {
    const Interrupt interrupt;
    const ways::Effort effort = share_of_effort(arguments, interrupt, 16);
    const report::Style style = page_style(arguments.width, arguments.ascii);
    const bool large = nothing.expansion.project.activities.size() > kMostToExplain;
    if (large && arguments.command != Command::ways) return print(report_of(nothing, arguments), ExitCode::none);
    const auto why = ways::why_not(nothing.plan, nothing.expansion, effort);
    if (arguments.command == Command::ways) {
        const auto out = ways::ways_out(nothing.plan, nothing.expansion, why, effort);
        tell_if_stopped(interrupt);
        return print(
            arguments.json ? report::ways_json(nothing, why, out) : report::ways_text(nothing, why, out, style),
            ExitCode::none);
    }
    const auto pickups = ways::ways_out(nothing.plan, nothing.expansion, why, effort, true);
    tell_if_stopped(interrupt);
    report::Subject subject = nothing;
    subject.why = &why;
    subject.pickups = &pickups;
    return print(report_of(subject, arguments), ExitCode::none);
}

ExitCode print_gains(const report::Subject& subject, const Arguments& arguments) {
    const Interrupt interrupt;
    const auto gains = ways::gains(subject.plan, subject.expansion, subject.timetable->goals,
                                   share_of_effort(arguments, interrupt, 8));
    tell_if_stopped(interrupt);
    return print(arguments.json ? report::gains_json(subject, gains)
                                : report::gains_text(subject, gains, page_style(arguments.width, arguments.ascii)),
                 ExitCode::timetable);
}

bool makes_file(Command command) { return command == Command::sheet || command == Command::calendar; }

/// What is wrong with the command line that only the plan can tell; empty: nothing.
std::string objection(const Plan& plan, const Arguments& arguments) {
    std::vector<std::string> names;
    for (const Person& person : plan.kitchen.crew) names.push_back(person.name);
    for (const std::string& name : arguments.people) {
        if (std::find(names.begin(), names.end(), name) != names.end()) continue;
        const auto near = near_misses(name, names);
        return fmt::format("oventide: nobody called '{}' is in the plan's crew\n{}\n", name,
                           near.empty() ? "the crew: " + fmt::format("{}", fmt::join(names, ", "))
                                        : fmt::format("did you mean '{}'?", near.front()));
    }
    if (arguments.command == Command::calendar && !now())
        return "oventide: OVENTIDE_NOW is set, but not to a time like 2026-10-03T05:10Z\n";
    return {};
}

std::string file_of(const Plan& planned, const report::Subject& subject, const Arguments& arguments) {
    if (arguments.command == Command::sheet) {
        // What has happened is no longer planned alone or together.
        const bool as_planned = subject.day == nullptr && subject.outcome.schedule;
        const auto clashes =
            as_planned ? find_clashes(subject.expansion, *subject.outcome.schedule) : std::vector<Clash>{};
        return sheet::write(subject.plan, subject.zone, *subject.timetable, report::sheet_notes(subject, clashes),
                            arguments.paper);
    }
    return calendar::write(subject.plan, *subject.timetable,
                           {*now(), Minutes{arguments.alarm_before}, people_of(subject.plan, arguments), &planned,
                            arguments.all_alarms ? calendar::Alarms::all : calendar::Alarms::key,
                            arguments.rise ? std::optional(Minutes{*arguments.rise}) : std::nullopt});
}

ExitCode save(const std::string& text, const Arguments& arguments) {
    if (arguments.out.empty()) return print(text, ExitCode::timetable);
    const std::string problem = replace_file(arguments.out, text);
    if (problem.empty()) return ExitCode::timetable;
    write_error(fmt::format("oventide: '{}' could not be written: {}\n", arguments.out, problem));
    return ExitCode::unwritten;
}

ExitCode refuse(const std::string& what, ExitCode code) {
    write_error("oventide: " + what + "\n");
    return code;
}

/// The plan that somebody starts from.
ExitCode begin_plan(const Arguments& arguments) {
    const std::string name = arguments.timezone.empty() ? clock::system_zone_name() : arguments.timezone;
    const auto zone = clock::Zone::find(name);
    if (!zone) {
        const auto near = clock::near_zone_names(name, 1);
        return refuse(fmt::format("there is no time zone '{}'\n{}", name,
                                  near.empty() ? "give one: --timezone Europe/London"
                                               : fmt::format("did you mean '{}'?", near.front())),
                      ExitCode::wrong);
    }
    if (!now()) return refuse("OVENTIDE_NOW is set, but not to a time like 2026-10-03T05:10Z", ExitCode::wrong);
    const std::string text = starter_plan(*zone, *now());
    if (arguments.plan == "-") return print(text, ExitCode::timetable);
    const std::string problem = create_file(arguments.plan, text);
    if (!problem.empty())
        return refuse(
            fmt::format("'{}' could not be written: {}\nwhat is there already is left alone", arguments.plan, problem),
            ExitCode::unwritten);
    return print(fmt::format("'{0}' is a plan to start from; next: oventide timetable {0}\n", arguments.plan),
                 ExitCode::timetable);
}

ExitCode show(const Plan& planned, const report::Subject& subject, const Arguments& arguments) {
    if (makes_file(arguments.command)) return save(file_of(planned, subject, arguments), arguments);
    return print(report_of(subject, arguments), ExitCode::timetable);
}

/// What the plan alone expects of a chill that has begun would belie its readings: those, `replan` goes by.
std::vector<chill::Remark> remarks_on_what_waits(const Plan& today, const Timetable& day, const Standing& standing) {
    std::vector<chill::Remark> remarks = chill::remarks(today, day);
    std::erase_if(remarks, [&](const chill::Remark& remark) {
        const auto& all = standing.result.expansion->project.activities;
        const auto step = std::ranges::find(all, day.rows[remark.row].id, &Activity::name);
        return step != all.end() &&
               standing.situation.steps[static_cast<std::size_t>(step - all.begin())].state != replan::State::waiting;
    });
    return remarks;
}

ExitCode show_replanned(const Reading& reading, const clock::Zone& zone, const Arguments& arguments) {
    ExitCode code = ExitCode::wrong;
    const auto standing = as_it_stands(reading, arguments, code);
    if (!standing) return code;
    const Plan& today = standing->situation.today;
    Timetable day = standing->open ? standing->open->timetable : *standing->result.timetable;
    if (arguments.command == Command::sheet) add_slips(*standing, day);
    return show(*reading.plan,
                {today, zone, *standing->result.expansion, standing->result.outcome, &day, &reading.sources, nullptr,
                 nullptr, remarks_on_what_waits(today, day, *standing), &standing->situation,
                 standing->open ? &*standing->open : nullptr, standing->result.broken},
                arguments);
}

/// Whoever prints the evening's day at noon is told so.
void tell_if_moved_on(const Arguments& arguments) {
    const char* command = shows_day(arguments.command);
    if (command == nullptr || !has_moved_on(arguments.plan)) return;
    write_error(fmt::format("oventide: this is the day as planned; as it stands now: oventide {} {} --replanned\n",
                            command, arguments.plan));
}

/// Needs no timetable, and says nothing of whether there is one.
ExitCode tell_allergens(const Reading& reading, const clock::Zone& zone, const Arguments& arguments) {
    const Outcome no_search;
    const report::Subject subject{*reading.plan, zone, *reading.expansion, no_search, nullptr, &reading.sources};
    const report::Style style = page_style(arguments.width, arguments.ascii);
    return print(arguments.json ? report::allergens_json(subject) : report::allergens_text(subject, style),
                 ExitCode::timetable);
}

}  // namespace

ExitCode run(const Arguments& arguments) {
    if (arguments.command == Command::begin) return begin_plan(arguments);
    if (arguments.command == Command::chill && arguments.plan.empty()) return ask_chill(nullptr, arguments);
    const Reading reading = read(arguments.plan);
    if (!reading.expansion) return refuse_plan(reading, arguments);
    if (!arguments.json) print_diagnostics(reading);  // cautions
    if (arguments.command == Command::check) return approve_plan(reading, arguments);
    if (arguments.command == Command::chill) return ask_chill(&reading, arguments);

    if (const std::string wrong = objection(*reading.plan, arguments); !wrong.empty()) {
        write_error(wrong);
        return ExitCode::wrong;
    }

    if (is_of_the_day(arguments.command)) return run_day(reading, arguments);
    const auto zone = clock::Zone::find(reading.plan->timezone);
    if (arguments.replanned) return show_replanned(reading, *zone, arguments);
    if (arguments.command == Command::allergens) return tell_allergens(reading, *zone, arguments);
    const Answer answer = search(reading, arguments);
    if (!answer.violations.empty()) return confess(reading, answer.violations);
    if (arguments.command == Command::publish && answer.timetable) return publish(reading, answer, arguments);
    report::Subject subject{
        *reading.plan,   *zone, *reading.expansion, answer.outcome, answer.timetable ? &*answer.timetable : nullptr,
        &reading.sources};
    if (answer.timetable) subject.chills = chill::remarks(*reading.plan, *answer.timetable);
    if (!answer.timetable) return explain(subject, arguments);
    if (arguments.command == Command::ways) return print_gains(subject, arguments);
    tell_if_moved_on(arguments);
    return show(*reading.plan, subject, arguments);
}

}  // namespace oventide::cli
