#include "check/sheet.hpp"

#include <algorithm>
#include <chrono>
#include <cstdio>

namespace oventide::referee {
namespace {

bool overlap(const Portion& a, const Portion& b) { return a.from < b.to && b.from < a.to; }

}  // namespace

std::string clock_text(Minute at) {
    const std::chrono::sys_time<Minutes> instant{Minutes{at}};
    const auto day = std::chrono::floor<std::chrono::days>(instant);
    const std::chrono::year_month_day date{day};
    const auto of_day = static_cast<int>((instant - day).count());
    char text[48];
    std::snprintf(text, sizeof text, "%04d-%02u-%02u %02d:%02d UTC", static_cast<int>(date.year()),
                  static_cast<unsigned>(date.month()), static_cast<unsigned>(date.day()), of_day / 60, of_day % 60);
    return text;
}

Sheet::Sheet(const Plan& plan_given, const Timetable& timetable_given)
    : plan(plan_given), timetable(timetable_given), ledger(plan_given) {}

void Sheet::find_rows() {
    for (RowIndex index = 0; index < static_cast<RowIndex>(timetable.rows.size()); ++index)
        rows_[{row(index).component, row(index).batch, row(index).step}].push_back(index);
    for (auto& [key, rows] : rows_)
        std::sort(rows.begin(), rows.end(), [&](RowIndex a, RowIndex b) { return row(a).load < row(b).load; });
}

const std::vector<RowIndex>& Sheet::rows(ComponentIndex component, std::int32_t batch, StepIndex step) const {
    static const std::vector<RowIndex> none;
    const auto found = rows_.find({component, batch, step});
    return found == rows_.end() ? none : found->second;
}

const std::vector<RowIndex>& Sheet::last_rows(ComponentIndex component, std::int32_t batch) const {
    return rows(component, batch, static_cast<StepIndex>(plan.components[component].steps.size()) - 1);
}

// ----------------------------------------------------------------------------------------------------- links

void Sheet::find_links() {
    find_rows();
    find_exchanges();
    for (ComponentIndex component = 0; component < static_cast<ComponentIndex>(plan.components.size()); ++component) {
        const auto& steps = plan.components[component].steps;
        for (StepIndex step = 0; step < static_cast<StepIndex>(steps.size()); ++step) {
            for (const After& after : steps[step].after) link_after(component, step, after);
            for (std::size_t draw = 0; draw < steps[step].draws.size(); ++draw)
                link_draw(component, step, static_cast<std::int32_t>(draw));
        }
    }
    from_.resize(timetable.rows.size());
    for (const Link& each : links_) from_[each.from].push_back(each);
}

void Sheet::link(RowIndex from, RowIndex to, const After& after, bool carries_food) {
    std::optional<std::int64_t> within;
    if (after.within) within = after.within->count();
    links_.push_back({from, to, after.rest.count(), within, carries_food, false, after.place});
}

void Sheet::link_after(ComponentIndex component, StepIndex step, const After& after) {
    if (after.component == component)
        link_within_component(component, step, after);
    else
        link_across(component, step, after);
}

/// Load to load where both are done by load; what is done by the batch waits for every load.
void Sheet::link_within_component(ComponentIndex component, StepIndex step, const After& after) {
    for (std::int32_t batch = 1; batch <= ledger.batches(component); ++batch)
        for (const RowIndex from : rows(component, batch, after.step))
            for (const RowIndex to : rows(component, batch, step))
                if (overlap(share(from), share(to))) link(from, to, after, true);
}

/// Each pair of batches that exchange food; every batch with every batch where the components exchange nothing.
void Sheet::link_across(ComponentIndex component, StepIndex step, const After& after) {
    const bool strangers = component_exchange_.count({after.component, component}) == 0;
    for (std::int32_t giver = 1; giver <= ledger.batches(after.component); ++giver)
        for (std::int32_t batch = 1; batch <= ledger.batches(component); ++batch)
            if (strangers || exchange(after.component, giver, component, batch))
                for (const RowIndex from : rows(after.component, giver, after.step))
                    for (const RowIndex to : rows(component, batch, step)) link(from, to, after, false);
}

void Sheet::link_draw(ComponentIndex component, StepIndex step, std::int32_t draw) {
    const Draw& what = plan.components[component].steps[step].draws[draw];
    std::optional<std::int64_t> within;
    if (what.within) within = what.within->count();
    for (std::int32_t batch = 1; batch <= ledger.batches(component); ++batch) {
        for (const RowIndex to : rows(component, batch, step)) {
            const auto needed = ledger.needed(component, batch, step, draw, share(to));
            for (std::int32_t giver = needed.first; giver < needed.end; ++giver)
                for (const RowIndex from : last_rows(what.component, giver))
                    links_.push_back({from, to, what.rest.count(), within, true, true, what.place});
        }
    }
}

void Sheet::find_exchanges() {
    const auto both_ways = [&](ComponentIndex a, std::int32_t a_batch, ComponentIndex b, std::int32_t b_batch) {
        batch_exchange_[{a, a_batch, b, b_batch}] = batch_exchange_[{b, b_batch, a, a_batch}] = true;
        component_exchange_[{a, b}] = component_exchange_[{b, a}] = true;
    };
    for (ComponentIndex user = 0; user < static_cast<ComponentIndex>(plan.components.size()); ++user) {
        const auto& steps = plan.components[user].steps;
        for (std::int32_t batch = 1; batch <= ledger.batches(user); ++batch) {
            const Portion whole{0, ledger.lot(user, batch).size()};
            for (StepIndex step = 0; step < static_cast<StepIndex>(steps.size()); ++step) {
                for (std::int32_t draw = 0; draw < static_cast<std::int32_t>(steps[step].draws.size()); ++draw) {
                    const auto needed = ledger.needed(user, batch, step, draw, whole);
                    for (std::int32_t giver = needed.first; giver < needed.end; ++giver)
                        both_ways(steps[step].draws[draw].component, giver, user, batch);
                }
            }
        }
    }
}

bool Sheet::exchange(ComponentIndex a, std::int32_t a_batch, ComponentIndex b, std::int32_t b_batch) const {
    return batch_exchange_.count({a, a_batch, b, b_batch}) > 0;
}

// ----------------------------------------------------------------------------------------------------- times

Minute Sheet::ready(RowIndex index) const {
    return start(index) + minutes_taken(plan, component(index), step(index), row(index).amount);
}

std::optional<Minute> Sheet::last_use(RowIndex index) const {
    std::optional<Minute> last;
    const auto note = [&](Minute at) {
        if (!last || at > *last) last = at;
    };
    for (const Link& each : links_from(index)) note(start(each.to));
    if (is_last_step(index)) {
        const Lot& lot = ledger.lot(row(index).component, row(index).batch);
        for (const Claim& claim : ledger.queue(row(index).component).claims)
            if (claim.order >= 0 && overlap(claim.share, lot.share)) note(minute(claim.pickup));
    }
    return last;
}

Minute Sheet::end(RowIndex index) const {
    const Minute done = ready(index);
    if (!step(index).keeps) return done;
    const auto last = last_use(index);
    return last && *last > done ? *last : done;
}

}  // namespace oventide::referee
