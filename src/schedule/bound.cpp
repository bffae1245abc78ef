#include "schedule/bound.hpp"

#include <algorithm>
#include <map>
#include <utility>

namespace oventide::scheduling {
namespace {

Time latest_of(const Model& model, ActivityId id) { return model.units[model.unit_of[id]].latest + model.offset[id]; }
Time earliest_of(const Model& model, ActivityId id) {
    return model.units[model.unit_of[id]].earliest + model.offset[id];
}

/// No later than the latest start of each demand that wakes. -alarm is bounded from below by -(the least of them).
std::int64_t alarm_bound(const Model& model) {
    const Project& project = *model.project;
    Time bound = kNever;
    bool someone_may_wake = false;
    Time first_start = kNever;
    for (ActivityId id = 0; id < static_cast<ActivityId>(project.activities.size()); ++id) {
        const Activity& activity = project.activities[id];
        first_start = std::min(first_start, latest_of(model, id));
        for (const Demand& demand : activity.demands) {
            for (const ResourceId choice : demand.choices)
                someone_may_wake = someone_may_wake || project.resources[choice].wakes ||
                                   (!demand.stages.empty() && !project.resources[choice].state.self_starting);
            // An interval that could be empty wakes nobody.
            const bool fixed = !activity.stretchable && demand.from.of == Moment::Of::start;
            const Time length = (demand.to.of == Moment::Of::end ? activity.duration : 0) + demand.to.offset;
            if (fixed && demand.from.offset < length && always_wakes(project, demand))
                bound = std::min(bound, latest_of(model, id) + demand.from.offset);
        }
    }
    if (bound == kNever && !someone_may_wake) bound = first_start;
    return -std::int64_t{bound};
}

std::int64_t overrun_bound(const Model& model) {
    std::int64_t sum = 0;
    for (const Freshness& food : model.project->freshness) {
        // Ready is the earliest of the makers' and so at most each maker's latest.
        Time ready = kNever;
        for (const ActivityId maker : food.makers)
            ready = std::min(ready, latest_of(model, maker) + model.project->activities[maker].duration);
        Time last_use = food.last_time;
        for (const ActivityId user : food.users) last_use = std::max(last_use, earliest_of(model, user));
        sum += std::max<std::int64_t>(0, std::int64_t{last_use} - ready - food.best_within);
    }
    return sum;
}

/// A user follows its maker by its window and by the lag between them.
std::int64_t waiting_bound(const Model& model) {
    std::map<std::pair<ActivityId, ActivityId>, Time> lags;
    for (const Lag& lag : model.project->lags) {
        const auto [entry, added] = lags.try_emplace({lag.from, lag.to}, lag.lag);
        if (!added) entry->second = std::max(entry->second, lag.lag);
    }
    std::int64_t sum = 0;
    for (const WaitLink& link : model.project->links) {
        const Time duration = model.project->activities[link.maker].duration;
        const Time until = link.user < 0 ? link.time : earliest_of(model, link.user);
        Time wait = until - latest_of(model, link.maker) - duration;
        if (const auto lag = lags.find({link.maker, link.user}); lag != lags.end())
            wait = std::max(wait, lag->second - duration);
        sum += link.weight * wait;
    }
    return sum;
}

}  // namespace

bool always_wakes(const Project& project, const Demand& demand) {
    return std::all_of(demand.choices.begin(), demand.choices.end(),
                       [&](ResourceId id) { return project.resources[id].wakes; });
}

Value lower_bound(const Model& model) {
    Value bound{};
    const auto& goals = model.project->goals;
    for (std::size_t i = 0; i < goals.size() && i < bound.size(); ++i) {
        if (goals[i] == Goal::overrun) bound[i] = overrun_bound(model);
        if (goals[i] == Goal::alarm) bound[i] = alarm_bound(model);
        if (goals[i] == Goal::waiting) bound[i] = waiting_bound(model);
    }
    return bound;
}

}  // namespace oventide::scheduling
