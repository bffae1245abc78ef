#include <algorithm>

#include "expand/arithmetic.hpp"
#include "expand/draft.hpp"

namespace oventide::expansion {
namespace {

/// Promises made once each, and only where they are needed.
class DeadlineBook {
public:
    explicit DeadlineBook(Draft& draft)
        : draft_(draft),
          pickups_(draft.plan.orders.size(), kNoPromise),
          keeps_(draft.plan.components.size(), kNoPromise) {}

    PromiseId pickup(std::int32_t order) {
        if (pickups_[order] == kNoPromise) pickups_[order] = draft_.promises.pickup(order);
        return pickups_[order];
    }
    PromiseId kept_until_pickup(ComponentIndex component) {
        if (keeps_[component] == kNoPromise) keeps_[component] = draft_.promises.kept_until_pickup(component);
        return keeps_[component];
    }

private:
    Draft& draft_;
    std::vector<PromiseId> pickups_;
    std::vector<PromiseId> keeps_;
};

/// By step: whether another step of the component waits for it.
std::vector<bool> has_follower(const Component& component, ComponentIndex index) {
    std::vector<bool> result(component.steps.size(), false);
    for (const Step& step : component.steps)
        for (const After& after : step.after)
            if (after.component == index) result[after.step] = true;
    return result;
}

struct Due {
    Instant at;
    std::int32_t order;
};

/// The earliest that what is sold of a batch has to be done by. The batch has sales.
Due earliest_sale(const Plan& plan, const Batch& batch) {
    Due due{Instant::max(), -1};
    for (const Batch::Sale& sale : batch.sales) {
        const Order& order = plan.orders[sale.order];
        if (order.pickup - order.margin < due.at) due = {order.pickup - order.margin, sale.order};
    }
    return due;
}

Instant latest_pickup(const Plan& plan, const Batch& batch) {
    Instant latest = Instant::min();
    for (const Batch::Sale& sale : batch.sales) latest = std::max(latest, plan.orders[sale.order].pickup);
    return latest;
}

void set_due(Draft& draft, DeadlineBook& book, ActivityRange range, Due due) {
    for (ActivityId id = range.first; id < range.end; ++id) {
        Activity& activity = draft.expansion.project.activities[id];
        activity.due = draft.project_time(due.at);
        activity.due_promise = book.pickup(due.order);
    }
}

/// What is sold is held until its last pickup, and starts no earlier than it keeps until then.
void hold(Draft& draft, DeadlineBook& book, std::int32_t index) {
    const Batch& batch = draft.expansion.batches[index];
    const Component& component = draft.component_of(batch);
    const Time pickup = draft.project_time(latest_pickup(draft.plan, batch));
    const ActivityRange range = draft.last_activities(index);
    for (ActivityId id = range.first; id < range.end; ++id) {
        Activity& activity = draft.expansion.project.activities[id];
        if (activity.stretchable) activity.held_until = std::max(pickup, 0);
        if (!component.keeps) continue;
        activity.release = std::max(0, pickup - to_time(*component.keeps) - activity.duration);
        activity.release_promise = book.kept_until_pickup(batch.component);
    }
}

}  // namespace

void add_deadlines(Draft& draft) {
    DeadlineBook book(draft);
    std::vector<bool> followed;
    for (std::size_t i = 0; i < draft.expansion.batches.size(); ++i) {
        const auto index = static_cast<std::int32_t>(i);
        const Batch& batch = draft.expansion.batches[i];
        if (batch.number == 1) followed = has_follower(draft.component_of(batch), batch.component);
        const Serving& serving = draft.serving(index);
        const StepIndex last = static_cast<StepIndex>(followed.size()) - 1;
        Due first{serving.done_by, serving.first_order};
        if (draft.actual != nullptr && first.order >= 0) {  // the pickup may have moved
            const Order& order = draft.plan.orders[first.order];
            first.at = order.pickup - order.margin;
        }
        for (StepIndex step = 0; step < last; ++step)
            if (!followed[step]) set_due(draft, book, draft.activities(index, step), first);
        if (batch.sales.empty()) continue;
        set_due(draft, book, draft.last_activities(index), earliest_sale(draft.plan, batch));
        hold(draft, book, index);
    }
}

}  // namespace oventide::expansion
