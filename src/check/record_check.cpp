/// Facts of the timetable that follow from its rows: identities, sorting, pickups, the alarm clock.

#include <algorithm>
#include <set>

#include "check/sheet.hpp"

namespace oventide::referee {
namespace {

void check_listing(Sheet& sheet) {
    const auto& rows = sheet.timetable.rows;
    std::set<std::string> ids;
    for (const Row& row : rows)
        if (row.id.empty() || !ids.insert(row.id).second)
            sheet.report(Rule::record, "the id '" + row.id + "' is empty or there twice");
    for (std::size_t i = 1; i < rows.size(); ++i)
        if (std::tie(rows[i].start, rows[i].id) < std::tie(rows[i - 1].start, rows[i - 1].id))
            sheet.report(Rule::record, rows[i].id + " stands behind " + rows[i - 1].id + ", which starts later");
}

/// When the last step of everything in an order is ready.
std::optional<Minute> done(const Sheet& sheet, std::int32_t order) {
    std::optional<Minute> last;
    for (ComponentIndex component = 0; component < static_cast<ComponentIndex>(sheet.plan.components.size());
         ++component) {
        for (const Claim& claim : sheet.ledger.queue(component).claims) {
            if (claim.order != order) continue;
            for (std::int32_t batch = 1; batch <= sheet.ledger.batches(component); ++batch) {
                const Portion& share = sheet.ledger.lot(component, batch).share;
                if (share.from >= claim.share.to || share.to <= claim.share.from) continue;
                for (const RowIndex row : sheet.last_rows(component, batch))
                    last = std::max(last.value_or(sheet.ready(row)), sheet.ready(row));
            }
        }
    }
    return last;
}

void check_pickups(Sheet& sheet) {
    std::set<std::int32_t> seen;
    for (const PickupLine& line : sheet.timetable.pickups) {
        const Order& order = sheet.plan.orders[line.order];
        if (!seen.insert(line.order).second) sheet.report(Rule::record, order.name + " is collected twice");
        if (line.pickup != order.pickup)
            sheet.report(Rule::record, order.name + " is collected at another time than the plan says");
        const auto last = done(sheet, line.order);
        if (last && minute(line.done) != *last)
            sheet.report(Rule::record,
                         order.name + " is done at " + clock_text(*last) + ", not at " + clock_text(minute(line.done)));
    }
    for (std::size_t order = 0; order < sheet.plan.orders.size(); ++order)
        if (seen.count(static_cast<std::int32_t>(order)) == 0)
            sheet.report(Rule::record, sheet.plan.orders[order].name + " has no pickup");
}

void check_alarm(Sheet& sheet) {
    const auto first = waking(sheet);
    const auto& alarm = sheet.timetable.alarm;
    if (first.has_value() == alarm.has_value() && (!first || *first == minute(*alarm))) return;
    sheet.report(Rule::record, "the alarm clock is at " + (alarm ? clock_text(minute(*alarm)) : "no time") +
                                   " and should be at " + (first ? clock_text(*first) : "no time"));
}

}  // namespace

std::optional<Minute> waking(const Sheet& sheet) {
    std::optional<Minute> first;
    const auto note = [&](Minute at) { first = std::min(first.value_or(at), at); };
    for (const Row& row : sheet.timetable.rows)
        for (const HandsUse& use : row.hands)
            if (use.span.from < use.span.to) note(minute(use.span.from));
    for (const SwitchOn& on : switching_on(sheet))
        if (!sheet.plan.kitchen.equipment[on.oven].timer) note(on.at);
    return first;
}

void check_record(Sheet& sheet) {
    check_listing(sheet);
    check_pickups(sheet);
    check_alarm(sheet);
}

}  // namespace oventide::referee
