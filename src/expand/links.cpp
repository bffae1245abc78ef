/// What ties steps to each other: the order of work inside a component, food that goes from one to another, bare
/// order across components, the sequence of batches and loads, and how fresh it has to be.

#include <algorithm>
#include <array>
#include <map>
#include <string>
#include <utility>

#include "expand/arithmetic.hpp"
#include "expand/link_writer.hpp"
#include "oventide/limits.hpp"

namespace oventide::expansion {
namespace {

Portion common(Portion a, Portion b) { return {std::max(a.from, b.from), std::min(a.to, b.to)}; }

std::int64_t size_of(const Batch& batch) { return batch.share.to - batch.share.from; }

/// Every pair of two steps' activities of one batch that have food in common.
template <class Action>
void for_each_meeting(const std::vector<Task>& tasks, ActivityRange first, ActivityRange second, Action action) {
    for (ActivityId a = first.first, b = second.first; a < first.end && b < second.end;) {
        const Portion meeting = common(tasks[a].share, tasks[b].share);
        if (meeting.from < meeting.to) action(a, b, meeting);
        (tasks[a].share.to < tasks[b].share.to ? a : b) += 1;
    }
}

// ------------------------------------------------------------------------------------- inside a component

struct OrderPromises {
    PromiseId order = kNoPromise;
    PromiseId within = kNoPromise;
};

OrderPromises promise(PromiseBook& book, ComponentIndex component, StepIndex step, const After& after) {
    return {book.order(component, step, after), after.within ? book.within(component, step, after) : kNoPromise};
}

void link_inside(Draft& draft, LinkWriter& links, ComponentIndex component, StepIndex step, const After& after) {
    const OrderPromises promises = promise(draft.promises, component, step, after);
    for (std::int32_t index = draft.first_batch[component]; index < draft.first_batch[component + 1]; ++index) {
        const Batch& batch = draft.expansion.batches[index];
        for_each_meeting(draft.expansion.tasks, draft.activities(index, after.step), draft.activities(index, step),
                         [&](ActivityId maker, ActivityId user, Portion meeting) {
                             links.at_least(maker, user, after.rest, promises.order);
                             if (after.within) links.at_most(maker, user, *after.within, promises.within);
                             links.use(maker, user);
                             links.food(maker, user, part_of(batch.weight, size_of(batch), meeting.from, meeting.to));
                         });
    }
}

// ------------------------------------------------------------------------------------- across components

bool draws(const Component& user, ComponentIndex from) {
    return std::any_of(user.steps.begin(), user.steps.end(), [&](const Step& step) {
        return std::any_of(step.draws.begin(), step.draws.end(),
                           [&](const Draw& draw) { return draw.component == from; });
    });
}

using BatchPairs = std::vector<std::pair<std::int32_t, std::int32_t>>;

/// Calls action(giving batch, using batch) for all food that goes from one component to another.
template <class Action>
void for_each_food(const Draft& draft, ComponentIndex from, ComponentIndex to, Action action) {
    const auto& food = draft.expansion.food;  // sorted by the giving batch
    auto link = std::lower_bound(food.begin(), food.end(), draft.first_batch[from],
                                 [](const FoodLink& entry, std::int32_t batch) { return entry.from < batch; });
    for (; link != food.end() && link->from < draft.first_batch[from + 1]; ++link)
        if (draft.expansion.batches[link->to].component == to) action(link->from, link->to);
}

/// Batches of `a` and `b` that exchange food, in either direction.
BatchPairs exchanging(const Draft& draft, ComponentIndex a, ComponentIndex b) {
    BatchPairs pairs;
    for_each_food(draft, a, b, [&](std::int32_t from, std::int32_t to) { pairs.emplace_back(from, to); });
    for_each_food(draft, b, a, [&](std::int32_t from, std::int32_t to) { pairs.emplace_back(to, from); });
    std::sort(pairs.begin(), pairs.end());
    pairs.erase(std::unique(pairs.begin(), pairs.end()), pairs.end());
    return pairs;
}

void link_across(Draft& draft, LinkWriter& links, ComponentIndex component, StepIndex step, const After& after) {
    const OrderPromises promises = promise(draft.promises, component, step, after);
    const auto bind = [&](std::int32_t before, std::int32_t behind) {
        const ActivityRange makers = draft.activities(before, after.step);
        const ActivityRange users = draft.activities(behind, step);
        links.all_at_least(makers, users, after.rest, promises.order);
        if (after.within) links.all_at_most(makers, users, *after.within, promises.within);
        links.all_use(makers, users);
    };
    if (draws(draft.plan.components[component], after.component) ||
        draws(draft.plan.components[after.component], component)) {
        for (const auto& [before, behind] : exchanging(draft, after.component, component)) bind(before, behind);
        return;
    }
    for (std::int32_t before = draft.first_batch[after.component]; before < draft.first_batch[after.component + 1];
         ++before)
        for (std::int32_t behind = draft.first_batch[component]; behind < draft.first_batch[component + 1]; ++behind) {
            if (links.full()) return;
            bind(before, behind);
        }
}

// ---------------------------------------------------------------------------------------------------- food

struct DrawPromises {
    PromiseId order = kNoPromise;
    PromiseId within = kNoPromise;
};

/// The promises about each draw, made once.
class DrawBook {
public:
    explicit DrawBook(PromiseBook& promises, const Plan& plan) : promises_(promises), plan_(plan) {}
    DrawPromises of(const Claim& claim) {
        const auto [entry, is_new] = known_.try_emplace({claim.user, claim.step, claim.draw});
        if (is_new) entry->second = make(claim);
        return entry->second;
    }

private:
    DrawPromises make(const Claim& claim) {
        const Draw& draw = plan_.components[claim.user].steps[claim.step].draws[claim.draw];
        return {promises_.drawn_order(claim.user, claim.step, draw),
                draw.within ? promises_.drawn_within(claim.user, claim.step, draw) : kNoPromise};
    }
    PromiseBook& promises_;
    const Plan& plan_;
    std::map<std::array<std::int32_t, 3>, DrawPromises> known_;
};

/// The food that one activity of a user draws from one batch. Each load waits for as many pieces as it gives; that
/// it is the batch which is drawn on makes every load a part of the food's way.
void food_from_loads(Draft& draft, LinkWriter& links, const Claim& claim, std::int32_t giver, Portion drawn,
                     ActivityId user) {
    const Batch& batch = draft.expansion.batches[giver];
    const ActivityRange loads = draft.last_activities(giver);
    for (ActivityId load = loads.first; load < loads.end; ++load) {
        const Portion share = draft.expansion.tasks[load].share;
        const Portion given = common({batch.share.from + share.from, batch.share.from + share.to}, drawn);
        const std::int64_t weight = given.from >= given.to
                                        ? 0
                                        : part_of(claim.weight, claim.share.to - claim.share.from,
                                                  given.from - claim.share.from, given.to - claim.share.from);
        links.food(load, user, weight);
    }
}

/// One use of a component: each activity of the user waits for the batches that meet what it draws.
void link_claim(Draft& draft, LinkWriter& links, ComponentIndex giver, const Claim& claim, DrawPromises promises,
                PromiseId keeps, std::vector<std::vector<ActivityId>>& users_of_batch) {
    const Component& component = draft.plan.components[giver];
    const Draw& draw = draft.plan.components[claim.user].steps[claim.step].draws[claim.draw];
    const std::int32_t user_batch = draft.first_batch[claim.user] + claim.user_batch;
    const std::int64_t user_size = size_of(draft.expansion.batches[user_batch]);
    const ActivityRange users = draft.activities(user_batch, claim.step);
    for (ActivityId user = users.first; user < users.end && !links.full(); ++user) {
        const Portion of_user = draft.expansion.tasks[user].share;
        const Portion drawn = drawn_portion(draft.plan, claim, user_size, of_user);
        // Shares of a kilogram that do not come out even overlap by what was rounded; the weights must not.
        Portion counted = drawn;
        if (user + 1 < users.end)
            counted.to = drawn_portion(draft.plan, claim, user_size, draft.expansion.tasks[user + 1].share).from;
        const Meeting meeting = batches_that_meet(draft.queues[giver], drawn);
        for (std::int32_t index = meeting.first; index < meeting.end; ++index) {
            const std::int32_t batch = draft.first_batch[giver] + index;
            const ActivityRange makers = draft.last_activities(batch);
            const ActivityRange one{user, user + 1};
            links.all_at_least(makers, one, draw.rest, promises.order);
            if (draw.within) links.all_at_most(makers, one, *draw.within, promises.within);
            if (component.keeps) links.all_at_most(makers, one, *component.keeps, keeps);
            links.all_use(makers, one);
            food_from_loads(draft, links, claim, batch, counted, user);
            users_of_batch[index].push_back(user);
        }
    }
}

/// Loads that wait for their pickup.
void link_sales(Draft& draft, LinkWriter& links, std::int32_t index) {
    const Batch& batch = draft.expansion.batches[index];
    const Serving& serving = draft.serving(index);
    const Queue& queue = draft.queues[batch.component];
    const ActivityRange loads = draft.last_activities(index);
    ActivityId load = loads.first;
    for (std::int32_t i = serving.first_claim; i < serving.claims_end; ++i) {
        const Claim& claim = queue.claims[i];
        while (load + 1 < loads.end && batch.share.from + draft.expansion.tasks[load].share.to <= claim.share.from)
            ++load;
        if (claim.user >= 0) continue;
        for (ActivityId id = load; id < loads.end && !links.full(); ++id) {
            const Portion share = draft.expansion.tasks[id].share;
            const Portion sold = common({batch.share.from + share.from, batch.share.from + share.to}, claim.share);
            if (sold.from >= sold.to) break;
            const std::int64_t weight = part_of(claim.weight, claim.share.to - claim.share.from,
                                                sold.from - claim.share.from, sold.to - claim.share.from);
            if (weight > 0) draft.expansion.project.links.push_back({id, -1, draft.project_time(claim.pickup), weight});
        }
    }
}

/// The latest pickup of what is sold of a batch; -1 where nothing is.
Time last_pickup(const Draft& draft, const Batch& batch) {
    Time last = -1;
    for (const Batch::Sale& sale : batch.sales)
        last = std::max(last, draft.project_time(draft.plan.orders[sale.order].pickup));
    return last;
}

void add_freshness(Draft& draft, std::int32_t index, std::vector<ActivityId> users) {
    const Batch& batch = draft.expansion.batches[index];
    const auto& best_within = draft.component_of(batch).best_within;
    if (!best_within) return;
    Freshness freshness;
    const ActivityRange makers = draft.last_activities(index);
    for (ActivityId id = makers.first; id < makers.end; ++id) freshness.makers.push_back(id);
    std::sort(users.begin(), users.end());
    users.erase(std::unique(users.begin(), users.end()), users.end());
    freshness.users = std::move(users);
    freshness.last_time = last_pickup(draft, batch);
    freshness.best_within = to_time(*best_within);
    draft.expansion.project.freshness.push_back(std::move(freshness));
}

void link_food(Draft& draft, LinkWriter& links, ComponentIndex component, DrawBook& book) {
    const Queue& queue = draft.queues[component];
    const PromiseId keeps =
        draft.plan.components[component].keeps ? draft.promises.component_keeps(component) : kNoPromise;
    std::vector<std::vector<ActivityId>> users_of_batch(queue.batches.size());
    for (const Claim& claim : queue.claims)
        if (claim.user >= 0) link_claim(draft, links, component, claim, book.of(claim), keeps, users_of_batch);
    for (std::size_t i = 0; i < queue.batches.size(); ++i) {
        const std::int32_t batch = draft.first_batch[component] + static_cast<std::int32_t>(i);
        link_sales(draft, links, batch);
        add_freshness(draft, batch, std::move(users_of_batch[i]));
    }
}

// ------------------------------------------------------------------------------------------------ sequence

void link_loads_in_sequence(Draft& draft, LinkWriter& links, ComponentIndex component) {
    const auto steps = static_cast<StepIndex>(draft.plan.components[component].steps.size());
    for (StepIndex step = 0; step < steps; ++step) {
        if (draft.load_sizes[component][step] == 0) continue;
        PromiseId promise = kNoPromise;
        for (std::int32_t batch = draft.first_batch[component]; batch < draft.first_batch[component + 1]; ++batch) {
            const ActivityRange loads = draft.activities(batch, step);
            if (loads.end - loads.first > 1 && promise == kNoPromise)
                promise = draft.promises.load_order(component, step);
            for (ActivityId load = loads.first; load + 1 < loads.end; ++load)
                links.in_sequence(load, load + 1, promise);
        }
    }
}

void link_batches_in_sequence(Draft& draft, LinkWriter& links, ComponentIndex component) {
    if (draft.first_batch[component + 1] - draft.first_batch[component] < 2) return;
    const PromiseId promise = draft.promises.batch_order(component);
    for (std::int32_t batch = draft.first_batch[component]; batch + 1 < draft.first_batch[component + 1]; ++batch) {
        const ActivityRange one = draft.last_activities(batch);
        const ActivityRange next = draft.last_activities(batch + 1);
        links.in_sequence(one.first, next.first, promise);
        if (one.end - one.first > 1 || next.end - next.first > 1) links.in_sequence(one.end - 1, next.end - 1, promise);
    }
}

void tidy_users(Project& project) {
    for (Activity& activity : project.activities) {
        std::sort(activity.users.begin(), activity.users.end());
        activity.users.erase(std::unique(activity.users.begin(), activity.users.end()), activity.users.end());
    }
}

}  // namespace

void add_links(Draft& draft) {
    LinkWriter links(draft);
    DrawBook draws_book(draft.promises, draft.plan);
    const auto components = static_cast<ComponentIndex>(draft.plan.components.size());
    for (ComponentIndex component = 0; component < components; ++component) {
        if (!draft.made(component)) continue;
        const auto& steps = draft.plan.components[component].steps;
        for (std::size_t i = 0; i < steps.size(); ++i) {
            const auto step = static_cast<StepIndex>(i);
            for (const After& after : steps[i].after) {
                if (after.component == component)
                    link_inside(draft, links, component, step, after);
                else if (draft.made(after.component))
                    link_across(draft, links, component, step, after);
            }
        }
        link_food(draft, links, component, draws_book);
        link_loads_in_sequence(draft, links, component);
        link_batches_in_sequence(draft, links, component);
    }
    add_safety_limits(draft, links);
    tidy_users(draft.expansion.project);
    if (links.full())
        draft.error({}, "the plan comes to more than " + std::to_string(Limits::links) + " links between its steps",
                    "split the plan into several");
}

}  // namespace oventide::expansion
