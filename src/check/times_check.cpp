/// (1) durations, (2) order, (7) pickups, (8) freshness and safety, and the plan's beginning.

#include <algorithm>

#include "check/sheet.hpp"
#include "oventide/safety.hpp"

namespace oventide::referee {
namespace {

void check_duration(Sheet& sheet, RowIndex index) {
    const Row& row = sheet.row(index);
    const Step& step = sheet.step(index);
    const Minute ready = sheet.ready(index);
    const Minute end = sheet.end(index);
    if (minute(row.ready) != ready)
        sheet.report(Rule::duration,
                     row.id + " is ready at " + clock_text(minute(row.ready)) + " and takes until " + clock_text(ready),
                     step.place);
    else if (minute(row.end) != end)
        sheet.report(Rule::duration,
                     row.id + " ends at " + clock_text(minute(row.end)) + " and should end at " + clock_text(end),
                     step.place);
    if (step.keeps && end - ready > step.keeps->count())
        sheet.report(Rule::duration,
                     row.id + " is ready at " + clock_text(ready) + ", keeps " + std::to_string(step.keeps->count()) +
                         " min and is needed until " + clock_text(end),
                     step.place);
}

void check_beginning(Sheet& sheet, RowIndex index) {
    const Row& row = sheet.row(index);
    Minute first = sheet.start(index);
    for (const EquipmentUse& use : row.equipment)
        if (use.span.from < use.span.to) first = std::min(first, minute(use.span.from));
    for (const HandsUse& use : row.hands)
        if (use.span.from < use.span.to) first = std::min(first, minute(use.span.from));
    if (first < minute(sheet.plan.from))
        sheet.report(Rule::beginning, row.id + " starts at " + clock_text(first) + ", before the plan at " +
                                          clock_text(minute(sheet.plan.from)));
}

void check_link(Sheet& sheet, const Link& link) {
    const Minute ready = sheet.ready(link.from);
    const Minute start = sheet.start(link.to);
    const std::string names = sheet.row(link.to).id + " starts at " + clock_text(start) + " and " +
                              sheet.row(link.from).id + " is ready at " + clock_text(ready);
    if (start < ready + link.rest)
        sheet.report(Rule::order, names + ": less than " + std::to_string(link.rest) + " min between them", link.place);
    if (link.within && start > ready + *link.within)
        sheet.report(Rule::order, names + ": more than " + std::to_string(*link.within) + " min between them",
                     link.place);
}

/// Done by the pickup less the margin; kept from ready to each use and to the pickup itself.
void check_batch_end(Sheet& sheet, RowIndex index) {
    const Row& row = sheet.row(index);
    const Component& component = sheet.component(index);
    const Minute ready = sheet.ready(index);
    const Lot& lot = sheet.ledger.lot(row.component, row.batch);
    Minute last = ready;
    for (const Claim& claim : sheet.ledger.queue(row.component).claims) {
        if (claim.order < 0 || claim.share.from >= lot.share.to || claim.share.to <= lot.share.from) continue;
        const Order& order = sheet.plan.orders[claim.order];
        last = std::max(last, minute(order.pickup));
        if (ready > minute(order.pickup) - order.margin.count())
            sheet.report(Rule::pickup,
                         row.id + " is ready at " + clock_text(ready) + ", too late for " + order.name + " at " +
                             clock_text(minute(order.pickup)) + " less " + std::to_string(order.margin.count()) +
                             " min",
                         order.place);
    }
    for (const Link& link : sheet.links_from(index))
        if (link.drawn) last = std::max(last, sheet.start(link.to));
    if (component.keeps && last - ready > component.keeps->count())
        sheet.report(Rule::freshness,
                     row.id + " is ready at " + clock_text(ready) + ", keeps " +
                         std::to_string(component.keeps->count()) + " min and is used until " + clock_text(last),
                     component.place);
}

/// From a cooked row along the food to the first chill on every way.
void check_chills(Sheet& sheet, RowIndex cooked, const SafetyRule& rule) {
    std::vector<RowIndex> reached{cooked};
    std::vector<bool> seen(sheet.timetable.rows.size(), false);
    for (std::size_t next = 0; next < reached.size(); ++next) {
        for (const Link& link : sheet.links_from(reached[next])) {
            if (!link.carries_food || seen[link.to]) continue;
            seen[link.to] = true;
            if (!sheet.step(link.to).chill) {
                reached.push_back(link.to);
                continue;
            }
            const Minute ready = sheet.ready(cooked);
            if (sheet.start(link.to) - ready > rule.chill_within.count())
                sheet.report(Rule::safety,
                             sheet.row(link.to).id + " starts at " + clock_text(sheet.start(link.to)) + ", more than " +
                                 std::to_string(rule.chill_within.count()) + " min after " + sheet.row(cooked).id +
                                 " is ready at " + clock_text(ready),
                             sheet.step(cooked).place);
        }
    }
}

}  // namespace

void check_times(Sheet& sheet) {
    for (RowIndex index = 0; index < static_cast<RowIndex>(sheet.timetable.rows.size()); ++index) {
        check_duration(sheet, index);
        check_beginning(sheet, index);
    }
}

void check_order(Sheet& sheet) {
    for (const Link& link : sheet.links()) check_link(sheet, link);
    const auto rule = find_safety_rule(sheet.plan.safety.rule);
    for (RowIndex index = 0; index < static_cast<RowIndex>(sheet.timetable.rows.size()); ++index) {
        if (sheet.is_last_step(index)) check_batch_end(sheet, index);
        if (rule && sheet.step(index).cooked && !sheet.step(index).chill) check_chills(sheet, index, *rule);
    }
}

}  // namespace oventide::referee
