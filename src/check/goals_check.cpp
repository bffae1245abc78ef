/// The values of the plan's aims, worked out anew.

#include <algorithm>
#include <limits>

#include "check/sheet.hpp"

namespace oventide::referee {
namespace {

constexpr std::int64_t kKilogram = 1'000'000;  // milligrams

Portion common(const Portion& a, const Portion& b) { return {std::max(a.from, b.from), std::min(a.to, b.to)}; }
Portion moved(const Portion& portion, std::int64_t by) { return {portion.from + by, portion.to + by}; }
std::int64_t size(const Portion& portion) { return portion.to - portion.from; }

/// What `part` of `whole` gets of a weight, so that the parts of any partition add up.
std::int64_t share_of(std::int64_t weight, const Portion& whole, const Portion& part) {
    const auto up_to = [&](std::int64_t at) { return floor_div(Wide{weight} * (at - whole.from), size(whole)); };
    return static_cast<std::int64_t>(up_to(part.to) - up_to(part.from));
}

class Waiting {
public:
    explicit Waiting(const Sheet& sheet) : sheet_(sheet) {}

    /// Piece-minutes, over every link that carries food and up to every pickup.
    std::int64_t total() {
        for (const Link& link : sheet_.links())
            if (link.carries_food && !link.drawn) inside(link);
        for (ComponentIndex component = 0; component < static_cast<ComponentIndex>(sheet_.plan.components.size());
             ++component)
            for (const Claim& claim : sheet_.ledger.queue(component).claims)
                claim.order >= 0 ? collected(component, claim) : used(component, claim);
        return total_;
    }

private:
    bool by_mass(ComponentIndex component) const {
        return sheet_.plan.components[component].makes.unit == Amount::Unit::milligrams;
    }

    /// A mass that is collected goes into no pieces: it counts one a kilogram.
    std::int64_t weight(ComponentIndex component, const Claim& claim) const {
        if (claim.order < 0) return batch_weight(claim.user, claim.user_batch);
        return by_mass(component) ? static_cast<std::int64_t>(ceil_div(size(claim.share), kKilogram))
                                  : size(claim.share);
    }

    /// Its own pieces, or for a mass the pieces that it goes into.
    std::int64_t batch_weight(ComponentIndex component, std::int32_t batch) const {
        const Lot& lot = sheet_.ledger.lot(component, batch);
        if (!by_mass(component)) return lot.size();
        std::int64_t sum = 0;
        for (const Claim& claim : sheet_.ledger.queue(component).claims) {
            const Portion part = common(claim.share, lot.share);
            if (part.from < part.to) sum += share_of(weight(component, claim), claim.share, part);
        }
        return sum;
    }

    void inside(const Link& link) {
        const Row& row = sheet_.row(link.from);
        const Portion whole{0, sheet_.ledger.lot(row.component, row.batch).size()};
        const Portion part = common(sheet_.share(link.from), sheet_.share(link.to));
        total_ += share_of(batch_weight(row.component, row.batch), whole, part) *
                  (sheet_.start(link.to) - sheet_.ready(link.from));
    }

    /// From every load of what serves a part of a claim until `until`.
    void serve(ComponentIndex component, const Claim& claim, const Portion& part, Minute until) {
        for (std::int32_t batch = 1; batch <= sheet_.ledger.batches(component); ++batch) {
            const Lot& lot = sheet_.ledger.lot(component, batch);
            if (size(common(lot.share, part)) <= 0) continue;
            for (const RowIndex row : sheet_.last_rows(component, batch)) {
                const Portion given = common(moved(sheet_.share(row), lot.share.from), part);
                if (size(given) <= 0) continue;
                total_ += share_of(weight(component, claim), claim.share, given) * (until - sheet_.ready(row));
            }
        }
    }

    void collected(ComponentIndex component, const Claim& claim) {
        serve(component, claim, claim.share, minute(sheet_.plan.orders[claim.order].pickup));
    }

    /// Shares of a kilogram that do not come out even are counted for the later load.
    void used(ComponentIndex component, const Claim& claim) {
        const auto& users = sheet_.rows(claim.user, claim.user_batch, claim.step);
        for (std::size_t i = 0; i < users.size(); ++i) {
            const auto begins = [&](std::size_t which) {
                if (which == users.size()) return claim.share.to;
                const auto at = floor_div(Wide{sheet_.row(users[which]).from} * sheet_.ledger.draw_of(claim).each.count,
                                          by_mass(claim.user) ? kKilogram : 1);
                return claim.share.from + static_cast<std::int64_t>(at);
            };
            serve(component, claim, {begins(i), begins(i + 1)}, sheet_.start(users[i]));
        }
    }

    const Sheet& sheet_;
    std::int64_t total_ = 0;
};

std::int64_t overrun(const Sheet& sheet) {
    std::int64_t sum = 0;
    for (ComponentIndex component = 0; component < static_cast<ComponentIndex>(sheet.plan.components.size());
         ++component) {
        const auto& best_within = sheet.plan.components[component].best_within;
        if (!best_within) continue;
        for (std::int32_t batch = 1; batch <= sheet.ledger.batches(component); ++batch) {
            Minute ready = std::numeric_limits<Minute>::max();
            Minute last = std::numeric_limits<Minute>::min();
            for (const RowIndex row : sheet.last_rows(component, batch)) {
                ready = std::min(ready, sheet.ready(row));
                for (const Link& link : sheet.links_from(row))
                    if (link.drawn) last = std::max(last, sheet.start(link.to));
            }
            for (const Claim& claim : sheet.ledger.queue(component).claims)
                if (claim.order >= 0 && size(common(claim.share, sheet.ledger.lot(component, batch).share)) > 0)
                    last = std::max(last, minute(claim.pickup));
            sum += std::max<Minute>(0, last - ready - best_within->count());
        }
    }
    return sum;
}

/// Where nobody's hands are wanted and nothing is switched on, the first step of all.
Minute alarm(const Sheet& sheet) {
    if (const auto wakes = waking(sheet)) return *wakes;
    Minute first = std::numeric_limits<Minute>::max();
    for (const Row& row : sheet.timetable.rows) first = std::min(first, minute(row.start));
    return first;
}

const char* name(Aim aim) { return aim == Aim::freshness ? "freshness" : aim == Aim::alarm ? "alarm" : "waiting"; }

}  // namespace

void check_goals(Sheet& sheet) {
    const auto& lines = sheet.timetable.goals;
    if (lines.size() != sheet.plan.aim.size()) {
        sheet.report(Rule::record, "the timetable says how near it comes to " + std::to_string(lines.size()) +
                                       " aims, and the plan has " + std::to_string(sheet.plan.aim.size()));
        return;
    }
    bool all_proven = true;
    for (std::size_t i = 0; i < lines.size(); ++i) {
        const GoalLine& line = lines[i];
        const std::int64_t value = line.aim == Aim::freshness ? overrun(sheet)
                                   : line.aim == Aim::alarm   ? alarm(sheet)
                                                              : Waiting(sheet).total();
        if (line.aim != sheet.plan.aim[i])
            sheet.report(Rule::record, std::string("an aim is ") + name(line.aim) + ", which is not the plan's order");
        else if (line.value != value)
            sheet.report(Rule::record, std::string(name(line.aim)) + " comes to " + std::to_string(value) +
                                           ", not to " + std::to_string(line.value));
        else if (line.proven && line.best != line.value)
            sheet.report(Rule::record, std::string(name(line.aim)) + " is proven, and could be better");
        all_proven = all_proven && line.proven;
    }
    if (sheet.timetable.optimal && !all_proven)
        sheet.report(Rule::record, "the timetable cannot be bettered, and an aim is not proven");
}

}  // namespace oventide::referee
