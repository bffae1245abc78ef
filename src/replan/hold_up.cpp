#include "replan/hold_up.hpp"

#include <algorithm>
#include <optional>
#include <utility>

namespace oventide::replan {
namespace {

class Tracer {
public:
    Tracer(const Situation& situation, const Left& left, const Schedule& schedule)
        : situation_(situation),
          left_(left),
          project_(left.expansion.project),
          schedule_(schedule),
          whole_(schedule),
          seen_(project_.activities.size(), 0) {
        complete(left.whole, whole_);
    }

    HeldUp from(const std::vector<ActivityId>& steps) {
        std::optional<HeldUp> first;
        for (const ActivityId step : steps) {
            Chain chain = trace(step);
            std::ranges::reverse(chain.back);
            if (chain.firm) return {step, std::move(chain.back)};
            if (!first) first = HeldUp{step, std::move(chain.back)};
        }
        return std::move(*first);
    }

private:
    struct Chain {
        std::vector<HoldUp> back;  ///< the root first
        bool firm = false;         ///< it ends at what nobody can change
    };

    /// What comes as late as it does only because it is used late is no reason: of several the first that is firm.
    Chain trace(ActivityId step) {
        if (left_.happened[step]) return begun(step);
        Chain first;
        if (std::exchange(seen_[step], 1)) return first;
        for (const HoldUp& cause : causes(step)) {
            Chain chain = cause.by ? trace(*cause.by) : Chain{{}, true};
            chain.back.push_back(cause);
            if (chain.firm) return chain;
            if (first.back.empty()) first = std::move(chain);
        }
        return first;
    }

    Chain begun(ActivityId step) const {
        for (const Interruption& one : situation_.interruptions)
            if (one.step == step && !one.kept && one.moved > Minutes{0})
                for (ResourceId id = 0; id < static_cast<ResourceId>(left_.expansion.resources.size()); ++id)
                    if (left_.expansion.resources[id].equipment == one.equipment)
                        return {{{HoldUp::Cause::stood, step, std::nullopt, id}}, true};
        return {{}, true};
    }

    std::vector<HoldUp> causes(ActivityId step) const {
        std::vector<HoldUp> found;
        add_earlier_steps(step, found);
        add_busy(step, found);
        add_closed(step, found);
        const bool released = project_.activities[step].release == schedule_.start[step];
        if (released && schedule_.start[step] == left_.now)
            found.push_back({HoldUp::Cause::now, step, std::nullopt, std::nullopt});
        else
            add_cold(step, released, found);
        return found;
    }

    void add_cold(ActivityId step, bool released, std::vector<HoldUp>& found) const {
        const auto& demands = project_.activities[step].demands;
        for (std::size_t k = 0; k < demands.size(); ++k) {
            const ResourceId oven = schedule_.chosen[step][k];
            if (!demands[k].stages.empty() && (released || is_heated_for(step, oven)))
                found.push_back({HoldUp::Cause::cold, step, std::nullopt, oven});
        }
    }

    /// Switched on for it at the first minute at which anybody is there to do it.
    bool is_heated_for(ActivityId step, ResourceId oven) const {
        return std::ranges::any_of(schedule_.start_ups, [&](const StartUp& on) {
            const auto begins = [&](const Interval& there) { return there.from == on.at; };
            return on.resource == oven && on.ready == schedule_.start[step] &&
                   (on.at == left_.now || std::ranges::any_of(project_.attended, begins));
        });
    }

    void add_earlier_steps(ActivityId step, std::vector<HoldUp>& found) const {
        for (const Lag& lag : project_.lags)
            if (lag.to == step && lag.lag >= 0 && schedule_.start[lag.from] + lag.lag == schedule_.start[step])
                found.push_back({HoldUp::Cause::step, step, lag.from, std::nullopt});
    }

    void add_busy(ActivityId step, std::vector<HoldUp>& found) const {
        const auto& demands = project_.activities[step].demands;
        for (std::size_t k = 0; k < demands.size(); ++k) {
            const Interval busy = demand_interval(project_, schedule_, step, static_cast<int>(k));
            if (busy.from >= busy.to) continue;
            const ResourceId resource = schedule_.chosen[step][k];
            if (demands[k].stages.empty() && had_room(step, demands[k].amount, resource, busy.from - 1)) continue;
            for (ActivityId other = 0; other < static_cast<ActivityId>(project_.activities.size()); ++other)
                if (other != step &&
                    (makes_room(other, resource, busy.from, demands[k]) || is_left_by(other, resource, busy.from)))
                    found.push_back({HoldUp::Cause::busy, step, other, resource});
        }
    }

    /// There was enough of it for the step a minute before: nobody had to give it up.
    bool had_room(ActivityId step, std::int32_t amount, ResourceId resource, Time minute) const {
        std::int64_t used = 0;
        for (ActivityId other = 0; other < static_cast<ActivityId>(project_.activities.size()); ++other)
            for (std::size_t k = 0; k < project_.activities[other].demands.size(); ++k) {
                if (other == step || schedule_.chosen[other][k] != resource) continue;
                const Interval busy = demand_interval(project_, schedule_, other, static_cast<int>(k));
                if (busy.from <= minute && minute < busy.to) used += project_.activities[other].demands[k].amount;
            }
        std::int32_t capacity = 0;
        for (const CapacityStep& one : project_.resources[resource].capacity)
            if (one.from <= minute) capacity = one.capacity;
        return used + amount <= capacity;
    }

    /// What has happened gives `resource` up then; of what is left that is taken off what there is.
    bool is_left_by(ActivityId other, ResourceId resource, Time at) const {
        if (!left_.happened[other]) return false;
        const auto& demands = left_.whole.activities[other].demands;
        for (std::size_t k = 0; k < demands.size(); ++k) {
            if (whole_.chosen[other][k] != resource) continue;
            const Interval busy = demand_interval(left_.whole, whole_, other, static_cast<int>(k));
            if (busy.from < busy.to && busy.to == at && busy.to > left_.now) return true;
        }
        return false;
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
    void add_closed(ActivityId step, std::vector<HoldUp>& found) const {
        const auto& demands = project_.activities[step].demands;
        for (std::size_t k = 0; k < demands.size(); ++k) {
            const Interval busy = demand_interval(project_, schedule_, step, static_cast<int>(k));
            if (busy.from >= busy.to) continue;
            const ResourceId resource = schedule_.chosen[step][k];
            std::int32_t before = 0;
            for (const CapacityStep& capacity : project_.resources[resource].capacity) {
                if (capacity.from == busy.from && before < demands[k].amount)
                    found.push_back({HoldUp::Cause::closed, step, std::nullopt, resource});
                before = capacity.capacity;
            }
        }
    }

    const Situation& situation_;
    const Left& left_;
    const Project& project_;
    const Schedule& schedule_;
    Schedule whole_;
    std::vector<char> seen_;  ///< by ActivityId
};

}  // namespace

HeldUp hold_up(const Situation& situation, const Left& left, const Schedule& schedule,
               const std::vector<ActivityId>& steps) {
    return Tracer(situation, left, schedule).from(steps);
}

}  // namespace oventide::replan
