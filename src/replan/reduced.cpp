#include "replan/reduced.hpp"

#include <algorithm>
#include <optional>
#include <utility>

#include "oventide/schedule.hpp"

namespace oventide::replan {
namespace {

bool silent(const Demand& demand) {
    return demand.held_until.empty() && demand.from.of == demand.to.of && demand.from.offset >= demand.to.offset;
}

class Reducer {
public:
    explicit Reducer(const Project& project)
        : project_(project), count_(static_cast<ActivityId>(project.activities.size())), gone_(count_, 0) {}

    Outcome solve(const SearchOptions& options) {
        for (ActivityId id = 0; id < count_; ++id) {
            const Activity& activity = project_.activities[id];
            if (activity.release > activity.due - activity.duration) return none();
            gone_[id] = is_settled(activity);
        }
        keep_what_goals_name();
        while (keep_what_is_open()) {
        }
        place();
        if (!reduce()) return none();
        return widened(oventide::solve(reduced_, options));
    }

private:
    static Outcome none() {
        Outcome outcome;
        outcome.infeasible = true;
        return outcome;
    }

    static bool is_settled(const Activity& activity) {
        return activity.release == activity.due - activity.duration &&
               std::ranges::all_of(activity.demands, [](const Demand& demand) {
                   return silent(demand) || (demand.choices.size() == 1 && demand.stages.empty());
               });
    }

    void keep_what_goals_name() {
        const auto keep = [&](ActivityId id) {
            if (id >= 0) gone_[id] = 0;
        };
        for (const Freshness& food : project_.freshness) {
            std::ranges::for_each(food.makers, keep);
            std::ranges::for_each(food.users, keep);
        }
        for (const WaitLink& link : project_.links) {
            keep(link.maker);
            keep(link.user);
        }
        if (std::ranges::find(project_.goals, Goal::alarm) == project_.goals.end()) return;
        for (ActivityId id = 0; id < count_; ++id)  // the alarm may be that of any that wakes somebody
            for (const Demand& demand : project_.activities[id].demands)
                if (!silent(demand) && project_.resources[demand.choices.front()].wakes) keep(id);
    }

    /// Whose end, or whose demand's end, is not settled; and what a demand that stays in waits for.
    bool keep_what_is_open() {
        const auto gone = gone_;
        const auto stays = [&](ActivityId id) { return !gone_[id]; };
        for (ActivityId id = 0; id < count_; ++id) {
            const Activity& activity = project_.activities[id];
            if (gone_[id]) {
                bool open = activity.stretchable && std::ranges::any_of(activity.users, stays);
                for (const Demand& demand : activity.demands)
                    open = open || std::ranges::any_of(demand.held_until, stays);
                gone_[id] = !open;
            } else {
                for (const Demand& demand : activity.demands)
                    for (const ActivityId other : demand.held_until) gone_[other] = 0;
            }
        }
        return gone != gone_;
    }

    /// What is gone stands at its start; of the rest nothing that is gone depends on.
    void place() {
        for (const Activity& activity : project_.activities) {
            placed_.start.push_back(activity.release);
            auto& chosen = placed_.chosen.emplace_back();
            for (const Demand& demand : activity.demands) chosen.push_back(demand.choices.front());
        }
        complete(project_, placed_);
    }

    /// False where what is settled contradicts itself.
    bool reduce() {
        reduced_ = project_;
        reduced_.activities.clear();
        reduced_.lags.clear();
        for (ActivityId id = 0; id < count_; ++id) {
            new_id_.push_back(gone_[id] ? -1 : static_cast<ActivityId>(ids_.size()));
            if (!gone_[id]) ids_.push_back(id);
        }
        for (const ActivityId id : ids_) reduced_.activities.push_back(renumbered(project_.activities[id]));
        for (ActivityId id = 0; id < count_; ++id)
            if (gone_[id] && !take_off(id)) return false;
        for (const Lag& lag : project_.lags)
            if (!keep_lag(lag)) return false;
        for (Freshness& food : reduced_.freshness) {
            renumber(food.makers);
            renumber(food.users);
        }
        for (WaitLink& link : reduced_.links) {
            link.maker = new_id_[link.maker];
            if (link.user >= 0) link.user = new_id_[link.user];
        }
        return std::ranges::all_of(reduced_.activities, [](const Activity& activity) {
            return activity.release <= activity.due - activity.duration;
        });
    }

    void renumber(std::vector<ActivityId>& ids) const {
        for (ActivityId& id : ids) id = new_id_[id];
    }

    Activity renumbered(Activity activity) const {
        for (const ActivityId user : activity.users)
            if (gone_[user]) activity.held_until = std::max(activity.held_until, placed_.start[user]);
        std::erase_if(activity.users, [&](ActivityId user) { return gone_[user] != 0; });
        renumber(activity.users);
        for (Demand& demand : activity.demands) renumber(demand.held_until);
        return activity;
    }

    bool take_off(ActivityId id) {
        const Activity& activity = project_.activities[id];
        const Time ready = placed_.start[id] + activity.duration;
        if (placed_.start[id] < 0 || placed_.end[id] > project_.horizon) return false;
        if (activity.stretchable && placed_.end[id] - ready > activity.keep) return false;
        for (std::size_t k = 0; k < activity.demands.size(); ++k) {
            const Interval busy = demand_interval(project_, placed_, id, static_cast<int>(k));
            if (busy.from >= busy.to) continue;
            if (busy.from < 0 || !take(placed_.chosen[id][k], busy, activity.demands[k].amount)) return false;
        }
        return true;
    }

    bool take(ResourceId id, Interval when, std::int32_t amount) {
        auto& steps = reduced_.resources[id].capacity;
        for (const Time edge : {when.from, when.to}) {
            const auto after = std::ranges::upper_bound(steps, edge, {}, &CapacityStep::from);
            if (std::prev(after)->from != edge) steps.insert(after, {edge, std::prev(after)->capacity});
        }
        for (CapacityStep& step : steps) {
            if (step.from < when.from || step.from >= when.to) continue;
            step.capacity -= amount;
            if (step.capacity < 0) return false;
        }
        return true;
    }

    bool keep_lag(const Lag& lag) {
        if (gone_[lag.from] && gone_[lag.to]) return placed_.start[lag.to] >= placed_.start[lag.from] + lag.lag;
        if (gone_[lag.from]) {
            Time& release = reduced_.activities[new_id_[lag.to]].release;
            release = std::max(release, placed_.start[lag.from] + lag.lag);
        } else if (gone_[lag.to]) {
            Activity& activity = reduced_.activities[new_id_[lag.from]];
            activity.due = std::min(activity.due, placed_.start[lag.to] - lag.lag + activity.duration);
        } else {
            reduced_.lags.push_back({new_id_[lag.from], new_id_[lag.to], lag.lag, lag.promise});
        }
        return true;
    }

    Outcome widened(Outcome outcome) {
        outcome.contradiction.clear();
        for (Obstacle& obstacle : outcome.obstacles) {
            obstacle.activity = ids_[obstacle.activity];
            for (ActivityId& holder : obstacle.holders) holder = ids_[holder];
        }
        if (!outcome.schedule) return outcome;
        Schedule whole = placed_;
        for (std::size_t k = 0; k < ids_.size(); ++k) {
            whole.start[ids_[k]] = outcome.schedule->start[k];
            whole.chosen[ids_[k]] = outcome.schedule->chosen[k];
        }
        complete(project_, whole);
        outcome.schedule = std::move(whole);
        return outcome;
    }

    const Project& project_;
    const ActivityId count_;
    std::vector<char> gone_;
    Schedule placed_;
    std::vector<ActivityId> ids_;     ///< of the whole project, by those of the reduced one
    std::vector<ActivityId> new_id_;  ///< the other way; -1: gone
    Project reduced_;
};

}  // namespace

Outcome solve_reduced(const Project& project, const SearchOptions& options) { return Reducer(project).solve(options); }

}  // namespace oventide::replan
