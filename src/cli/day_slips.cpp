#include "cli/day_slips.hpp"

#include <algorithm>
#include <vector>

#include "oventide/check.hpp"
#include "oventide/expand.hpp"
#include "oventide/slack.hpp"

namespace oventide::cli {
namespace {

/// What is left, with every step that waits due by its pickup and never sooner than it is replanned. `extra`: by
/// activity, so much later.
Project due_later(const Standing& standing, const std::vector<Time>& extra) {
    Project project = standing.result.expansion->project;
    const Schedule& schedule = *standing.result.outcome.schedule;
    for (std::size_t id = 0; id < project.activities.size(); ++id) {
        Activity& activity = project.activities[id];
        if (standing.situation.steps[id].state != replan::State::waiting || activity.due >= kNever) continue;
        activity.due = std::max(activity.due + extra[id], schedule.start[id] + activity.duration);
    }
    return project;
}

/// By activity: how much later it is due were every margin nothing; empty where that cannot be told.
std::vector<Time> margins(const Plan& today) {
    const auto planned = expand(today).expansion;
    const Project without = without_margins(today);
    if (!planned || planned->project.activities.size() != without.activities.size()) return {};
    std::vector<Time> all;
    for (std::size_t id = 0; id < without.activities.size(); ++id)
        all.push_back(without.activities[id].due >= kNever
                          ? 0
                          : without.activities[id].due - planned->project.activities[id].due);
    return all;
}

std::optional<Minutes> told(Time slip) { return slip >= kNever ? std::nullopt : std::optional(Minutes{slip}); }

}  // namespace

void add_slips(const Standing& standing, Timetable& day) {
    if (standing.open || !standing.result.outcome.schedule) return;
    const Schedule& schedule = *standing.result.outcome.schedule;
    const auto& activities = standing.result.expansion->project.activities;
    const std::vector<Time> margin = margins(standing.situation.today);
    if (margin.size() != activities.size()) return;
    const Project to_margin = due_later(standing, std::vector<Time>(margin.size(), 0));
    const Project to_pickup = due_later(standing, margin);
    if (!check(to_margin, schedule).empty() || !check(to_pickup, schedule).empty()) return;
    const std::vector<Time> slips = total_float(to_margin, schedule), more = total_float(to_pickup, schedule);
    for (std::size_t id = 0; id < activities.size(); ++id) {
        const auto row = std::ranges::find(day.rows, activities[id].name, &Row::id);
        if (row == day.rows.end() || standing.situation.steps[id].state != replan::State::waiting) continue;
        row->slip = told(slips[id]);
        row->slip_to_pickup = told(more[id]);
    }
}

}  // namespace oventide::cli
