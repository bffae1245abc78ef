/// Whether each pickup holds; of those that do not why not, and what would help.
#include <fmt/format.h>

#include <algorithm>

#include "report/chill_words.hpp"
#include "report/day_part.hpp"
#include "report/page.hpp"
#include "report/shared.hpp"

namespace oventide::report {
namespace {

/// More reasons, one from another, than a cook wants to read.
constexpr std::size_t kLongest = 8;

using replan::Replanned;
using replan::State;

class Pickups : DayPart {
public:
    using DayPart::DayPart;

    void add_pickups() {
        page_.heading(std::string("Pickups") + if_so());
        Table table({{"", Align::left, 12},
                     {"order"},
                     {"ready", Align::left, 12},
                     {"margin was", Align::right, 12},
                     {"is", Align::right, 12}});
        for (const replan::Pickup& pickup : result_.pickups)
            table.row({at(pickup.at), order_name(pickup.order), at(pickup.done),
                       pickup.before ? margin_text(pickup.told - *pickup.before) : "",
                       margin_text(pickup.at - pickup.done)});
        page_.table(table, 2);
        add_margins();
        for (const replan::Fewer& one : result_.fewer)
            page_.paragraph(
                fmt::format("Not in it: {} of {} {} for {}", words_.amount(one.component, one.ordered - one.left),
                            words_.amount(one.component, one.ordered), words_.component(one.component),
                            words_.name(one.order)),
                2, 2);
    }

    void add_margins() {
        const auto& orders = day_.situation.today.orders;
        const auto is_late = [](const replan::Pickup& one) { return one.last.has_value(); };
        const auto is_less = [&](const replan::Pickup& one) {
            return one.done > day_.situation.now && one.at - one.done < orders[one.order].margin;
        };
        if (std::ranges::any_of(result_.pickups, is_late) || std::ranges::none_of(result_.pickups, is_less)) return;
        page_.paragraph(result_.margins_tried
                            ? "That is as much of the plan's margins as was found."
                            : "Less margin than the plan has it. '--keep-margins' looks for more, whatever else moves.",
                        2, 2);
    }

    /// Of each late pickup when it can be had, and what holds it up.
    void add_late() {
        for (const replan::Pickup& pickup : result_.pickups) {
            if (!pickup.last) continue;
            page_.heading(order_name(pickup.order) + " is late");
            const bool over = day_.situation.steps[*pickup.last].state == State::finished;
            page_.paragraph(
                fmt::format("{} late: {} {}, when the last of it {} ready: {}.", duration_text(pickup.done - pickup.at),
                            over ? "it was" : "the earliest found is", at(pickup.done), over ? "was" : "is",
                            task(*pickup.last)),
                2, 2);
            for (const replan::GaveWay& one : result_.gave_way)
                if (one.order == pickup.order) page_.paragraph(gave_way(one, pickup), 2, 2);
            add_held_up(pickup);
        }
    }

    /// It was to be used before the night, and nobody thought of what becomes of it.
    void add_over_night() {
        if (result_.over_night.empty()) return;
        page_.heading("Food stands over night, and was not announced to");
        for (const replan::OverNight& one : result_.over_night)
            page_.paragraph(fmt::format("{}: ready {}, and not used before {}, {} later", task(one.step), at(one.from),
                                        at(one.to), duration_text(one.to - one.from)),
                            2, 2);
        page_.paragraph(kCaution, 2);
    }

    void add_ways() {
        if (result_.ways.empty()) return;
        const bool needs_more = result_.way == Replanned::Way::conditional;
        page_.heading(fmt::format("What would help{} (each was tried, by itself)", needs_more ? " besides" : ""));
        if (std::vector<std::string> needs; needs_more) {
            for (const replan::Need& need : result_.needs) needs.push_back(longer(need));
            if (!result_.fewer.empty()) needs.push_back("fewer pieces are made, as above");
            page_.paragraph("Each holds only if this is so as well: " + joined(needs) + ".", 2, 2);
        }
        for (const replan::WayOut& way : result_.ways) page_.paragraph(way_text(way), 2, 2);
    }

private:
    static std::string margin_text(Minutes margin) {
        return margin >= Minutes{0} ? short_duration(margin) : "LATE " + short_duration(-margin);
    }

    std::string gave_way(const replan::GaveWay& one, const replan::Pickup& pickup) const {
        const replan::Pickup& to = pickup_of(one.to);
        const std::string instead = one.late > Minutes{0} ? fmt::format("{} late", duration_text(one.late))
                                                          : "in time all the same, as far as was found in a hurry";
        return fmt::format(
            "It gives way to {}, which is collected {} earlier. Did {} wait instead, this would be ready {}, {} "
            "sooner, "
            "and {} {}: fewer minutes late in all are chosen.",
            order_name(one.to), duration_text(to.told - to.at), order_name(one.to), at(one.otherwise),
            duration_text(pickup.done - one.otherwise), order_name(one.to), instead);
    }

    /// Of a long chain what is nearest to the pickup, and what it comes from in the end; what holds up an order above
    /// as well is said there.
    void add_held_up(const replan::Pickup& pickup) {
        auto [own, above] = own_part(pickup);
        const std::size_t left_out = own > kLongest ? own - kLongest : 0;
        for (std::size_t k = 0; k < own; ++k) {
            if (left_out > 0 && k == kLongest / 2)
                page_.paragraph(fmt::format("... and so on, back over {} more", left_out), 2, 2);
            if (k < kLongest / 2 || k >= kLongest / 2 + left_out) page_.paragraph(held_up(pickup.held_up[k]), 2, 2);
        }
        if (above != nullptr)
            page_.paragraph(fmt::format("{} by what holds up {}, above.", own > 0 ? "... and that" : "Held up",
                                        order_name(above->order)),
                            2, 2);
    }

    /// How much of the chain no late pickup above has, and the one that has the rest; null: none.
    std::pair<std::size_t, const replan::Pickup*> own_part(const replan::Pickup& pickup) const {
        std::pair<std::size_t, const replan::Pickup*> least{pickup.held_up.size(), nullptr};
        for (const replan::Pickup& other : result_.pickups) {
            if (&other == &pickup) break;
            const auto [own, theirs] = std::mismatch(pickup.held_up.rbegin(), pickup.held_up.rend(),
                                                     other.held_up.rbegin(), other.held_up.rend(), is_same);
            const auto left = static_cast<std::size_t>(pickup.held_up.rend() - own);
            if (left + 1 < pickup.held_up.size() && left < least.first) least = {left, &other};
        }
        return least;
    }

    static bool is_same(const replan::HoldUp& one, const replan::HoldUp& other) {
        return one.step == other.step && one.cause == other.cause && one.by == other.by &&
               one.resource == other.resource;
    }

    std::string held_up(const replan::HoldUp& one) const {
        const std::string step = fmt::format("{} {}", at(row_of(one.step).start), task(one.step));
        switch (one.cause) {
            case replan::HoldUp::Cause::step:
                return step + ": follows " + task(*one.by);
            case replan::HoldUp::Cause::busy:
                return fmt::format("{}: {} is with {} before", step, words_.resource(*one.resource), task(*one.by));
            case replan::HoldUp::Cause::closed:
            case replan::HoldUp::Cause::cold:
                return fmt::format("{}: {}", step, lacking(one));
            case replan::HoldUp::Cause::stood:
                return fmt::format("{}: stood still, for the {} was broken{}", step, words_.resource(*one.resource),
                                   stood_from(one.step));
            case replan::HoldUp::Cause::now:
                break;
        }
        return step + ": cannot start before now";
    }

    /// What is not there, or not hot, before the step.
    std::string lacking(const replan::HoldUp& one) const {
        const std::string name = words_.resource(*one.resource);
        const auto equipment = result_.expansion->resources[*one.resource].equipment;
        const Instant start = row_of(one.step).start;
        std::optional<Instant> broken;
        if (equipment)
            for (const Span& span : day_.situation.broken[*equipment])
                if (span.from < start && span.to <= start && span.to > day_.situation.now)
                    broken = std::max(broken.value_or(span.to), span.to);
        if (one.cause == replan::HoldUp::Cause::cold)
            return broken ? fmt::format("{} is broken until {}, and not hot before", name, at(*broken))
                          : fmt::format("{} is not hot before", name);
        if (broken == start) return fmt::format("{} is broken before", name);
        return fmt::format("{} is not {} before", name, equipment ? "to be had" : "there");
    }

    std::string stood_from(ActivityId step) const {
        for (const replan::Interruption& one : day_.situation.interruptions)
            if (one.step == step && !one.kept)
                return one.open ? " from " + at(one.span.from)
                                : fmt::format(" {} to {}", at(one.span.from), at(one.span.to));
        return "";
    }

    bool has_happened(ActivityId step) const { return day_.situation.steps[step].state != State::waiting; }

    /// Late by what has happened: nothing changes that.
    bool is_over(std::int32_t order) const {
        const auto& last = pickup_of(order).last;
        return last && has_happened(*last);
    }

    bool is_late_now(std::int32_t order) const { return pickup_of(order).last.has_value(); }

    std::string way_text(const replan::WayOut& way) const {
        std::vector<std::string> late;
        for (const auto& one : way.late)
            if (!is_over(one.order))
                late.push_back(fmt::format("{} {} late{}", order_name(one.order), duration_text(one.by),
                                           is_late_now(one.order) ? "" : " (without it, kept)"));
        for (const replan::Pickup& one : result_.pickups)
            if (!late.empty() && is_late_now(one.order) && !is_over(one.order) &&
                std::ranges::find(way.late, one.order, &replan::WayOut::Late::order) == way.late.end())
                late.push_back(order_name(one.order) + " is kept");
        const bool all = std::ranges::none_of(result_.pickups, [&](const auto& one) { return is_over(one.order); });
        std::string text = what(way) + ": " +
                           (!late.empty() ? joined(late)
                            : all         ? "every pickup is kept"
                                          : "every other pickup is kept");
        if (way.kind == replan::WayOut::Kind::spread)
            return text + fmt::format(". Note 'spread {} {}'", id_of(way.what), depth_text(way));
        if (way.hours.empty()) return text;
        if (!result_.over_night.empty())
            text += way.over_night ? ", and food stands over night all the same" : ", and no food stands over night";
        std::vector<std::string> notes;
        for (const replan::Need& need : way.hours)
            notes.push_back(need.kind == replan::Need::Kind::back ? away_note(need) : note_of(need));
        return text + ". Note " + joined(notes);
    }

    std::string away_note(const replan::Need& need) const {
        return fmt::format("'away {} until {}'", words_.person(need.what), clock::clock_text(day_.zone.local(need.at)));
    }

    static std::string depth_text(const replan::WayOut& way) {
        return length_text(static_cast<double>(way.depth) / 1e6);
    }

    /// "Rosa stays until 15:45, 45 min longer"
    std::string longer(const replan::Need& need) const {
        if (need.kind == replan::Need::Kind::mended)
            return fmt::format("{} is mended by {}", words_.equipment(need.what), at(need.at));
        if (need.kind == replan::Need::Kind::back)
            return fmt::format("{} is back at {}", words_.person(need.what), at(need.at));
        const bool stays = need.kind == replan::Need::Kind::stays;
        std::string text =
            fmt::format("{} {} {}", words_.person(need.what), stays ? "stays until" : "comes at", at(need.at));
        if (!need.instead) return text;
        const Minutes by = stays ? need.at - *need.instead : *need.instead - need.at;
        return text + ", " + duration_text(by) + (stays ? " longer" : " earlier");
    }

    std::string what(const replan::WayOut& way) const {
        std::vector<std::string> hours;
        switch (way.kind) {
            case replan::WayOut::Kind::spread:
                return fmt::format("spread {} to {}{}, over {} times as many trays, cold about {}", task(way.what),
                                   depth_text(way), way.by > day_.situation.now ? " by " + at(way.by) : " now",
                                   way.times, at(way.ready));
            case replan::WayOut::Kind::hours:
                for (const replan::Need& need : way.hours) hours.push_back(longer(need));
                return joined(hours);
            case replan::WayOut::Kind::borrow:
                return "borrow another " + words_.equipment(way.what) + ", as big";
            case replan::WayOut::Kind::helper:
                return "somebody helps who does what " + words_.person(way.what) + " does";
            case replan::WayOut::Kind::serve_late:
                return fmt::format("let {} alone wait", order_name(way.what));
            case replan::WayOut::Kind::leave_out:
                break;
        }
        const Batch& batch = result_.expansion->batches[way.what];
        const std::string which = words_.batch(batch.component, 0, batch.number, 0);
        return fmt::format("leave out {} {}{}{}", words_.amount(batch.component, batch.share.to - batch.share.from),
                           words_.component(batch.component), which.empty() ? "" : ", ", which);
    }
};

}  // namespace

void add_pickups(const DayText& day, Page& page) {
    Pickups part(day, page);
    part.add_pickups();
    part.add_late();
    part.add_over_night();
    part.add_ways();
}

}  // namespace oventide::report
