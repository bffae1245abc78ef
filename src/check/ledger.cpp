#include "check/ledger.hpp"

#include <algorithm>
#include <limits>

namespace oventide::referee {
namespace {

constexpr std::int64_t kKilogram = 1'000'000;  // milligrams
constexpr std::int64_t kUnknown = -1;

/// What `each` is counted for: one piece, or one kilogram.
std::int64_t unit(const Component& component) { return component.makes.unit == Amount::Unit::pieces ? 1 : kKilogram; }

/// Seconds times unit(component), so that nothing is rounded before the end.
Wide scaled_seconds(const Plan& plan, const Component& component, const Step& step, std::int64_t amount) {
    const Seconds base = plan.times == Times::longest ? step.takes.longest : step.takes.usual;
    return Wide{base.count()} * unit(component) + Wide{step.each.count()} * amount;
}

Wide scaled_minute(const Component& component) { return Wide{60} * unit(component); }

std::int64_t smallest_load(const Plan& plan, const Bake& bake) {
    std::int64_t trays = std::numeric_limits<std::int32_t>::max();
    for (const EquipmentIndex oven : bake.ovens)
        trays = std::min<std::int64_t>(trays, plan.kitchen.equipment[oven].capacity);
    return trays * bake.tray.count;
}

struct Neighbours {
    StepIndex before;
    StepIndex after;
    bool at_once;
};

/// A bake's load is what the smallest of its ovens holds. What is at once with a bake is cut like it; other steps
/// that are done load by load are cut like the step before them, or else like the one behind.
std::vector<std::int64_t> cut_into_loads(const Plan& plan, ComponentIndex index) {
    const Component& component = plan.components[index];
    std::vector<Neighbours> links;
    for (StepIndex step = 0; step < static_cast<StepIndex>(component.steps.size()); ++step)
        for (const After& after : component.steps[step].after)
            if (after.component == index && component.steps[step].by_load && component.steps[after.step].by_load)
                links.push_back({after.step, step, after.within == Minutes{0}});

    std::vector<std::int64_t> size(component.steps.size(), kUnknown);
    for (std::size_t step = 0; step < size.size(); ++step)
        if (component.steps[step].bake) size[step] = smallest_load(plan, *component.steps[step].bake);

    // So small are plans' components that sweeping until nothing changes is the surest way.
    const auto sweep = [&](auto change) {
        for (bool changed = true; changed;) {
            changed = false;
            for (const Neighbours& link : links) changed = change(link) || changed;
        }
    };
    const auto copy = [&](StepIndex from, StepIndex to) {
        if (size[to] != kUnknown || size[from] == kUnknown) return false;
        size[to] = size[from];
        return true;
    };
    const auto smaller_of_both = [&](const Neighbours& link) {
        if (!link.at_once) return false;
        bool changed = copy(link.before, link.after) || copy(link.after, link.before);
        if (size[link.before] != size[link.after]) {
            size[link.before] = size[link.after] = std::min(size[link.before], size[link.after]);
            changed = true;
        }
        return changed;
    };
    sweep(smaller_of_both);
    sweep([&](const Neighbours& link) { return copy(link.before, link.after) || smaller_of_both(link); });
    sweep([&](const Neighbours& link) { return copy(link.after, link.before) || smaller_of_both(link); });

    for (std::size_t step = 0; step < size.size(); ++step) {
        if (!component.steps[step].by_load) size[step] = 0;
        if (size[step] == kUnknown) size[step] = std::numeric_limits<std::int64_t>::max();
    }
    return size;
}

bool meet(const Portion& a, const Portion& b) { return a.from < b.to && b.from < a.to; }

}  // namespace

Wide floor_div(Wide a, Wide b) { return a / b - (a % b != 0 && (a < 0) != (b < 0)); }
Wide ceil_div(Wide a, Wide b) { return -floor_div(-a, b); }

std::int64_t minutes_taken(const Plan& plan, const Component& component, const Step& step, std::int64_t amount) {
    return static_cast<std::int64_t>(ceil_div(scaled_seconds(plan, component, step, amount), scaled_minute(component)));
}

std::vector<std::int64_t> setting_ends(const Plan& plan, const Component& component, const Step& step,
                                       std::int64_t amount) {
    const Wide all = scaled_seconds(plan, component, step, amount);
    Wide rest = all;
    for (const Setting& setting : step.bake->programme)
        if (setting.lasts) rest -= Wide{setting.lasts->count()} * unit(component);
    std::vector<std::int64_t> ends;
    Wide at = 0;
    for (const Setting& setting : step.bake->programme) {
        at += setting.lasts ? Wide{setting.lasts->count()} * unit(component) : rest;
        ends.push_back(static_cast<std::int64_t>(ceil_div(at, scaled_minute(component))));
    }
    ends.back() = static_cast<std::int64_t>(ceil_div(all, scaled_minute(component)));
    return ends;
}

/// As much as the smallest bowl takes that may be used, and no more than `most`. One formula where neither says more.
std::int64_t largest_batch(const Plan& plan, const Component& component) {
    const bool by_mass = component.makes.unit == Amount::Unit::milligrams;
    const std::int64_t weight = component.bowl_weight.value_or(by_mass ? component.makes.count : 0);
    std::int64_t most = kUnknown;
    for (const Step& step : component.steps) {
        for (const Use& use : step.uses) {
            for (const EquipmentIndex choice : use.choices) {
                const auto& bowl = plan.kitchen.equipment[choice].bowl;
                if (!bowl || weight <= 0) continue;
                const auto fits = static_cast<std::int64_t>(Wide{component.makes.count} * *bowl / weight);
                if (most == kUnknown || fits < most) most = fits;
            }
        }
    }
    if (most == kUnknown) return component.most.value_or(component.makes.count);
    return std::max<std::int64_t>(std::min(most, component.most.value_or(most)), 1);
}

Ledger::Ledger(const Plan& plan) : plan_(plan), queues_(plan.components.size()) {
    const auto count = static_cast<ComponentIndex>(plan.components.size());
    for (ComponentIndex index = 0; index < count; ++index) load_sizes_.push_back(cut_into_loads(plan, index));

    // A component's queue is known when the batches of all its users are.
    std::vector<bool> done(count, false);
    const auto waits_for_a_user = [&](ComponentIndex drawn) {
        for (ComponentIndex user = 0; user < count; ++user)
            for (const Step& step : plan.components[user].steps)
                for (const Draw& draw : step.draws)
                    if (draw.component == drawn && !done[user]) return true;
        return false;
    };
    for (bool progress = true; progress;) {
        progress = false;
        for (ComponentIndex index = 0; index < count; ++index) {
            if (done[index] || waits_for_a_user(index)) continue;
            fill_queue(index);
            cut_into_lots(index);
            done[index] = progress = true;
        }
    }
}

/// In the order of pickups; of equal ones sales first, then uses as written.
void Ledger::fill_queue(ComponentIndex index) {
    struct Wanted {
        Claim claim;
        std::int64_t amount;
    };
    std::vector<Wanted> wanted;
    for (std::size_t order = 0; order < plan_.orders.size(); ++order) {
        for (std::size_t item = 0; item < plan_.orders[order].items.size(); ++item) {
            const Item& sale = plan_.orders[order].items[item];
            if (sale.component != index) continue;
            Claim claim;
            claim.pickup = plan_.orders[order].pickup;
            claim.order = static_cast<std::int32_t>(order);
            claim.item = static_cast<std::int32_t>(item);
            wanted.push_back({claim, sale.pieces});
        }
    }
    for (ComponentIndex user = 0; user < static_cast<ComponentIndex>(plan_.components.size()); ++user)
        for (std::int32_t batch = 1; batch <= batches(user); ++batch)
            for (const Claim& claim : draws_of(user, batch, index))
                wanted.push_back({claim, drawn(draw_of(claim), user, {0, lot(user, batch).size()}).to});
    std::stable_sort(wanted.begin(), wanted.end(),
                     [](const Wanted& a, const Wanted& b) { return a.claim.pickup < b.claim.pickup; });
    std::int64_t end = 0;
    for (Wanted& one : wanted) {
        if (one.amount <= 0) continue;
        one.claim.share = {end, end + one.amount};
        end += one.amount;
        queues_[index].claims.push_back(one.claim);
    }
}

/// What the steps of one batch draw of a component, as written.
std::vector<Claim> Ledger::draws_of(ComponentIndex user, std::int32_t batch, ComponentIndex drawn) const {
    std::vector<Claim> claims;
    const auto& steps = plan_.components[user].steps;
    for (std::size_t step = 0; step < steps.size(); ++step) {
        for (std::size_t draw = 0; draw < steps[step].draws.size(); ++draw) {
            if (steps[step].draws[draw].component != drawn) continue;
            Claim claim;
            claim.pickup = lot(user, batch).pickup;
            claim.user = user;
            claim.user_batch = batch;
            claim.step = static_cast<StepIndex>(step);
            claim.draw = static_cast<std::int32_t>(draw);
            claims.push_back(claim);
        }
    }
    return claims;
}

/// Full batches, the rest last, or all alike; a batch goes no further than to the pickups that its food can wait for.
void Ledger::cut_into_lots(ComponentIndex index) {
    const Component& component = plan_.components[index];
    std::optional<Minutes> patience;
    for (const auto& limit : {component.keeps, component.best_within, component.steps.back().keeps})
        if (limit && (!patience || *limit < *patience)) patience = limit;
    const std::int64_t most = largest_batch(plan_, component);
    auto& lots = queues_[index].lots;
    std::int64_t room = 0;
    for (const Claim& claim : queues_[index].claims) {
        for (std::int64_t at = claim.share.from; at < claim.share.to;) {
            const bool too_late = !lots.empty() && patience && claim.pickup - lots.back().pickup > *patience;
            if (lots.empty() || too_late || room == 0) {
                lots.push_back({{at, at}, claim.pickup});
                room = component.even ? even_room(index, at, patience, most) : most;
            }
            const std::int64_t taken = std::min(room, claim.share.to - at);
            at += taken;
            room -= taken;
            lots.back().share.to = at;
        }
    }
}

/// Where the food ends that can wait with what lies at `at`.
std::int64_t Ledger::end_of_wait(ComponentIndex index, std::int64_t at, std::optional<Minutes> patience) const {
    std::optional<Instant> pickup;
    std::int64_t end = at;
    for (const Claim& claim : queues_[index].claims) {
        if (claim.share.to <= at) continue;
        if (!pickup) pickup = claim.pickup;
        if (patience && claim.pickup - *pickup > *patience) break;
        end = claim.share.to;
    }
    return end;
}

/// Whether full batches from `at` on are more than from the later `full` on.
bool Ledger::takes_another(ComponentIndex index, std::int64_t at, std::int64_t full, std::optional<Minutes> patience,
                           std::int64_t most) const {
    const std::int64_t total = queues_[index].claims.back().share.to;
    for (; full < total && at < full; full = std::min(full + most, end_of_wait(index, full, patience)))
        at = std::min(at + most, end_of_wait(index, at, patience));
    return at < full;
}

/// Of all that can wait as long, as many equal parts as it takes batches: the first and greatest of them. More, the
/// least that will do, where another batch would be needed behind it.
std::int64_t Ledger::even_room(ComponentIndex index, std::int64_t at, std::optional<Minutes> patience,
                               std::int64_t most) const {
    const std::int64_t end = end_of_wait(index, at, patience);
    const std::int64_t left = end - at;
    const std::int64_t parts = left / most + (left % most == 0 ? 0 : 1);
    std::int64_t room = left / parts + (left % parts == 0 ? 0 : 1);
    if (end == queues_[index].claims.back().share.to) return room;
    const std::int64_t full = std::min(left, most);
    // The more one batch takes, the fewer are needed behind it.
    for (std::int64_t enough = full; room < enough;) {
        const std::int64_t middle = room + (enough - room) / 2;
        if (takes_another(index, at + middle, at + full, patience, most))
            room = middle + 1;
        else
            enough = middle;
    }
    return room;
}

/// What [from, to) of a user's batch draws, every piece and every kilogram's part covered whole.
Portion Ledger::drawn(const Draw& draw, ComponentIndex user, Portion portion) const {
    const std::int64_t per = unit(plan_.components[user]);
    return {static_cast<std::int64_t>(floor_div(Wide{portion.from} * draw.each.count, per)),
            static_cast<std::int64_t>(ceil_div(Wide{portion.to} * draw.each.count, per))};
}

std::vector<Piece> Ledger::pieces(ComponentIndex component, StepIndex step, std::int32_t batch) const {
    const std::int64_t most = load_sizes_[component][step];
    const std::int64_t size = lot(component, batch).size();
    if (most == 0) return {{0, {0, size}}};
    std::vector<Piece> loads;
    for (std::int64_t at = 0; at < size;) {
        const std::int64_t end = size - at <= most ? size : at + most;
        loads.push_back({static_cast<std::int32_t>(loads.size()) + 1, {at, end}});
        at = end;
    }
    return loads;
}

Ledger::Needed Ledger::needed(ComponentIndex user, std::int32_t batch, StepIndex step, std::int32_t draw,
                              Portion portion) const {
    const Draw& what = plan_.components[user].steps[step].draws[draw];
    const Queue& from = queues_[what.component];
    Needed needed;
    for (const Claim& claim : from.claims) {
        if (claim.user != user || claim.user_batch != batch || claim.step != step || claim.draw != draw) continue;
        Portion part = drawn(what, user, portion);
        part = {claim.share.from + part.from, std::min(claim.share.from + part.to, claim.share.to)};
        for (std::int32_t number = 1; number <= batches(what.component); ++number) {
            if (!meet(lot(what.component, number).share, part)) continue;
            if (needed.first == needed.end) needed = {number, number};
            needed.end = number + 1;
        }
    }
    return needed;
}

}  // namespace oventide::referee
