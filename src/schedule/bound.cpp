#include "schedule/bound.hpp"

#include <algorithm>
#include <iterator>
#include <map>
#include <optional>
#include <utility>
#include <vector>

namespace oventide::scheduling {
namespace {

Time latest_of(const Model& model, ActivityId id) { return model.units[model.unit_of[id]].latest + model.offset[id]; }
Time earliest_of(const Model& model, ActivityId id) {
    return model.units[model.unit_of[id]].earliest + model.offset[id];
}

/// An interval that is there whatever happens, as long as its activity is; nothing where it could be empty.
std::optional<Interval> fixed_interval(const Activity& activity, const Demand& demand) {
    const Interval interval{demand.from.offset,
                            (demand.to.of == Moment::Of::end ? activity.duration : 0) + demand.to.offset};
    const bool fixed = !activity.stretchable && demand.from.of == Moment::Of::start;
    return fixed && interval.from < interval.to ? std::optional(interval) : std::nullopt;
}

/// Work that has to be done by a deadline.
struct Job {
    Time deadline = 0;
    std::int64_t work = 0;
};

/// What some resources have to give together, summed up from time 0.
class Supply {
public:
    void add(const Resource& resource) {
        std::int32_t before = 0;
        for (const CapacityStep& step : resource.capacity) {
            steps_.push_back({step.from, step.capacity - before});
            before = step.capacity;
        }
    }

    /// Up to each of its steps; call it once all are there.
    void sum_up() {
        std::stable_sort(steps_.begin(), steps_.end(), [](const Step& a, const Step& b) { return a.from < b.from; });
        std::int64_t rate = 0;
        std::int64_t total = 0;
        for (std::size_t k = 0; k < steps_.size(); ++k) {
            if (k > 0) total += rate * (steps_[k].from - steps_[k - 1].from);
            rate += steps_[k].rate;
            steps_[k].rate = rate;
            steps_[k].total = total;
        }
    }

    std::int64_t until(Time time) const {
        const auto after = std::upper_bound(steps_.begin(), steps_.end(), time,
                                            [](Time t, const Step& step) { return t < step.from; });
        if (after == steps_.begin()) return 0;
        const Step& step = *std::prev(after);
        return step.total + step.rate * (time - step.from);
    }

    /// The latest time up to which there is no more than that.
    Time latest_with(std::int64_t most) const {
        const auto after = std::upper_bound(steps_.begin(), steps_.end(), most,
                                            [](std::int64_t m, const Step& step) { return m < step.total; });
        if (after == steps_.begin()) return 0;
        const Step& step = *std::prev(after);
        if (step.rate <= 0) return after == steps_.end() ? kNever : after->from;
        return static_cast<Time>(step.from + (most - step.total) / step.rate);
    }

private:
    struct Step {
        Time from = 0;
        std::int64_t rate = 0;
        std::int64_t total = 0;
    };
    std::vector<Step> steps_;
};

/// Energy (Baptiste, Le Pape and Nuijten, Constraint-Based Scheduling, 2001): whatever has to be done by a deadline has
/// to find room before it, so that the first of it cannot begin later than that leaves time for.
Time latest_beginning(std::vector<Job> jobs, const Supply& supply) {
    std::sort(jobs.begin(), jobs.end(), [](const Job& a, const Job& b) { return a.deadline < b.deadline; });
    Time latest = kNever;
    std::int64_t work = 0;
    for (const Job& job : jobs) {
        work += job.work;
        const std::int64_t before = supply.until(job.deadline) - work;
        if (before < 0) return 0;  // it does not fit at all
        latest = std::min(latest, supply.latest_with(before));
    }
    return latest;
}

/// All that somebody has to get up for, and everybody's hours together.
Time latest_waking(const Model& model) {
    const Project& project = *model.project;
    std::vector<Job> jobs;
    for (ActivityId id = 0; id < static_cast<ActivityId>(project.activities.size()); ++id) {
        for (const Demand& demand : project.activities[id].demands) {
            const auto interval = fixed_interval(project.activities[id], demand);
            if (interval && always_wakes(project, demand))
                jobs.push_back({latest_of(model, id) + interval->to,
                                std::int64_t{demand.amount} * (interval->to - interval->from)});
        }
    }
    Supply supply;
    for (const Resource& resource : project.resources)
        if (resource.wakes) supply.add(resource);
    supply.sum_up();
    return latest_beginning(std::move(jobs), supply);
}

/// The first start of what needs a resource, whichever is needed earliest.
Time latest_first_start(const Model& model) {
    const Project& project = *model.project;
    std::vector<std::vector<Job>> jobs(project.resources.size());
    std::vector<Time> head(project.resources.size(), kNever);  ///< at least so long after the start
    for (ActivityId id = 0; id < static_cast<ActivityId>(project.activities.size()); ++id) {
        for (const Demand& demand : project.activities[id].demands) {
            const auto interval = fixed_interval(project.activities[id], demand);
            if (!interval || demand.choices.size() > 1) continue;
            const ResourceId on = demand.choices.front();
            head[on] = std::min(head[on], interval->from);
            jobs[on].push_back(
                {latest_of(model, id) + interval->to, std::int64_t{demand.amount} * (interval->to - interval->from)});
        }
    }
    Time first = kNever;
    for (std::size_t id = 0; id < jobs.size(); ++id) {
        if (jobs[id].empty()) continue;
        Supply supply;
        supply.add(project.resources[id]);
        supply.sum_up();
        first = std::min(first, latest_beginning(std::move(jobs[id]), supply) - head[id]);
    }
    return first;
}

/// No later than the latest start of each demand that wakes, and than all of them together leave time for. -alarm is
/// bounded from below by -(the least of these).
std::int64_t alarm_bound(const Model& model) {
    const Project& project = *model.project;
    Time bound = latest_waking(model);
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
            const auto interval = fixed_interval(activity, demand);
            if (interval && always_wakes(project, demand))
                bound = std::min(bound, latest_of(model, id) + interval->from);
        }
    }
    if (bound == kNever && !someone_may_wake) bound = std::min(first_start, latest_first_start(model));
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
