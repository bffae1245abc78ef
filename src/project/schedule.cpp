#include "oventide/schedule.hpp"

#include <algorithm>

#include "project/attendance.hpp"

namespace oventide {
namespace {

Time end_of(const Activity& activity, Time start, const std::vector<Time>& starts) {
    Time end = start + activity.duration;
    if (!activity.stretchable) return end;
    end = std::max(end, activity.held_until);
    for (const ActivityId user : activity.users) end = std::max(end, starts[user]);
    return end;
}

struct Visit {
    Time start;
    Time end;
    SettingId first_setting;
};

std::vector<Visit> visits_to(const Project& project, const Schedule& schedule, ResourceId resource) {
    std::vector<Visit> visits;
    for (ActivityId id = 0; id < static_cast<ActivityId>(project.activities.size()); ++id) {
        const auto& demands = project.activities[id].demands;
        for (std::size_t k = 0; k < demands.size(); ++k) {
            if (demands[k].stages.empty() || schedule.chosen[id][k] != resource) continue;
            const Interval busy = demand_interval(project, schedule, id, static_cast<int>(k));
            if (busy.from >= busy.to) continue;
            visits.push_back({schedule.start[id], busy.to, demands[k].stages.front().setting});
        }
    }
    std::sort(visits.begin(), visits.end(), [](const Visit& a, const Visit& b) { return a.start < b.start; });
    return visits;
}

void add_start_ups(const Project& project, ResourceId resource, Schedule& schedule) {
    const auto visits = visits_to(project, schedule, resource);
    const auto& startup = project.resources[resource].state.startup;
    bool visited = false;
    Time idle_since = 0;
    for (auto visit = visits.begin(); visit != visits.end();) {
        const Time start = visit->start;
        const bool idle = !visited || idle_since <= start;
        if (idle && (!visited || left_alone(project, idle_since, start)))
            schedule.start_ups.push_back(
                {resource, start - startup[visit->first_setting], start, visit->first_setting});
        for (; visit != visits.end() && visit->start == start; ++visit) idle_since = std::max(idle_since, visit->end);
        visited = true;
    }
}

std::int64_t overrun(const Freshness& food, const Project& project, const Schedule& schedule) {
    Time ready = kNever;
    for (const ActivityId maker : food.makers)
        ready = std::min(ready, schedule.start[maker] + project.activities[maker].duration);
    Time last_use = food.last_time;
    for (const ActivityId user : food.users) last_use = std::max(last_use, schedule.start[user]);
    return std::max<std::int64_t>(0, std::int64_t{last_use} - ready - food.best_within);
}

std::int64_t total_overrun(const Project& project, const Schedule& schedule) {
    std::int64_t total = 0;
    for (const Freshness& food : project.freshness) total += overrun(food, project, schedule);
    return total;
}

Time earliest_waking(const Project& project, const Schedule& schedule) {
    Time earliest = kNever;
    for (std::size_t id = 0; id < project.activities.size(); ++id) {
        for (std::size_t k = 0; k < project.activities[id].demands.size(); ++k) {
            if (!project.resources[schedule.chosen[id][k]].wakes) continue;
            const Interval busy = demand_interval(project, schedule, static_cast<ActivityId>(id), static_cast<int>(k));
            if (busy.from < busy.to) earliest = std::min(earliest, busy.from);
        }
    }
    for (const StartUp& start_up : schedule.start_ups)
        if (!project.resources[start_up.resource].state.self_starting) earliest = std::min(earliest, start_up.at);
    if (earliest == kNever && !schedule.start.empty())
        earliest = *std::min_element(schedule.start.begin(), schedule.start.end());
    return earliest;
}

std::int64_t total_waiting(const Project& project, const Schedule& schedule) {
    std::int64_t total = 0;
    for (const WaitLink& link : project.links) {
        const Time until = link.user < 0 ? link.time : schedule.start[link.user];
        total += link.weight * (until - schedule.start[link.maker] - project.activities[link.maker].duration);
    }
    return total;
}

}  // namespace

Interval demand_interval(const Project& project, const Schedule& schedule, ActivityId id, int index) {
    const Demand& demand = project.activities[id].demands[index];
    const auto at = [&](const Moment& moment) {
        return (moment.of == Moment::Of::start ? schedule.start[id] : schedule.end[id]) + moment.offset;
    };
    Interval busy{at(demand.from), at(demand.to)};
    for (const ActivityId user : demand.held_until) busy.to = std::max(busy.to, schedule.start[user]);
    return busy;
}

void complete(const Project& project, Schedule& schedule) {
    schedule.end.resize(project.activities.size());
    for (std::size_t id = 0; id < project.activities.size(); ++id)
        schedule.end[id] = end_of(project.activities[id], schedule.start[id], schedule.start);
    schedule.start_ups.clear();
    for (ResourceId id = 0; id < static_cast<ResourceId>(project.resources.size()); ++id)
        if (project.resources[id].has_state) add_start_ups(project, id, schedule);
    std::stable_sort(schedule.start_ups.begin(), schedule.start_ups.end(), [](const StartUp& a, const StartUp& b) {
        return a.at != b.at ? a.at < b.at : a.resource < b.resource;
    });
}

Value evaluate(const Project& project, const Schedule& schedule) {
    Value value{};
    for (std::size_t i = 0; i < project.goals.size() && i < value.size(); ++i) {
        switch (project.goals[i]) {
            case Goal::overrun:
                value[i] = total_overrun(project, schedule);
                break;
            case Goal::alarm:
                value[i] = -std::int64_t{earliest_waking(project, schedule)};
                break;
            case Goal::waiting:
                value[i] = total_waiting(project, schedule);
                break;
        }
    }
    return value;
}

}  // namespace oventide
