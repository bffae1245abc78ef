#include "replan/hold_up.hpp"

#include <algorithm>
#include <optional>

namespace oventide::replan {
namespace {

/// More of them than a cook wants to read.
constexpr std::size_t kLongest = 8;

class Tracer {
public:
    Tracer(const Left& left, const Schedule& schedule)
        : left_(left), project_(left.expansion.project), schedule_(schedule) {}

    std::vector<HoldUp> from(ActivityId step) const {
        std::vector<HoldUp> chain;
        while (chain.size() < kLongest && !left_.happened[step]) {
            const auto found = cause(step);
            if (!found) break;
            chain.push_back(*found);
            if (!found->by) break;
            step = *found->by;
        }
        return chain;
    }

private:
    std::optional<HoldUp> cause(ActivityId step) const {
        if (auto found = earlier_step(step)) return found;
        if (auto found = something_busy(step)) return found;
        if (auto found = something_closed(step)) return found;
        if (project_.activities[step].release != schedule_.start[step]) return std::nullopt;
        if (schedule_.start[step] == left_.now) return HoldUp{HoldUp::Cause::now, step, std::nullopt, std::nullopt};
        return oven_not_hot(step);
    }

    std::optional<HoldUp> oven_not_hot(ActivityId step) const {
        const auto& demands = project_.activities[step].demands;
        for (std::size_t k = 0; k < demands.size(); ++k)
            if (!demands[k].stages.empty())
                return HoldUp{HoldUp::Cause::closed, step, std::nullopt, schedule_.chosen[step][k]};
        return std::nullopt;
    }

    std::optional<HoldUp> earlier_step(ActivityId step) const {
        for (const Lag& lag : project_.lags)
            if (lag.to == step && lag.lag >= 0 && schedule_.start[lag.from] + lag.lag == schedule_.start[step])
                return HoldUp{HoldUp::Cause::step, step, lag.from, std::nullopt};
        return std::nullopt;
    }

    std::optional<HoldUp> something_busy(ActivityId step) const {
        const auto& demands = project_.activities[step].demands;
        for (std::size_t k = 0; k < demands.size(); ++k) {
            const Interval busy = demand_interval(project_, schedule_, step, static_cast<int>(k));
            if (busy.from >= busy.to) continue;
            const ResourceId resource = schedule_.chosen[step][k];
            for (ActivityId other = 0; other < static_cast<ActivityId>(project_.activities.size()); ++other)
                if (other != step && makes_room(other, resource, busy.from, demands[k]))
                    return HoldUp{HoldUp::Cause::busy, step, other, resource};
        }
        return std::nullopt;
    }

    /// `other` gives `resource` up at that very minute.
    bool makes_room(ActivityId other, ResourceId resource, Time at, const Demand& wanted) const {
        const auto& demands = project_.activities[other].demands;
        for (std::size_t k = 0; k < demands.size(); ++k) {
            if (schedule_.chosen[other][k] != resource) continue;
            const Interval busy = demand_interval(project_, schedule_, other, static_cast<int>(k));
            if (busy.from >= busy.to || busy.from >= at) continue;
            if (busy.to == at) return true;
            if (wanted.stages.empty() || demands[k].stages.empty()) continue;
            const SettingId left = demands[k].stages.back().setting;
            const SettingId next = wanted.stages.front().setting;
            if (busy.to + project_.resources[resource].state.transition[left][next] == at) return true;
        }
        return false;
    }

    /// The equipment is there, or somebody comes, only from that minute on.
    std::optional<HoldUp> something_closed(ActivityId step) const {
        const auto& demands = project_.activities[step].demands;
        for (std::size_t k = 0; k < demands.size(); ++k) {
            const Interval busy = demand_interval(project_, schedule_, step, static_cast<int>(k));
            if (busy.from >= busy.to) continue;
            const ResourceId resource = schedule_.chosen[step][k];
            std::int32_t before = 0;
            for (const CapacityStep& capacity : project_.resources[resource].capacity) {
                if (capacity.from == busy.from && before < demands[k].amount)
                    return HoldUp{HoldUp::Cause::closed, step, std::nullopt, resource};
                before = capacity.capacity;
            }
        }
        return std::nullopt;
    }

    const Left& left_;
    const Project& project_;
    const Schedule& schedule_;
};

}  // namespace

std::vector<HoldUp> hold_up(const Left& left, const Schedule& schedule, ActivityId step) {
    return Tracer(left, schedule).from(step);
}

}  // namespace oventide::replan
