#include "replan/held.hpp"

#include <algorithm>

namespace oventide::replan {
namespace {

struct Use {
    Interval when;
    std::int32_t amount;
    bool waits;
};

std::vector<Use> uses_of(const Left& left, const Schedule& schedule, ResourceId resource) {
    std::vector<Use> uses;
    for (ActivityId id = 0; id < static_cast<ActivityId>(left.happened.size()); ++id) {
        const auto& demands = left.whole.activities[id].demands;
        for (std::size_t k = 0; k < demands.size(); ++k) {
            if (schedule.chosen[id][k] != resource) continue;
            Interval when = demand_interval(left.whole, schedule, id, static_cast<int>(k));
            when.from = std::max(when.from, left.now);
            if (when.from < when.to) uses.push_back({when, demands[k].amount, !left.happened[id]});
        }
    }
    return uses;
}

std::int32_t capacity_at(const Resource& resource, Time minute) {
    std::int32_t capacity = 0;
    for (const CapacityStep& step : resource.capacity)
        if (step.from <= minute) capacity = step.capacity;
    return capacity;
}

}  // namespace

std::vector<std::string> taken_twice(const Left& left, Schedule schedule) {
    complete(left.whole, schedule);
    std::vector<std::string> faults;
    for (ResourceId id = 0; id < static_cast<ResourceId>(left.whole.resources.size()); ++id) {
        const Resource& resource = left.whole.resources[id];
        const std::int32_t all = std::ranges::max(resource.capacity, {}, &CapacityStep::capacity).capacity;
        const std::vector<Use> uses = uses_of(left, schedule, id);
        std::vector<Time> minutes;
        for (const Use& use : uses) minutes.push_back(use.when.from);
        for (const CapacityStep& step : resource.capacity) minutes.push_back(std::max(step.from, left.now));
        bool crammed = false;  // the cook has found more room than there is: nothing can be counted
        bool doubled = false;
        for (const Time minute : minutes) {
            std::int32_t kept = 0, wanted = 0;
            for (const Use& use : uses)
                if (use.when.from <= minute && minute < use.when.to) (use.waits ? wanted : kept) += use.amount;
            crammed = crammed || kept > all;
            doubled = doubled || (wanted > 0 && (kept + wanted > all || wanted > capacity_at(resource, minute)));
        }
        if (doubled && !crammed) faults.push_back(resource.name + " is promised twice");
    }
    return faults;
}

}  // namespace oventide::replan
