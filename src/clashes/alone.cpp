#include "clashes/alone.hpp"

#include <algorithm>

#include "oventide/scheduler.hpp"

namespace oventide::clashes {
namespace {

/// Enough for one component; a clash report is no place for a long search.
constexpr std::int64_t kSchedules = 40;

/// The latest start of every activity that time lags and dues allow, resources left aside: where "its pickup" is for
/// a component that goes into others. Found by pushing deadlines back until nothing changes; the passes are limited,
/// since lags that contradict each other would push for ever.
std::vector<Time> latest_starts(const Project& project) {
    std::vector<Time> latest;
    for (const Activity& activity : project.activities)
        latest.push_back(std::min(activity.due, project.horizon) - activity.duration);
    bool changed = true;
    for (std::size_t pass = 0; changed && pass <= project.activities.size(); ++pass) {
        changed = false;
        for (auto lag = project.lags.rbegin(); lag != project.lags.rend(); ++lag) {
            if (latest[lag->from] <= latest[lag->to] - lag->lag) continue;
            latest[lag->from] = latest[lag->to] - lag->lag;
            changed = true;
        }
    }
    return latest;
}

/// The project of one component. What is outside stands still at its latest start.
class Excerpt {
public:
    Excerpt(const Expansion& expansion, const std::vector<Time>& latest, ComponentIndex component, bool strict)
        : whole_(expansion.project), latest_(latest), strict_(strict), index_(whole_.activities.size(), -1) {
        project_.resources = whole_.resources;
        project_.settings = whole_.settings;
        project_.attended = whole_.attended;
        project_.reset_after = whole_.reset_after;
        project_.horizon = whole_.horizon;
        project_.goals = whole_.goals;
        for (ActivityId id = 0; id < static_cast<ActivityId>(whole_.activities.size()); ++id)
            if (expansion.batches[expansion.tasks[id].batch].component == component) add(id);
        inside_ = ids_.size();
        for (std::size_t k = 0; k < inside_; ++k) bind(static_cast<ActivityId>(k));
        add_lags();
        add_goals();
    }

    const Project& project() const { return project_; }
    std::size_t inside() const { return inside_; }
    ActivityId original(std::size_t k) const { return ids_[k]; }

private:
    void add(ActivityId id) {
        index_[id] = static_cast<ActivityId>(ids_.size());
        ids_.push_back(id);
        Activity copy = whole_.activities[id];
        copy.due = std::min(copy.due, latest_[id] + copy.duration);
        copy.due_promise = kNoPromise;
        if (!strict_) copy.keep = kNever;
        project_.activities.push_back(std::move(copy));
    }

    /// A user of another component, as a mark in time.
    ActivityId mark(ActivityId id) {
        if (index_[id] >= 0) return index_[id];
        index_[id] = static_cast<ActivityId>(ids_.size());
        ids_.push_back(id);
        Activity stub;
        stub.name = whole_.activities[id].name;
        stub.release = latest_[id];
        stub.due = latest_[id];
        project_.activities.push_back(stub);
        return index_[id];
    }

    void bind(ActivityId k) {
        for (std::size_t u = 0; u < project_.activities[k].users.size(); ++u) {
            const ActivityId user = mark(project_.activities[k].users[u]);
            project_.activities[k].users[u] = user;
        }
        for (std::size_t d = 0; d < project_.activities[k].demands.size(); ++d) {
            for (std::size_t u = 0; u < project_.activities[k].demands[d].held_until.size(); ++u) {
                const ActivityId user = mark(project_.activities[k].demands[d].held_until[u]);
                project_.activities[k].demands[d].held_until[u] = user;
            }
        }
    }

    bool is_inside(ActivityId id) const { return index_[id] >= 0 && index_[id] < static_cast<ActivityId>(inside_); }

    void add_lags() {
        for (const Lag& lag : whole_.lags) {
            if (is_inside(lag.from) && is_inside(lag.to))
                project_.lags.push_back({index_[lag.from], index_[lag.to], lag.lag, kNoPromise});
            else if (strict_ && is_inside(lag.to) && lag.lag < 0)  // within so long of its user, which stands still
                project_.activities[index_[lag.to]].release =
                    std::max(project_.activities[index_[lag.to]].release, latest_[lag.from] + lag.lag);
        }
    }

    void add_goals() {
        for (const WaitLink& link : whole_.links) {
            if (!is_inside(link.maker)) continue;
            WaitLink copy = link;
            copy.maker = index_[link.maker];
            if (link.user >= 0 && !is_inside(link.user)) copy.time = latest_[link.user];
            copy.user = link.user >= 0 && is_inside(link.user) ? index_[link.user] : -1;
            project_.links.push_back(copy);
        }
    }

    const Project& whole_;
    const std::vector<Time>& latest_;
    bool strict_;
    Project project_;
    std::vector<ActivityId> index_;  ///< of the whole project's activities in this one; -1: not in it
    std::vector<ActivityId> ids_;    ///< the other way
    std::size_t inside_ = 0;
};

}  // namespace

Schedule plan_alone(const Expansion& expansion) {
    const Project& project = expansion.project;
    const std::vector<Time> latest = latest_starts(project);
    Schedule alone;
    alone.start = latest;  // where even alone there is no timetable: as late as its windows allow
    alone.chosen.resize(project.activities.size());
    for (std::size_t id = 0; id < project.activities.size(); ++id)
        for (const Demand& demand : project.activities[id].demands) alone.chosen[id].push_back(demand.choices.front());

    ComponentIndex components = 0;
    for (const Batch& batch : expansion.batches) components = std::max(components, batch.component + 1);
    SearchOptions options;
    options.schedules = kSchedules;
    for (ComponentIndex component = 0; component < components; ++component) {
        for (const bool strict : {true, false}) {
            const Excerpt excerpt(expansion, latest, component, strict);
            if (excerpt.inside() == 0) break;
            const Outcome outcome = solve(excerpt.project(), options);
            if (!outcome.schedule) continue;
            for (std::size_t k = 0; k < excerpt.inside(); ++k) {
                alone.start[excerpt.original(k)] = outcome.schedule->start[k];
                alone.chosen[excerpt.original(k)] = outcome.schedule->chosen[k];
            }
            break;
        }
    }
    complete(project, alone);
    return alone;
}

}  // namespace oventide::clashes
