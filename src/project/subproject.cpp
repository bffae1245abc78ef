#include "project/subproject.hpp"

#include <algorithm>
#include <utility>

#include "project/attendance.hpp"

namespace oventide {
namespace {

bool can_wake(const Project& project) {
    return std::ranges::any_of(project.resources, [](const Resource& resource) {
        return resource.wakes || (resource.has_state && !resource.state.self_starting);
    });
}

Time longest_transition(const StateRules& rules) {
    Time longest = 0;
    for (const auto& row : rules.transition)
        for (const Time time : row) longest = std::max(longest, time);
    return longest;
}

Time longest_startup(const StateRules& rules) {
    return rules.startup.empty() ? 0 : *std::ranges::max_element(rules.startup);
}

/// How long after the start the last stage ends.
Time length_of(const Demand& demand) {
    Time length = 0;
    for (const Stage& stage : demand.stages) length += stage.lasts;
    return length;
}

class Divider {
public:
    Divider(const Project& project, const Schedule& schedule, const Division& division)
        : project_(project),
          schedule_(schedule),
          division_(division),
          count_(static_cast<ActivityId>(project.activities.size())),
          watched_(project.resources.size()),
          new_id_(project.activities.size(), -1) {}

    std::optional<Subproject> run() {
        if (!division_.held_is_right && !held_times_hold()) return {};
        find_reach();
        choose_members();
        find_origin_and_horizon();
        if (!take_capacities()) return {};
        sub_.project.settings = project_.settings;
        sub_.project.reset_after = project_.reset_after;
        take_attendance();
        take_activities();
        if (!take_lags()) return {};
        take_freshness();
        take_links();
        take_goals();
        sub_.of.resize(sub_.project.activities.size(), -1);
        const bool room = std::ranges::all_of(sub_.project.activities, [](const Activity& activity) {
            return activity.release <= activity.due - activity.duration;
        });
        return room ? std::optional(std::move(sub_)) : std::nullopt;
    }

private:
    /// A demand that stays one of the part.
    struct Member {
        ActivityId id = 0;
        std::vector<char> keeps;  ///< by demand
    };

    bool free(ActivityId id) const { return division_.free[id] != 0; }
    bool any_free(const std::vector<ActivityId>& ids) const {
        return std::ranges::any_of(ids, [&](ActivityId id) { return free(id); });
    }
    /// Its end hangs on something free.
    bool is_open(const Activity& activity) const { return activity.stretchable && any_free(activity.users); }
    bool is_open(const Activity& activity, const Demand& demand) const {
        const bool by_end = demand.from.of == Moment::Of::end || demand.to.of == Moment::Of::end;
        return any_free(demand.held_until) || (by_end && is_open(activity));
    }
    Interval busy(ActivityId id, std::size_t k) const {
        return demand_interval(project_, schedule_, id, static_cast<int>(k));
    }
    Time ready(ActivityId id) const { return schedule_.start[id] + project_.activities[id].duration; }

    // -------------------------------------------------------------------------------------- what is held

    bool held_times_hold() const {
        for (ActivityId id = 0; id < count_; ++id) {
            if (free(id)) continue;
            const Activity& activity = project_.activities[id];
            if (schedule_.start[id] < activity.release || ready(id) > activity.due) return false;
            if (schedule_.start[id] < 0 || ready(id) > project_.horizon) return false;
            if (is_open(activity)) continue;
            if (schedule_.end[id] > project_.horizon) return false;
            if (activity.stretchable && schedule_.end[id] - ready(id) > activity.keep) return false;
        }
        return true;
    }

    // ------------------------------------------------------------------------------------------- members

    /// The latest moment that something open or free may reach, and the resources with a state that it may touch.
    void find_reach() {
        reach_ = division_.range ? division_.range->to : project_.horizon;
        Time beyond = 0;
        for (ActivityId id = 0; id < count_; ++id) {
            const Activity& activity = project_.activities[id];
            if (!free(id) && !is_open(activity) &&
                std::ranges::none_of(activity.demands, [&](const Demand& d) { return is_open(activity, d); }))
                continue;
            reach_ = std::max(reach_, activity.held_until);
            for (const ActivityId user : activity.users)
                if (!free(user)) reach_ = std::max(reach_, schedule_.start[user]);
            for (std::size_t k = 0; k < activity.demands.size(); ++k) {
                const Demand& demand = activity.demands[k];
                for (const ActivityId user : demand.held_until)
                    if (!free(user)) reach_ = std::max(reach_, schedule_.start[user]);
                beyond = std::max({beyond, demand.to.offset, length_of(demand)});
                if (free(id))
                    for (const ResourceId choice : demand.choices) watch(choice);
                else if (is_open(activity, demand))
                    watch(schedule_.chosen[id][k]);
            }
        }
        reach_ += beyond;
        if (!division_.held_is_right)
            for (ResourceId id = 0; id < static_cast<ResourceId>(project_.resources.size()); ++id) watch(id);
        if (!division_.range) return;
        for (ResourceId id = 0; id < static_cast<ResourceId>(project_.resources.size()); ++id)
            if (watched_[id]) watched_[id] = cut(id);
    }

    void watch(ResourceId id) {
        if (!project_.resources[id].has_state || watched_[id]) return;
        watched_[id] = Interval{-kNever, kNever};
    }

    struct Visit {
        Time start = 0;
        Time end = 0;
        SettingId first = 0;
    };

    /// The stretch of a resource's day that can matter. Before it, everything has ended, long enough ago, when a visit
    /// begins that might be the day's first; it ends with a visit before which all that is free has long ended.
    Interval cut(ResourceId id) const {
        Interval cut{-kNever, kNever};
        const Time apart = longest_transition(project_.resources[id].state);
        Time ended = -kNever;
        for (const Visit& visit : visits_to(id)) {
            if (visit.start <= division_.range->from - apart && ended <= visit.start && may_begin(id, visit))
                cut.from = visit.start;
            if (visit.start >= reach_ + apart) {
                cut.to = visit.start;
                break;
            }
            ended = std::max(ended, visit.end);
        }
        return cut;
    }

    std::vector<Visit> visits_to(ResourceId id) const {
        std::vector<Visit> visits;
        for (ActivityId activity = 0; activity < count_; ++activity) {
            const auto& demands = project_.activities[activity].demands;
            for (std::size_t k = 0; k < demands.size(); ++k) {
                if (demands[k].stages.empty() || schedule_.chosen[activity][k] != id) continue;
                const Interval when = busy(activity, k);
                const Time start = schedule_.start[activity];
                if (when.from < when.to)
                    visits.push_back(
                        {start, std::max(when.to, start + length_of(demands[k])), demands[k].stages.front().setting});
            }
        }
        std::ranges::stable_sort(visits, {}, &Visit::start);
        return visits;
    }

    /// With nothing before it, the resource would be switched on for it, and could be.
    bool may_begin(ResourceId id, const Visit& visit) const {
        const StateRules& rules = project_.resources[id].state;
        const Time on = visit.start - rules.startup[visit.first];
        if (on < 0) return false;
        return rules.self_starting || (attended(project_, on) && !left_alone(project_, on, visit.start));
    }

    void choose_members() {
        for (ActivityId id = 0; id < count_; ++id) {
            const Activity& activity = project_.activities[id];
            Member member{id, std::vector<char>(activity.demands.size(), free(id))};
            bool in = free(id) || is_open(activity);
            for (std::size_t k = 0; k < activity.demands.size(); ++k) {
                if (!free(id)) member.keeps[k] = is_open(activity, activity.demands[k]) || meets(id, k);
                in = in || member.keeps[k];
            }
            if (!in) continue;
            new_id_[id] = static_cast<ActivityId>(members_.size());
            members_.push_back(std::move(member));
        }
    }

    /// A held demand on a resource whose states the part decides.
    bool meets(ActivityId id, std::size_t k) const {
        const auto& cut = watched_[schedule_.chosen[id][k]];
        if (!cut) return false;
        const Interval when = busy(id, k);
        if (when.from >= when.to) return false;
        if (project_.activities[id].demands[k].stages.empty()) return when.to > cut->from && when.from < cut->to;
        return schedule_.start[id] >= cut->from && schedule_.start[id] <= cut->to;
    }

    bool keeps(ActivityId id, std::size_t k) const { return new_id_[id] >= 0 && members_[new_id_[id]].keeps[k] != 0; }

    // --------------------------------------------------------------------------------------------- times

    void find_origin_and_horizon() {
        if (!division_.range) {
            sub_.project.horizon = end_ = project_.horizon;
            return;
        }
        Time origin = division_.range->from - longest_lead();
        end_ = reach_;
        Time last = std::min(reach_, project_.horizon);
        for (const Member& member : members_) {
            if (free(member.id)) continue;
            origin = std::min(origin, schedule_.start[member.id]);
            last = std::max(last, schedule_.end[member.id]);
            for (std::size_t k = 0; k < member.keeps.size(); ++k) {
                if (!member.keeps[k]) continue;
                const Demand& demand = project_.activities[member.id].demands[k];
                origin = std::min(origin, busy(member.id, k).from);
                end_ = std::max({end_, busy(member.id, k).to, schedule_.start[member.id] + length_of(demand)});
            }
        }
        for (std::size_t id = 0; id < watched_.size(); ++id)
            if (watched_[id] && watched_[id]->from > -kNever)
                origin = std::min(origin, watched_[id]->from - longest_startup(project_.resources[id].state));
        for (const StartUp& start_up : schedule_.start_ups) {
            const auto& cut = watched_[start_up.resource];
            if (cut && start_up.ready >= cut->from && start_up.ready <= cut->to) origin = std::min(origin, start_up.at);
        }
        for (const Freshness& food : project_.freshness)
            if (any_free(food.makers) || any_free(food.users))
                for (const ActivityId maker : food.makers)
                    if (!free(maker)) origin = std::min(origin, ready(maker));
        if (alarm_of_all_else() == kNever || !can_wake(project_)) origin = std::min(origin, first_of_all_else());
        sub_.origin = std::max(0, origin);
        sub_.project.horizon = last - sub_.origin;
        end_ = std::max(end_, last);
    }

    /// How long before its start something free may want a resource, or one to be switched on.
    Time longest_lead() const {
        Time lead = 0;
        for (const Member& member : members_) {
            if (!free(member.id)) continue;
            for (const Demand& demand : project_.activities[member.id].demands)
                lead = std::max(lead, -demand.from.offset);
        }
        for (std::size_t id = 0; id < watched_.size(); ++id)
            if (watched_[id]) lead = std::max(lead, longest_startup(project_.resources[id].state));
        return lead;
    }

    void take_attendance() {
        for (const Interval& interval : project_.attended) {
            const Time from = std::max(interval.from - sub_.origin, 0);
            if (interval.from > end_) break;
            if (interval.to - sub_.origin > from) sub_.project.attended.push_back({from, interval.to - sub_.origin});
        }
    }

    // ---------------------------------------------------------------------------------------- capacities

    struct Load {
        Time at = 0;
        std::int32_t amount = 0;
    };

    /// False where what is held takes more than there is.
    bool take_capacities() {
        std::vector<std::vector<Load>> loads(project_.resources.size());
        for (ActivityId id = 0; id < count_; ++id) {
            for (std::size_t k = 0; k < project_.activities[id].demands.size(); ++k) {
                if (free(id) || keeps(id, k)) continue;
                const Interval when = busy(id, k);
                if (when.from >= when.to) continue;
                if (when.from < 0) return false;
                if (when.to <= sub_.origin || (division_.range && when.from > end_)) continue;
                const std::int32_t amount = project_.activities[id].demands[k].amount;
                loads[schedule_.chosen[id][k]].push_back({std::max(when.from, sub_.origin), -amount});
                loads[schedule_.chosen[id][k]].push_back({when.to, amount});
            }
        }
        for (std::size_t id = 0; id < loads.size(); ++id) {
            Resource resource = project_.resources[id];
            for (std::size_t s = 0; s < resource.capacity.size(); ++s) {
                const std::int32_t before = s == 0 ? 0 : resource.capacity[s - 1].capacity;
                loads[id].push_back(
                    {std::max(resource.capacity[s].from, sub_.origin), resource.capacity[s].capacity - before});
            }
            std::ranges::stable_sort(loads[id], {}, &Load::at);
            resource.capacity.clear();
            if (!add_up(loads[id], resource.capacity)) return false;
            sub_.project.resources.push_back(std::move(resource));
        }
        return true;
    }

    bool add_up(const std::vector<Load>& loads, std::vector<CapacityStep>& steps) const {
        std::int32_t left = 0;
        for (std::size_t k = 0; k < loads.size(); ++k) {
            left += loads[k].amount;
            if (k + 1 < loads.size() && loads[k + 1].at == loads[k].at) continue;
            if (left < 0) return false;
            if (!steps.empty() && steps.back().capacity == left) continue;
            if (division_.range && !steps.empty() && loads[k].at > end_) break;
            steps.push_back({loads[k].at - sub_.origin, left});
        }
        return true;
    }

    // ---------------------------------------------------------------------------------------- activities

    void take_activities() {
        for (const Member& member : members_) {
            sub_.of.push_back(member.id);
            sub_.project.activities.push_back(window_of(member.id));
        }
        for (const Member& member : members_) take_demands(member);  // stands-in come behind all members
    }

    /// The activity without its demands.
    Activity window_of(ActivityId id) const {
        const Activity& whole = project_.activities[id];
        Activity activity;
        activity.name = whole.name;
        activity.duration = whole.duration;
        activity.stretchable = whole.stretchable;
        activity.keep = whole.keep;
        activity.due_promise = whole.due_promise;
        activity.keep_promise = whole.keep_promise;
        activity.release_promise = whole.release_promise;
        Time held_until = whole.held_until;
        for (const ActivityId user : whole.users) {
            if (free(user))
                activity.users.push_back(new_id_[user]);
            else
                held_until = std::max(held_until, schedule_.start[user]);
        }
        activity.held_until = std::max(-1, held_until - sub_.origin);
        Interval window{whole.release, whole.due};
        if (!free(id)) {
            window = {schedule_.start[id], ready(id)};
        } else if (division_.range) {
            Time beyond = 0;
            for (const Demand& demand : whole.demands) beyond = std::max(beyond, length_of(demand) - whole.duration);
            window.from = std::max(window.from, division_.range->from);
            window.to = std::min(window.to, division_.range->to - beyond);
        }
        activity.release = std::max(0, window.from - sub_.origin);
        activity.due = window.to >= kNever ? kNever : window.to - sub_.origin;
        return activity;
    }

    void take_demands(const Member& member) {
        for (std::size_t k = 0; k < member.keeps.size(); ++k) {
            if (!member.keeps[k]) continue;
            Demand demand = project_.activities[member.id].demands[k];
            if (!free(member.id)) demand.choices = {schedule_.chosen[member.id][k]};
            std::vector<ActivityId> awaited;
            for (const ActivityId user : demand.held_until) {
                const ActivityId here = free(user) ? new_id_[user] : stand_in(schedule_.start[user]);
                if (here >= 0) awaited.push_back(here);
            }
            demand.held_until = std::move(awaited);
            sub_.project.activities[new_id_[member.id]].demands.push_back(std::move(demand));
        }
    }

    /// An activity that does nothing, at a moment of the whole; -1 where that is before the part begins.
    ActivityId stand_in(Time at) {
        if (at < sub_.origin) return -1;
        const auto same =
            std::ranges::find(stands_in_, at, [](const std::pair<Time, ActivityId>& entry) { return entry.first; });
        if (same != stands_in_.end()) return same->second;
        const auto id = static_cast<ActivityId>(sub_.project.activities.size());
        stands_in_.push_back({at, id});
        sub_.project.activities.push_back(moment_of("held", at));
        return id;
    }

    Activity moment_of(const std::string& name, Time at) {
        Activity activity;
        activity.name = name + " at minute " + std::to_string(at);
        activity.release = activity.due = at - sub_.origin;
        sub_.project.horizon = std::max(sub_.project.horizon, at - sub_.origin);
        return activity;
    }

    // ---------------------------------------------------------------------------------------------- lags

    /// False where two that are held contradict each other.
    bool take_lags() {
        for (const Lag& lag : project_.lags) {
            const Time from = schedule_.start[lag.from];
            const Time to = schedule_.start[lag.to];
            if (free(lag.from) && free(lag.to)) {
                sub_.project.lags.push_back({new_id_[lag.from], new_id_[lag.to], lag.lag, lag.promise});
            } else if (free(lag.to)) {
                Time& release = sub_.project.activities[new_id_[lag.to]].release;
                release = std::max(release, from + lag.lag - sub_.origin);
            } else if (free(lag.from)) {
                Activity& activity = sub_.project.activities[new_id_[lag.from]];
                activity.due = std::min(activity.due, to - lag.lag + activity.duration - sub_.origin);
            } else if (to < from + lag.lag) {
                return false;
            }
        }
        return true;
    }

    // --------------------------------------------------------------------------------------------- goals

    void take_freshness() {
        for (const Freshness& food : project_.freshness) {
            if (!any_free(food.makers) && !any_free(food.users)) continue;
            Freshness here;
            here.best_within = food.best_within;
            Time last_time = food.last_time;
            for (const ActivityId maker : food.makers)
                here.makers.push_back(free(maker) ? new_id_[maker] : stand_in(ready(maker)));
            for (const ActivityId user : food.users) {
                if (free(user))
                    here.users.push_back(new_id_[user]);
                else
                    last_time = std::max(last_time, schedule_.start[user]);
            }
            here.last_time = std::max(-1, last_time - sub_.origin);
            std::ranges::sort(here.makers);
            here.makers.erase(std::ranges::unique(here.makers).begin(), here.makers.end());
            sub_.project.freshness.push_back(std::move(here));
        }
    }

    /// When a held maker was ready is a constant: any moment will do.
    void take_links() {
        for (const WaitLink& link : project_.links) {
            const bool user_is_free = link.user >= 0 && free(link.user);
            if (!free(link.maker) && !user_is_free) continue;
            WaitLink here;
            here.weight = link.weight;
            here.maker = free(link.maker) ? new_id_[link.maker] : stand_in(std::max(sub_.origin, ready(link.maker)));
            if (user_is_free)
                here.user = new_id_[link.user];
            else
                here.time = (link.user >= 0 ? schedule_.start[link.user] : link.time) - sub_.origin;
            sub_.project.links.push_back(here);
        }
    }

    void take_goals() {
        for (const Goal goal : project_.goals) {
            if (goal == Goal::alarm && !take_alarm()) continue;
            sub_.project.goals.push_back(goal);
        }
    }

    /// True: the part may still decide when the alarm goes off; then what is left out has somebody to stand in for it.
    bool take_alarm() {
        const Time alarm = alarm_of_all_else();
        const Time at = alarm == kNever ? first_of_all_else() : alarm;
        if (at < sub_.origin) return false;
        if (at == kNever) return true;
        Activity activity = moment_of("alarm", at);
        if (alarm != kNever) {
            Resource sleeper;
            sleeper.name = "whoever gets up for what is held";
            sleeper.capacity = {{0, 1}};
            sleeper.wakes = true;
            Demand demand;
            demand.choices = {static_cast<ResourceId>(sub_.project.resources.size())};
            demand.to = {Moment::Of::start, 1};
            activity.demands = {demand};
            sub_.project.resources.push_back(std::move(sleeper));
        }
        sub_.project.activities.push_back(std::move(activity));
        return true;
    }

    /// The first that somebody gets up for among what the part leaves out.
    Time alarm_of_all_else() const {
        Time earliest = kNever;
        for (ActivityId id = 0; id < count_; ++id) {
            if (free(id)) continue;
            for (std::size_t k = 0; k < project_.activities[id].demands.size(); ++k) {
                if (keeps(id, k) || !project_.resources[schedule_.chosen[id][k]].wakes) continue;
                const Interval when = busy(id, k);
                if (when.from < when.to) earliest = std::min(earliest, when.from);
            }
        }
        for (const StartUp& start_up : schedule_.start_ups) {
            const auto& cut = watched_[start_up.resource];
            if (cut && start_up.ready >= cut->from && start_up.ready <= cut->to) continue;
            if (!project_.resources[start_up.resource].state.self_starting) earliest = std::min(earliest, start_up.at);
        }
        return earliest;
    }

    Time first_of_all_else() const {
        Time earliest = kNever;
        for (ActivityId id = 0; id < count_; ++id)
            if (new_id_[id] < 0) earliest = std::min(earliest, schedule_.start[id]);
        return earliest;
    }

    const Project& project_;
    const Schedule& schedule_;
    const Division& division_;
    const ActivityId count_;
    std::vector<std::optional<Interval>> watched_;  ///< by resource: its states are the part's, so long
    std::vector<Member> members_;
    std::vector<ActivityId> new_id_;  ///< by activity of the whole: in the part; -1: not in it
    std::vector<std::pair<Time, ActivityId>> stands_in_;
    Time reach_ = 0;  ///< of what is free or open
    Time end_ = 0;    ///< of every demand of the part
    Subproject sub_;
};

}  // namespace

std::optional<Subproject> subproject_of(const Project& project, const Schedule& schedule, const Division& division) {
    return Divider(project, schedule, division).run();
}

Schedule seen_from(const Subproject& sub, const Schedule& whole) {
    Schedule schedule;
    for (std::size_t id = 0; id < sub.of.size(); ++id) {
        const Activity& activity = sub.project.activities[id];
        schedule.start.push_back(sub.of[id] < 0 ? activity.release : whole.start[sub.of[id]] - sub.origin);
        auto& chosen = schedule.chosen.emplace_back();
        // What is free has all its demands in the part; what is held, and may not, has one choice for each.
        for (std::size_t k = 0; k < activity.demands.size(); ++k) {
            const auto& choices = activity.demands[k].choices;
            chosen.push_back(choices.size() == 1 ? choices.front() : whole.chosen[sub.of[id]][k]);
        }
    }
    complete(sub.project, schedule);
    return schedule;
}

Schedule joined(const Project& project, Schedule whole, const Subproject& sub, const Schedule& of_sub) {
    for (std::size_t id = 0; id < sub.of.size(); ++id) {
        if (sub.of[id] < 0) continue;
        whole.start[sub.of[id]] = of_sub.start[id] + sub.origin;
        auto& chosen = whole.chosen[sub.of[id]];
        if (chosen.size() == of_sub.chosen[id].size()) chosen = of_sub.chosen[id];
    }
    complete(project, whole);
    return whole;
}

}  // namespace oventide
