#include "replan/ways_out.hpp"

#include <algorithm>
#include <optional>
#include <tuple>
#include <utility>

#include "replan/search.hpp"

namespace oventide::replan {
namespace {

constexpr std::size_t kMostTried = 20;
/// Where several orders are late, it may help that one is later than they are now.
constexpr Time kLaterForOthers = 240;

/// One more of what `resource` is, as big, all of it there from now on.
Left with_another(const Plan& today, const Left& left, ResourceId resource) {
    Left more = left;
    Project& project = more.expansion.project;
    Resource another = project.resources[resource];
    const auto equipment = left.expansion.resources[resource].equipment;
    const std::int32_t all = equipment ? today.kitchen.equipment[*equipment].capacity : 1;
    another.name += " (another)";
    another.capacity = {{0, all}};
    const auto id = static_cast<ResourceId>(project.resources.size());
    project.resources.push_back(std::move(another));
    more.expansion.resources.push_back(left.expansion.resources[resource]);
    more.on_since.push_back(kNever);
    for (std::size_t step = 0; step < project.activities.size(); ++step) {
        if (left.happened[step]) continue;
        Activity& activity = project.activities[step];
        for (Demand& demand : activity.demands) {
            if (std::ranges::find(demand.choices, resource) == demand.choices.end()) continue;
            demand.choices.push_back(id);
            if (demand.stages.empty()) continue;
            const Time hot = left.now + project.resources[id].state.startup[demand.stages.front().setting];
            activity.release = std::min(activity.release, std::max(left.soonest[step], hot));
        }
    }
    return more;
}

/// Nothing of those batches is done, and nobody waits for them.
Left without(const Left& left, const std::vector<std::int32_t>& batches) {
    Left less = left;
    Project& project = less.expansion.project;
    const auto dropped = [&](ActivityId id) {
        return std::ranges::find(batches, less.expansion.tasks[id].batch) != batches.end();
    };
    const auto is_of_dropped = [&](const Lag& lag) { return dropped(lag.from) || dropped(lag.to); };
    std::erase_if(less.limits, [&](const Limit& limit) {
        return limit.lag >= 0 ? is_of_dropped(project.lags[limit.lag]) : dropped(limit.keeper);
    });
    for (Limit& limit : less.limits)  // it names a lag by where that stands
        if (limit.lag >= 0)
            limit.lag -=
                static_cast<int>(std::count_if(project.lags.begin(), project.lags.begin() + limit.lag, is_of_dropped));
    std::erase_if(project.lags, is_of_dropped);
    for (std::size_t k = 0; k < project.activities.size(); ++k) {
        Activity& activity = project.activities[k];
        std::erase_if(activity.users, dropped);
        for (Demand& demand : activity.demands) std::erase_if(demand.held_until, dropped);
        if (!dropped(static_cast<ActivityId>(k))) continue;
        for (Demand& demand : activity.demands) {
            demand.from = demand.to = {Moment::Of::start, 0};
            demand.held_until.clear();
            demand.sealed = 0;
        }
        activity.users.clear();
        activity.held_until = -1;
        less.promised_due[k] = kNever;
    }
    return less;
}

class Trial {
public:
    Trial(const Situation& situation, const Left& left, const Schedule* announced, const std::vector<Time>& late,
          const Options& options)
        : situation_(situation), left_(left), announced_(announced), late_(late), options_(options) {
        options_.nodes = kNodesForWay;
        most_ = most_late(late_);
    }

    void borrow(ResourceId resource) {
        const ResourceInfo& info = left_.expansion.resources[resource];
        const auto kind = info.person ? WayOut::Kind::helper : WayOut::Kind::borrow;
        const std::int32_t what = info.person ? *info.person : *info.equipment;
        attempt({kind, what, {}}, with_another(situation_.today, left_, resource), everybody());
    }

    void serve_late(std::int32_t order) {
        std::vector<char> only(late_.size(), 0);
        only[order] = 1;
        attempt({WayOut::Kind::serve_late, order, {}}, left_, only);
    }

    /// Each by itself; but where it is no help to leave out all of them it is none to leave out one.
    void leave_out(const std::vector<std::int32_t>& batches) {
        if (batches.empty()) return;
        auto way = attempted({WayOut::Kind::leave_out, batches.front(), {}}, without(left_, batches), everybody());
        if (!way) return;
        if (batches.size() == 1) {
            ways_.push_back(std::move(*way));
            return;
        }
        const auto middle = batches.begin() + static_cast<std::ptrdiff_t>(batches.size() / 2);
        leave_out({batches.begin(), middle});
        leave_out({middle, batches.end()});
    }

    std::vector<WayOut> take() {
        best_first(ways_);
        return std::move(ways_);
    }

private:
    std::vector<char> everybody() const { return std::vector<char>(late_.size(), 1); }

    void attempt(const WayOut& way, const Left& left, const std::vector<char>& may_be_late) {
        if (auto helps = attempted(way, left, may_be_late)) ways_.push_back(std::move(*helps));
    }

    /// What the way leads to, if it is of any help.
    std::optional<WayOut> attempted(WayOut way, const Left& left, const std::vector<char>& may_be_late) {
        if (tried_++ >= kMostTried) return std::nullopt;
        Search search(situation_.today, situation_, left, announced_, options_);
        search.run_for_lateness(may_be_late, most_);
        if (!search.best) return std::nullopt;
        const std::vector<Time> late = search.late_in_all();
        for (std::size_t order = 0; order < late.size(); ++order)
            if (late[order] > 0) way.late.push_back({static_cast<std::int32_t>(order), Minutes{late[order]}});
        const bool fewer =
            std::ranges::count_if(late, [](Time by) { return by > 0; }) < std::ranges::count_if(
                                                                              late_, [](Time by) { return by > 0; });
        if (minutes(late) >= minutes(late_) && !fewer) return std::nullopt;
        return way;
    }

    const Situation& situation_;
    const Left& left_;
    const Schedule* announced_;
    const std::vector<Time>& late_;
    Options options_;
    Time most_ = 0;  ///< minutes that an order may be late, to be of any help
    std::vector<WayOut> ways_;
    std::size_t tried_ = 0;
};

/// What is out of order now, and what stands in the way, each resource once.
std::vector<ResourceId> worth_having(const Situation& situation, const Left& left, const std::vector<HoldUp>& held_up) {
    std::vector<ResourceId> resources;
    for (ResourceId id = 0; id < static_cast<ResourceId>(left.expansion.resources.size()); ++id) {
        const auto equipment = left.expansion.resources[id].equipment;
        if (equipment && situation.usable_from[*equipment] > situation.now) resources.push_back(id);
    }
    for (const HoldUp& one : held_up)
        if (one.resource && std::ranges::find(resources, *one.resource) == resources.end())
            resources.push_back(*one.resource);
    return resources;
}

/// Sold, nothing of it begun, and not what is late itself alone: leaving it out helps somebody else.
std::vector<std::int32_t> batches_to_spare(const Left& left) {
    const auto& all = left.expansion.batches;
    std::vector<char> begun(all.size(), 0);
    for (std::size_t id = 0; id < left.happened.size(); ++id)
        if (left.happened[id]) begun[left.expansion.tasks[id].batch] = 1;
    // A plan without it counts those behind it anew: what is under way would be taken for another.
    const auto has_begun = [&](const Batch& spared) {
        for (std::size_t k = 0; k < all.size(); ++k)
            if (begun[k] && all[k].component == spared.component && all[k].number >= spared.number) return true;
        return false;
    };
    std::vector<std::int32_t> batches;
    for (std::int32_t batch = 0; batch < static_cast<std::int32_t>(all.size()); ++batch) {
        const bool used =
            std::ranges::any_of(left.expansion.food, [&](const FoodLink& link) { return link.from == batch; });
        if (!all[batch].sales.empty() && !used && !has_begun(all[batch])) batches.push_back(batch);
    }
    return batches;
}

}  // namespace

Time most_late(const std::vector<Time>& late) {
    const auto orders = std::ranges::count_if(late, [](Time by) { return by > 0; });
    return orders > 1 ? kLaterForOthers : static_cast<Time>(minutes(late)) - 1;
}

void best_first(std::vector<WayOut>& ways) {
    std::ranges::stable_sort(ways, {}, [](const WayOut& way) {
        Minutes late{0};
        for (const auto& [order, by] : way.late) late += by;
        return std::tuple(late, way.kind);
    });
}

std::vector<WayOut> ways_out(const Situation& situation, const Left& left, const Schedule* announced,
                             const std::vector<Time>& late, const std::vector<HoldUp>& held_up,
                             const Options& options) {
    Trial trial(situation, left, announced, late, options);
    for (const ResourceId resource : worth_having(situation, left, held_up)) trial.borrow(resource);
    // With as few minutes late as can be, of one order, it is no help that another waits instead.
    if (std::ranges::count_if(late, [](Time by) { return by > 0; }) > 1)
        for (std::size_t order = 0; order < late.size(); ++order) trial.serve_late(static_cast<std::int32_t>(order));
    // What is late itself is sooner without, of course; all the others together say whether any of them is in its way.
    std::vector<std::int32_t> others = batches_to_spare(left);
    const auto serves_late = [&](const Batch::Sale& sale) { return late[sale.order] > 0; };
    const auto own = std::ranges::stable_partition(others, [&](std::int32_t batch) {
        return std::ranges::none_of(left.expansion.batches[batch].sales, serves_late);
    });
    for (const std::int32_t batch : own) trial.leave_out({batch});
    others.erase(own.begin(), own.end());
    trial.leave_out(others);
    return trial.take();
}

}  // namespace oventide::replan
