#include "ways/trial.hpp"

#include "oventide/check.hpp"

namespace oventide::ways {
namespace {

SearchOptions options_of(const Effort& effort) {
    SearchOptions options;
    options.schedules = effort.schedules;
    options.nodes = effort.nodes;
    options.seed = effort.seed;
    options.stop = effort.stop;
    return options;
}

/// Without goals the search stops at its first schedule.
Outcome find_any(Project project, const Effort& effort) {
    project.goals.clear();
    project.freshness.clear();
    project.links.clear();
    return solve(project, options_of(effort));
}

Trial::Verdict verdict_of(const Outcome& outcome) {
    if (outcome.schedule) return Trial::Verdict::possible;
    return outcome.infeasible ? Trial::Verdict::impossible : Trial::Verdict::undecided;
}

}  // namespace

Trial try_any(const Plan& plan, const Effort& effort) {
    const auto expansion = expand(plan).expansion;
    if (!expansion) return {Trial::Verdict::impossible, {}};
    return {verdict_of(find_any(expansion->project, effort)), {}};
}

Trial try_well(const Plan& plan, const Effort& effort) {
    const auto expansion = expand(plan).expansion;
    if (!expansion) return {Trial::Verdict::impossible, {}};
    Outcome outcome = solve(expansion->project, options_of(effort));
    if (!outcome.schedule && !outcome.infeasible) {
        outcome.schedule = find_any(expansion->project, effort).schedule;
        if (outcome.schedule) outcome.value = evaluate(expansion->project, *outcome.schedule);
    }
    if (!outcome.schedule) return {verdict_of(outcome), {}};
    Timetable timetable = make_timetable(plan, *expansion, outcome, {});
    if (!check(expansion->project, *outcome.schedule).empty() || !check(plan, timetable).empty())
        return {Trial::Verdict::undecided, {}};  // never offered on the strength of a wrong timetable
    return {Trial::Verdict::possible, std::move(timetable)};
}

}  // namespace oventide::ways
