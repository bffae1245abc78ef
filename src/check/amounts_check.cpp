/// (9) Enough pieces from whole batches, in order: the rows, the handovers, the servings, the numbering.

#include <algorithm>
#include <set>

#include "check/sheet.hpp"

namespace oventide::referee {
namespace {

template <class T>
bool in_range(std::int32_t index, const std::vector<T>& things) {
    return index >= 0 && index < static_cast<std::int32_t>(things.size());
}

void check_row_ids(Sheet& sheet, const Row& row) {
    const Plan& plan = sheet.plan;
    if (!in_range(row.component, plan.components) || !in_range(row.step, plan.components[row.component].steps)) {
        sheet.report(Rule::record, row.id + " is a step that the plan does not have");
        return;
    }
    for (const EquipmentUse& use : row.equipment)
        if (!in_range(use.equipment, plan.kitchen.equipment) || use.span.from > use.span.to)
            sheet.report(Rule::record,
                         row.id + " uses equipment that the plan does not have, or for less than nothing");
    for (const HandsUse& use : row.hands)
        if (!in_range(use.person, plan.kitchen.crew) || use.span.from > use.span.to)
            sheet.report(Rule::record, row.id + " has hands that the plan does not have, or for less than nothing");
}

/// How many minutes a timetable may span at most: so many are looked at one by one.
constexpr std::int64_t kLongest = 200 * 24 * 60;

void check_span(Sheet& sheet) {
    std::optional<Minute> first;
    std::optional<Minute> last;
    const auto note = [&](Instant from, Instant to) {
        if (!first || minute(from) < *first) first = minute(from);
        if (!last || minute(to) > *last) last = minute(to);
    };
    for (const Row& row : sheet.timetable.rows) {
        note(row.start, row.end);
        for (const EquipmentUse& use : row.equipment) note(use.span.from, use.span.to);
        for (const HandsUse& use : row.hands) note(use.span.from, use.span.to);
    }
    if (first && *last - *first > kLongest) sheet.report(Rule::record, "the timetable spans more than 200 days");
}

std::string batch_name(const Sheet& sheet, ComponentIndex component, std::int32_t batch) {
    return sheet.plan.components[component].name + " batch " + std::to_string(batch);
}

/// What one thing gives to another, whichever way it is cut up.
using Transfers =
    std::map<std::tuple<std::int32_t, std::int32_t, std::int32_t, std::int32_t, std::int32_t>, std::int64_t>;

void compare(Sheet& sheet, const Transfers& due, const Transfers& written, const std::string& what,
             const std::function<std::string(const Transfers::key_type&)>& name) {
    std::set<Transfers::key_type> keys;
    for (const auto& [key, amount] : due) keys.insert(key);
    for (const auto& [key, amount] : written) keys.insert(key);
    const auto amount_in = [](const Transfers& transfers, const Transfers::key_type& key) {
        const auto found = transfers.find(key);
        return found == transfers.end() ? 0 : found->second;
    };
    for (const auto& key : keys)
        if (amount_in(due, key) != amount_in(written, key))
            sheet.report(Rule::amounts, name(key) + " " + what + " " + std::to_string(amount_in(written, key)) +
                                            " and should get " + std::to_string(amount_in(due, key)));
}

std::int64_t common(const Portion& a, const Portion& b) {
    return std::max<std::int64_t>(0, std::min(a.to, b.to) - std::max(a.from, b.from));
}

void check_handovers(Sheet& sheet) {
    Transfers due;
    Transfers written;
    for (ComponentIndex from = 0; from < static_cast<ComponentIndex>(sheet.plan.components.size()); ++from)
        for (const Claim& claim : sheet.ledger.queue(from).claims)
            for (std::int32_t batch = 1; batch <= sheet.ledger.batches(from); ++batch)
                if (const auto amount = common(claim.share, sheet.ledger.lot(from, batch).share);
                    amount > 0 && claim.order < 0)
                    due[{from, batch, claim.user, claim.user_batch, claim.step}] += amount;
    for (const Handover& each : sheet.timetable.handovers)
        written[{each.from, each.from_batch, each.to, each.to_batch, each.step}] += each.amount;
    compare(sheet, due, written, "gets", [&](const Transfers::key_type& key) {
        const auto [from, batch, to, to_batch, step] = key;
        return batch_name(sheet, to, to_batch) + " of " + batch_name(sheet, from, batch);
    });
}

void check_servings(Sheet& sheet) {
    Transfers due;
    Transfers written;
    for (ComponentIndex from = 0; from < static_cast<ComponentIndex>(sheet.plan.components.size()); ++from)
        for (const Claim& claim : sheet.ledger.queue(from).claims)
            for (std::int32_t batch = 1; batch <= sheet.ledger.batches(from); ++batch)
                if (const auto amount = common(claim.share, sheet.ledger.lot(from, batch).share);
                    amount > 0 && claim.order >= 0)
                    due[{claim.order, claim.item, batch, 0, 0}] += amount;
    for (const PickupLine& line : sheet.timetable.pickups)
        for (const PickupLine::Serving& each : line.servings)
            written[{line.order, each.item, each.batch, 0, 0}] += each.amount;
    compare(sheet, due, written, "gets", [&](const Transfers::key_type& key) {
        const Order& order = sheet.plan.orders[std::get<0>(key)];
        return order.name + " of " + batch_name(sheet, order.items[std::get<1>(key)].component, std::get<2>(key));
    });
}

/// Batches are numbered as they start their last step, and as they get ready: where that goes load by load, both the
/// first and the last load are looked at.
void check_numbering(Sheet& sheet) {
    for (ComponentIndex component = 0; component < static_cast<ComponentIndex>(sheet.plan.components.size());
         ++component) {
        for (std::int32_t batch = 2; batch <= sheet.ledger.batches(component); ++batch) {
            const auto& before = sheet.last_rows(component, batch - 1);
            const auto& rows = sheet.last_rows(component, batch);
            if (sheet.start(before.front()) <= sheet.start(rows.front()) &&
                sheet.start(before.back()) <= sheet.start(rows.back()))
                continue;
            sheet.report(Rule::amounts,
                         batch_name(sheet, component, batch) + " starts its last step at " +
                             clock_text(sheet.start(rows.front())) + ", before the batch before it at " +
                             clock_text(sheet.start(before.front())),
                         sheet.plan.components[component].place);
        }
    }
}

/// Loads are numbered as they go in, the rest last.
void check_load_numbers(Sheet& sheet) {
    for (const auto& [key, rows] : sheet.all_rows())
        for (std::size_t i = 1; i < rows.size(); ++i)
            if (sheet.start(rows[i]) < sheet.start(rows[i - 1]))
                sheet.report(Rule::amounts,
                             sheet.row(rows[i]).id + " starts at " + clock_text(sheet.start(rows[i])) +
                                 ", before the load before it",
                             sheet.step(rows[i]).place);
}

}  // namespace

void check_ids(Sheet& sheet) {
    const Plan& plan = sheet.plan;
    for (const Row& row : sheet.timetable.rows) check_row_ids(sheet, row);
    for (const OvenEvent& event : sheet.timetable.oven)
        if (!in_range(event.oven, plan.kitchen.equipment) ||
            plan.kitchen.equipment[event.oven].kind != EquipmentKind::oven)
            sheet.report(Rule::record, "an oven is switched that the plan does not have");
    for (const Handover& each : sheet.timetable.handovers)
        if (!in_range(each.from, plan.components) || !in_range(each.to, plan.components))
            sheet.report(Rule::record, "a handover between components that the plan does not have");
    for (const PickupLine& line : sheet.timetable.pickups) {
        if (!in_range(line.order, plan.orders)) {
            sheet.report(Rule::record, "a pickup of an order that the plan does not have");
            continue;
        }
        for (const PickupLine::Serving& each : line.servings)
            if (!in_range(each.item, plan.orders[line.order].items))
                sheet.report(Rule::record, "an item that the order does not have is served");
    }
    check_span(sheet);
}

void check_rows(Sheet& sheet) {
    using Key = std::tuple<ComponentIndex, std::int32_t, StepIndex, std::int32_t>;
    std::map<Key, Portion> due;
    for (ComponentIndex component = 0; component < static_cast<ComponentIndex>(sheet.plan.components.size());
         ++component)
        for (std::int32_t batch = 1; batch <= sheet.ledger.batches(component); ++batch)
            for (StepIndex step = 0; step < static_cast<StepIndex>(sheet.plan.components[component].steps.size());
                 ++step)
                for (const Piece& piece : sheet.ledger.pieces(component, step, batch))
                    due[{component, batch, step, piece.load}] = piece.share;
    std::set<Key> seen;
    for (const Row& row : sheet.timetable.rows) {
        const Key key{row.component, row.batch, row.step, row.load};
        const auto found = due.find(key);
        if (found == due.end())
            sheet.report(Rule::amounts, row.id + " is a batch or load that the orders do not need");
        else if (!seen.insert(key).second)
            sheet.report(Rule::amounts, row.id + " is there twice");
        else if (found->second.from != row.from || found->second.to != row.from + row.amount)
            sheet.report(Rule::amounts, row.id + " is [" + std::to_string(row.from) + ", " +
                                            std::to_string(row.from + row.amount) + ") of its batch and should be [" +
                                            std::to_string(found->second.from) + ", " +
                                            std::to_string(found->second.to) + ")");
    }
    for (const auto& [key, portion] : due) {
        if (seen.count(key) > 0) continue;
        const auto [component, batch, step, load] = key;
        sheet.report(Rule::amounts,
                     batch_name(sheet, component, batch) + ": " + sheet.plan.components[component].steps[step].name +
                         (load > 0 ? " load " + std::to_string(load) : "") + " is missing",
                     sheet.plan.components[component].steps[step].place);
    }
}

void check_amounts(Sheet& sheet) {
    check_handovers(sheet);
    check_servings(sheet);
    check_numbering(sheet);
    check_load_numbers(sheet);
}

}  // namespace oventide::referee
