#include "oventide/safety.hpp"

#include <algorithm>
#include <vector>

#include "expand/link_writer.hpp"

namespace oventide::expansion {
namespace {

/// Food arcs by one of their ends, for walking along or against them.
class Ways {
public:
    Ways(std::size_t activities, const std::vector<FoodArc>& arcs, bool along) : first_(activities + 1, 0) {
        for (const FoodArc& arc : arcs) ++first_[(along ? arc.maker : arc.user) + 1];
        for (std::size_t i = 1; i < first_.size(); ++i) first_[i] += first_[i - 1];
        ends_.resize(arcs.size());
        std::vector<std::size_t> next(first_.begin(), first_.end() - 1);
        for (const FoodArc& arc : arcs) ends_[next[along ? arc.maker : arc.user]++] = along ? arc.user : arc.maker;
    }
    template <class Action>
    void for_each(ActivityId from, Action action) const {
        for (std::size_t i = first_[from]; i < first_[from + 1]; ++i) action(ends_[i]);
    }

private:
    std::vector<std::size_t> first_;
    std::vector<ActivityId> ends_;
};

const Step& step_of(const Draft& draft, ActivityId id) {
    const Task& task = draft.expansion.tasks[id];
    return draft.component_of(draft.expansion.batches[task.batch]).steps[task.step];
}

/// Activities from which some way leads to a chill: only these are worth walking through.
std::vector<bool> before_a_chill(const Draft& draft, const Ways& back) {
    const std::size_t count = draft.expansion.tasks.size();
    std::vector<bool> seen(count, false);
    std::vector<ActivityId> open;
    for (std::size_t i = 0; i < count; ++i)
        if (step_of(draft, static_cast<ActivityId>(i)).chill) open.push_back(static_cast<ActivityId>(i));
    while (!open.empty()) {
        const ActivityId id = open.back();
        open.pop_back();
        back.for_each(id, [&](ActivityId maker) {
            if (seen[maker]) return;
            seen[maker] = true;
            open.push_back(maker);
        });
    }
    return seen;
}

/// Finds the first chills on every way from an activity.
class ChillFinder {
public:
    explicit ChillFinder(const Draft& draft, const std::vector<FoodArc>& arcs)
        : draft_(draft),
          along_(draft.expansion.tasks.size(), arcs, true),
          worthwhile_(before_a_chill(draft, Ways(draft.expansion.tasks.size(), arcs, false))),
          seen_by_(draft.expansion.tasks.size(), -1) {}

    std::vector<ActivityId> from(ActivityId cooked) {
        std::vector<ActivityId> chills;
        if (!worthwhile_[cooked]) return chills;
        std::vector<ActivityId> open{cooked};
        while (!open.empty()) {
            const ActivityId id = open.back();
            open.pop_back();
            along_.for_each(id, [&](ActivityId next) {
                if (seen_by_[next] == cooked) return;
                seen_by_[next] = cooked;
                if (step_of(draft_, next).chill)
                    chills.push_back(next);
                else if (worthwhile_[next])
                    open.push_back(next);
            });
        }
        std::sort(chills.begin(), chills.end());
        return chills;
    }

private:
    const Draft& draft_;
    Ways along_;
    std::vector<bool> worthwhile_;
    std::vector<ActivityId> seen_by_;
};

}  // namespace

void add_safety_limits(Draft& draft, LinkWriter& links) {
    if (draft.plan.safety.rule == kNoSafetyRule) return;
    const auto rule = find_safety_rule(draft.plan.safety.rule);
    if (!rule) return;
    ChillFinder finder(draft, links.arcs());
    std::vector<std::vector<PromiseId>> promises(draft.plan.components.size());
    for (std::size_t i = 0; i < draft.expansion.tasks.size() && !links.full(); ++i) {
        const auto cooked = static_cast<ActivityId>(i);
        const Step& step = step_of(draft, cooked);
        if (!step.cooked || step.chill) continue;
        const Task& task = draft.expansion.tasks[i];
        const ComponentIndex component = draft.expansion.batches[task.batch].component;
        auto& known = promises[component];
        if (known.empty()) known.assign(draft.plan.components[component].steps.size(), kNoPromise);
        for (const ActivityId chill : finder.from(cooked)) {
            if (known[task.step] == kNoPromise)
                known[task.step] = draft.promises.safety(component, task.step, rule->chill_within);
            links.at_most(cooked, chill, rule->chill_within, known[task.step]);
        }
    }
}

}  // namespace oventide::expansion
