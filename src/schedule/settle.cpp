#include "schedule/settle.hpp"

#include <algorithm>

#include "profile/step_profile.hpp"

namespace oventide::scheduling {
namespace {

class Settling {
public:
    Settling(const Project& project, Schedule& schedule) : project_(project), schedule_(schedule) {
        for (const Resource& resource : project.resources) profiles_.emplace_back(resource.capacity);
        for (ActivityId id = 0; id < count(); ++id) occupy(id);
        arriving_.resize(project.activities.size());
        for (const Lag& lag : project.lags) arriving_[lag.to].push_back(lag);
        note_holders();
    }

    void run() {
        std::vector<ActivityId> order;
        for (ActivityId id = 0; id < count(); ++id)
            if (may_move(project_.activities[id])) order.push_back(id);
        std::stable_sort(order.begin(), order.end(),
                         [&](ActivityId a, ActivityId b) { return schedule_.start[a] < schedule_.start[b]; });
        for (const ActivityId id : order) move_earlier(id);
    }

private:
    ActivityId count() const { return static_cast<ActivityId>(project_.activities.size()); }

    bool may_move(const Activity& activity) const {
        return activity.stretchable && std::none_of(activity.demands.begin(), activity.demands.end(),
                                                    [](const Demand& demand) { return !demand.stages.empty(); });
    }

    void occupy(ActivityId id) {
        for (std::size_t k = 0; k < project_.activities[id].demands.size(); ++k)
            profiles_[schedule_.chosen[id][k]].take(interval(id, k), project_.activities[id].demands[k].amount);
    }
    void vacate(ActivityId id) {
        for (std::size_t k = 0; k < project_.activities[id].demands.size(); ++k)
            profiles_[schedule_.chosen[id][k]].give_back(interval(id, k), project_.activities[id].demands[k].amount);
    }
    Interval interval(ActivityId id, std::size_t k) const {
        return demand_interval(project_, schedule_, id, static_cast<int>(k));
    }

    /// Every lag is one between starts, maximum lags and `keep` as well.
    Time earliest(ActivityId id) const {
        const Activity& activity = project_.activities[id];
        Time start = activity.release;
        for (const Lag& lag : arriving_[id]) start = std::max(start, schedule_.start[lag.from] + lag.lag);
        if (activity.keep < kNever) start = std::max(start, schedule_.end[id] - activity.keep - activity.duration);
        return start;
    }

    void move_earlier(ActivityId id) {
        const Time now = schedule_.start[id];
        const Value before = evaluate(project_, schedule_);
        // Half the way again after each refusal for the goals' sake; the next minute after one for want of room.
        for (Time start = earliest(id); start < now;) {
            if (!fits(id, start)) {
                ++start;
                continue;
            }
            Schedule moved = schedule_;
            moved.start[id] = start;
            complete(project_, moved);
            if (evaluate(project_, moved) <= before) {
                adopt(id, std::move(moved));
                return;
            }
            start += std::max<Time>(1, (now - start + 1) / 2);
        }
    }

    bool fits(ActivityId id, Time start) {
        const Time now = schedule_.start[id];
        const Time end = schedule_.end[id];
        vacate(id);
        schedule_.start[id] = start;
        schedule_.end[id] = std::max(last_use(id), start + project_.activities[id].duration);
        bool room = true;
        std::size_t taken = 0;
        const auto& demands = project_.activities[id].demands;
        for (; taken < demands.size() && room; ++taken) {
            room = profiles_[schedule_.chosen[id][taken]].fits(interval(id, taken), demands[taken].amount);
            if (room) profiles_[schedule_.chosen[id][taken]].take(interval(id, taken), demands[taken].amount);
        }
        if (!room) --taken;
        while (taken-- > 0)
            profiles_[schedule_.chosen[id][taken]].give_back(interval(id, taken), demands[taken].amount);
        schedule_.start[id] = now;
        schedule_.end[id] = end;
        occupy(id);
        return room;
    }

    Time last_use(ActivityId id) const {
        Time last = project_.activities[id].held_until;
        for (const ActivityId user : project_.activities[id].users) last = std::max(last, schedule_.start[user]);
        return last;
    }

    /// What was held until this one started is held for less now.
    void adopt(ActivityId id, Schedule moved) {
        vacate(id);
        for (const ActivityId holder : held_until_[id]) vacate(holder);
        schedule_ = std::move(moved);
        occupy(id);
        for (const ActivityId holder : held_until_[id]) occupy(holder);
    }

    /// Who lasts, or holds something, until `id` starts; no repeats.
    void note_holders() {
        held_until_.resize(project_.activities.size());
        for (ActivityId id = 0; id < count(); ++id) {
            const Activity& activity = project_.activities[id];
            std::vector<ActivityId> awaited = activity.users;
            for (const Demand& demand : activity.demands)
                awaited.insert(awaited.end(), demand.held_until.begin(), demand.held_until.end());
            std::sort(awaited.begin(), awaited.end());
            awaited.erase(std::unique(awaited.begin(), awaited.end()), awaited.end());
            for (const ActivityId user : awaited)
                if (user != id) held_until_[user].push_back(id);
        }
    }

    const Project& project_;
    Schedule& schedule_;
    std::vector<profile::StepProfile> profiles_;
    std::vector<std::vector<Lag>> arriving_;
    std::vector<std::vector<ActivityId>> held_until_;
};

}  // namespace

void settle(const Project& project, Schedule& schedule) { Settling(project, schedule).run(); }

}  // namespace oventide::scheduling
