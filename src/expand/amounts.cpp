#include "expand/amounts.hpp"

#include <algorithm>
#include <optional>
#include <string>
#include <tuple>

#include "expand/arithmetic.hpp"
#include "expand/cuts.hpp"
#include "expand/promises.hpp"
#include "oventide/limits.hpp"

namespace oventide::expansion {
namespace {

constexpr std::int64_t kKilogram = 1'000'000;  // milligrams

/// A step that draws a component.
struct Drawer {
    ComponentIndex user;
    StepIndex step;
    std::int32_t draw;
};

/// By component: who draws it, as written.
std::vector<std::vector<Drawer>> drawers(const Plan& plan) {
    std::vector<std::vector<Drawer>> result(plan.components.size());
    for (std::size_t user = 0; user < plan.components.size(); ++user) {
        const auto& steps = plan.components[user].steps;
        for (std::size_t step = 0; step < steps.size(); ++step)
            for (std::size_t draw = 0; draw < steps[step].draws.size(); ++draw)
                result[steps[step].draws[draw].component].push_back(
                    {static_cast<ComponentIndex>(user), static_cast<StepIndex>(step), static_cast<std::int32_t>(draw)});
    }
    return result;
}

/// Users before what they draw. The plan reader has made sure that there is no cycle.
std::vector<ComponentIndex> users_first(const Plan& plan, const std::vector<std::vector<Drawer>>& drawers) {
    std::vector<std::size_t> users_left(plan.components.size());
    std::vector<ComponentIndex> order;
    for (std::size_t component = 0; component < plan.components.size(); ++component) {
        users_left[component] = drawers[component].size();
        if (users_left[component] == 0) order.push_back(static_cast<ComponentIndex>(component));
    }
    for (std::size_t next = 0; next < order.size(); ++next)
        for (const Step& step : plan.components[order[next]].steps)
            for (const Draw& draw : step.draws)
                if (--users_left[draw.component] == 0) order.push_back(draw.component);
    return order;
}

const Draw& draw_of(const Plan& plan, const Claim& claim) {
    return plan.components[claim.user].steps[claim.step].draws[claim.draw];
}

bool by_mass(const Component& component) { return component.makes.unit == Amount::Unit::milligrams; }

std::int64_t most_of(const Component& component) { return by_mass(component) ? Limits::milligrams : Limits::pieces; }

/// How much of the giver `amount` of the user draws, counted from the beginning of its batch.
std::int64_t drawn(const Component& user, const Draw& draw, std::int64_t amount, bool round_up) {
    const std::int64_t unit = by_mass(user) ? kKilogram : 1;
    return round_up ? scaled_up(draw.each.count, amount, unit) : scaled_down(draw.each.count, amount, unit);
}

void add_sales(const Plan& plan, ComponentIndex component, std::vector<Claim>& claims) {
    const bool mass = by_mass(plan.components[component]);
    for (std::size_t index = 0; index < plan.orders.size(); ++index) {
        const Order& order = plan.orders[index];
        for (const Item& item : order.items) {
            if (item.component != component || item.pieces <= 0) continue;
            Claim claim;
            claim.share = {0, item.pieces};
            claim.pickup = order.pickup;
            claim.done_by = order.pickup - order.margin;
            // A mass that is collected goes into no pieces; it waits like one piece a kilogram.
            claim.weight = mass ? divided_up(item.pieces, kKilogram) : item.pieces;
            claim.order = static_cast<std::int32_t>(index);
            claims.push_back(claim);
        }
    }
}

void add_uses(const Plan& plan, const Drawer& drawer, const Queue& users, std::vector<Claim>& claims) {
    const Component& user = plan.components[drawer.user];
    for (std::size_t index = 0; index < users.batches.size(); ++index) {
        const Serving& batch = users.batches[index];
        Claim claim;
        claim.pickup = batch.pickup;
        claim.done_by = batch.done_by;
        claim.weight = batch.weight;
        claim.order = batch.first_order;
        claim.user = drawer.user;
        claim.user_batch = static_cast<std::int32_t>(index);
        claim.step = drawer.step;
        claim.draw = drawer.draw;
        claim.share = {0, drawn(user, draw_of(plan, claim), batch.share.to - batch.share.from, true)};
        if (claim.share.to > 0) claims.push_back(claim);
    }
}

/// Lays the claims end to end. Stops beyond what a plan may have, so that no sum overflows.
std::int64_t lay_out(std::vector<Claim>& claims, std::int64_t most) {
    std::stable_sort(claims.begin(), claims.end(), [](const Claim& a, const Claim& b) {
        return std::tie(a.pickup, a.user, a.user_batch, a.step) < std::tie(b.pickup, b.user, b.user_batch, b.step);
    });
    std::int64_t position = 0;
    for (Claim& claim : claims) {
        if (claim.share.to > most || position > most) return most + 1;
        claim.share = {position, position + claim.share.to};
        position = claim.share.to;
    }
    return position;
}

/// How far apart the first and the last pickup of a batch may lie; empty: any distance.
std::optional<Minutes> pooling_limit(const Component& component) {
    std::optional<Minutes> limit;
    for (const auto& keeps : {component.keeps, component.best_within, component.steps.back().keeps})
        if (keeps && (!limit || *keeps < *limit)) limit = keeps;
    return limit;
}

/// The mixer with the smallest bowl that a step of the component may be given; null where no bowl matters.
const Equipment* smallest_bowl(const Plan& plan, const Component& component) {
    const Equipment* smallest = nullptr;
    for (const Step& step : component.steps)
        for (const Use& use : step.uses)
            for (const EquipmentIndex choice : use.choices) {
                const Equipment& mixer = plan.kitchen.equipment[choice];
                if (mixer.bowl && (smallest == nullptr || *mixer.bowl < *smallest->bowl)) smallest = &mixer;
            }
    return smallest;
}

/// What a batch holds at most: what the bowl takes, what the cook says; neither: one formula. 0 where the bowl does not
/// take a single piece.
std::int64_t batch_capacity(const Component& component, const Equipment* mixer) {
    std::optional<std::int64_t> weight = component.bowl_weight;
    if (!weight && by_mass(component)) weight = component.makes.count;
    if (!weight || *weight <= 0 || mixer == nullptr)
        return std::max<std::int64_t>(component.most.value_or(component.makes.count), 1);
    const std::int64_t fits = scaled_down(component.makes.count, *mixer->bowl, *weight);
    return component.most ? std::min(fits, *component.most) : fits;
}

void serve(const Component& component, Queue& queue, Serving& batch) {
    batch.pickup = queue.claims[batch.first_claim].pickup;
    batch.done_by = Instant::max();
    batch.claims_end = batch.first_claim;
    for (; batch.claims_end < static_cast<std::int32_t>(queue.claims.size()); ++batch.claims_end) {
        const Claim& claim = queue.claims[batch.claims_end];
        if (claim.share.from >= batch.share.to) break;
        if (claim.done_by < batch.done_by) {
            batch.done_by = claim.done_by;
            batch.first_order = claim.order;
        }
        const std::int64_t from = std::max(claim.share.from, batch.share.from) - claim.share.from;
        const std::int64_t to = std::min(claim.share.to, batch.share.to) - claim.share.from;
        batch.weight += part_of(claim.weight, claim.share.to - claim.share.from, from, to);
    }
    if (!by_mass(component)) batch.weight = batch.share.to - batch.share.from;
}

/// By claim: what may wait with it, up to one whose pickup lies too far from its.
std::vector<Pool> pools_of(const Queue& queue, std::optional<Minutes> limit) {
    std::vector<Pool> pools;
    std::size_t next = 0;
    for (const Claim& claim : queue.claims) {
        while (next < queue.claims.size() && (!limit || queue.claims[next].pickup - claim.pickup <= *limit)) ++next;
        pools.push_back({claim.share.from, next < queue.claims.size() ? queue.claims[next].share.from : queue.total});
    }
    return pools;
}

/// Empty when the batches come to more than `activities_left`, from which what they come to is taken.
bool cut_into_batches(const Component& component, std::int64_t capacity, const LoadSizes& sizes,
                      std::int64_t& activities_left, Queue& queue) {
    const std::vector<Pool> pools = pools_of(queue, pooling_limit(component));
    std::vector<std::int64_t> cuts = full_cuts(pools, capacity, activities_left);
    if (static_cast<std::int64_t>(cuts.size()) > activities_left) return false;
    if (component.even) cuts = even_cuts(pools, capacity, cuts.size());
    std::int32_t claim = 0;
    std::int64_t position = 0;
    for (const std::int64_t cut : cuts) {
        while (queue.claims[claim].share.to <= position) ++claim;
        Serving batch;
        batch.first_claim = claim;
        batch.share = {position, cut};
        activities_left -= activity_count(sizes, cut - position);
        if (activities_left < 0) return false;
        serve(component, queue, batch);
        queue.batches.push_back(batch);
        position = cut;
    }
    return true;
}

Diagnostic too_much(const Component& component) {
    return {Severity::error,
            component.place,
            "the orders come to more than " + in_words(Amount{component.makes.unit, most_of(component)}) + " of " +
                component.name,
            "split the plan into several",
            {}};
}

Diagnostic too_many_activities(const Component& component) {
    return {Severity::error,
            component.place,
            "with all batches and loads the plan comes to more than " + std::to_string(Limits::activities) +
                " steps, counted up to " + component.name,
            "make bigger batches, or split the plan into several",
            {}};
}

Diagnostic bowl_too_small(const Component& component, const Equipment& mixer) {
    return {Severity::error,
            component.place,
            "not even one piece of " + component.name + " fits into the bowl of " + mixer.name,
            "check `bowl_weight`, or the `bowl` of " + mixer.name,
            {{mixer.place, "this bowl takes " + in_words(Amount{Amount::Unit::milligrams, *mixer.bowl})}}};
}

}  // namespace

Queues share_out(const Plan& plan, const std::vector<LoadSizes>& sizes, std::vector<Diagnostic>& diagnostics) {
    Queues queues(plan.components.size());
    const auto drawn_by = drawers(plan);
    std::int64_t activities_left = Limits::activities;
    for (const ComponentIndex index : users_first(plan, drawn_by)) {
        const Component& component = plan.components[index];
        Queue& queue = queues[index];
        add_sales(plan, index, queue.claims);
        for (const Drawer& drawer : drawn_by[index]) add_uses(plan, drawer, queues[drawer.user], queue.claims);

        queue.total = lay_out(queue.claims, most_of(component));
        if (queue.total > most_of(component)) {
            diagnostics.push_back(too_much(component));
            return {};
        }
        const Equipment* mixer = smallest_bowl(plan, component);
        const std::int64_t capacity = batch_capacity(component, mixer);
        if (capacity < 1) {
            // Its users are known, so the rest can still be looked at.
            if (queue.total > 0) diagnostics.push_back(bowl_too_small(component, *mixer));
            queue = {};
            continue;
        }
        if (!cut_into_batches(component, capacity, sizes[index], activities_left, queue)) {
            diagnostics.push_back(too_many_activities(component));
            return {};
        }
    }
    return queues;
}

Meeting batches_that_meet(const Queue& queue, Portion portion) {
    const auto first = std::upper_bound(queue.batches.begin(), queue.batches.end(), portion.from,
                                        [](std::int64_t at, const Serving& batch) { return at < batch.share.to; });
    const auto end = std::lower_bound(first, queue.batches.end(), portion.to,
                                      [](const Serving& batch, std::int64_t at) { return batch.share.from < at; });
    return {static_cast<std::int32_t>(first - queue.batches.begin()),
            static_cast<std::int32_t>(end - queue.batches.begin())};
}

Portion drawn_portion(const Plan& plan, const Claim& claim, std::int64_t size, Portion of_user) {
    const Component& user = plan.components[claim.user];
    const Draw& draw = draw_of(plan, claim);
    const std::int64_t to =
        of_user.to == size ? claim.share.to : claim.share.from + drawn(user, draw, of_user.to, true);
    return {claim.share.from + drawn(user, draw, of_user.from, false), std::min(to, claim.share.to)};
}

}  // namespace oventide::expansion
