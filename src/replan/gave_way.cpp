#include "replan/gave_way.hpp"

#include <algorithm>

namespace oventide::replan {
namespace {

/// Ready, by a schedule that was tried.
Instant done(const Trial& trial, std::int32_t order) {
    Time last = 0;
    for (std::size_t id = 0; id < trial.happened.size(); ++id) {
        if (trial.expansion.project.activities[id].due_promise == kNoPromise) continue;
        const Batch& batch = trial.expansion.batches[trial.expansion.tasks[id].batch];
        const auto serves = [&](const Batch::Sale& sale) { return sale.order == order; };
        if (std::ranges::any_of(batch.sales, serves))
            last = std::max(last, trial.schedule.start[id] + trial.expansion.project.activities[id].duration);
    }
    return trial.expansion.origin + Minutes{last};
}

}  // namespace

std::vector<GaveWay> gave_way(const Situation& situation, const std::vector<Pickup>& pickups, const Attempt& attempt) {
    std::vector<GaveWay> found;
    const auto is_later = [](const Pickup& one) { return one.done > one.at && one.before && one.done > *one.before; };
    if (std::ranges::none_of(pickups, is_later)) return found;
    for (const Pickup& to : pickups) {
        if (to.at >= to.told) continue;
        Situation day = situation;
        day.today.orders[to.order].pickup = to.told;
        const auto trial = attempt(day);
        if (!trial) continue;
        for (const Pickup& late : pickups) {
            if (late.order == to.order || !is_later(late)) continue;
            const Instant otherwise = done(*trial, late.order);
            if (otherwise >= late.done) continue;
            found.push_back({late.order, to.order, otherwise, std::max(Minutes{0}, done(*trial, to.order) - to.at)});
        }
    }
    std::ranges::stable_sort(found, {}, &GaveWay::order);
    return found;
}

}  // namespace oventide::replan
