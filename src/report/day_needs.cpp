/// What a day lacks to have a timetable, and what there is without one.
#include <fmt/format.h>

#include <algorithm>

#include "report/day_part.hpp"
#include "report/page.hpp"
#include "report/shared.hpp"

namespace oventide::report {
namespace {

using replan::Replanned;
using replan::State;

class Needs : DayPart {
public:
    using DayPart::DayPart;

    /// What must be, which was tried; all that follows on the page is what there is then.
    void add_needs() {
        if (result_.way != Replanned::Way::conditional) return;
        page_.heading("What would make one (it was tried)");
        for (const replan::Fewer& one : result_.fewer) page_.paragraph(fewer_text(one) + ".", 2, 2);
        std::vector<std::string> notes;
        for (const replan::Need& need : result_.needs) {
            page_.paragraph(need_text(need) + ".", 2, 2);
            notes.push_back(note_of(need));
        }
        std::vector<std::string> late;
        for (const replan::Pickup& pickup : result_.pickups)
            if (pickup.last)
                late.push_back(
                    fmt::format("{} is {} late", order_name(pickup.order), duration_text(pickup.done - pickup.at)));
        page_.paragraph(fmt::format("Then {}, and the day is as below. Nothing of it is announced before {}{}{}.",
                                    late.empty() ? "every pickup can be kept" : joined(late), in_the_plan(),
                                    result_.fewer.empty() || notes.empty() ? "" : ", and ",
                                    notes.empty() ? "" : "it is noted: " + joined(notes)),
                        2, 2);
        add_later();
    }

    /// What cannot go on before somebody says that what is broken is back.
    void add_standstill() {
        for (std::size_t k = 0; k < day_.situation.open_since.size(); ++k) {
            const auto& since = day_.situation.open_since[k];
            const auto equipment = static_cast<EquipmentIndex>(k);
            const auto waits = [&](const replan::Standstill& one) { return one.equipment == equipment; };
            if (!since || std::ranges::none_of(result_.standstill, waits)) continue;
            page_.heading(fmt::format("{} is broken since {}, and nobody knows until when", words_.equipment(equipment),
                                      at(*since)));
            for (const replan::Standstill& one : result_.standstill)
                if (waits(one)) page_.paragraph(standstill_text(one), 2, 2);
            page_.paragraph(
                fmt::format("What cannot wait so long needs another place, or is left out. Once you know: 'broken {} "
                            "until TIME' or 'mended {}'.",
                            words_.equipment(equipment), words_.equipment(equipment)),
                2, 2);
        }
    }

    /// Without a timetable: what runs, what can be begun, and how early each order could be ready at best.
    void add_what_there_is() {
        page_.heading("Now");
        Table table({{"until", Align::left, 12}, {"what"}});
        for (std::size_t k = 0; k < day_.situation.steps.size(); ++k)
            if (day_.situation.steps[k].state == State::running)
                table.row({at(day_.situation.steps[k].ready), task(static_cast<ActivityId>(k))});
        for (const ActivityId id : result_.may_begin) table.row({"can start", task(id)});
        if (table.empty())
            page_.paragraph("Nothing is under way.", 2);
        else
            page_.table(table, 2);
        if (!result_.may_begin.empty())
            page_.paragraph(
                "'can start': all that it needs is ready; whether hands and equipment are free is yours to "
                "see.",
                2, 2);
        if (result_.earliest.empty()) return;
        page_.heading("Pickups");
        Table pickups({{"", Align::left, 12}, {"order"}, {"not ready before", Align::left, 18}});
        for (const replan::Earliest& one : result_.earliest) {
            const Order& order = day_.situation.today.orders[one.order];
            pickups.row({at(order.pickup), words_.name(order.name), at(one.at)});
        }
        page_.table(pickups, 2);
        page_.paragraph("'not ready before': were everybody and everything always free.", 2, 2);
    }

private:
    /// "Village hall: 40 seeded roll instead of 50. The other 10 cannot be ready before 22:09, ..."
    std::string fewer_text(const replan::Fewer& one) const {
        const std::string rest = words_.amount(one.component, one.ordered - one.left);
        std::string text = fmt::format("{}: {} {} instead of {}. ", words_.name(one.order),
                                       one.left > 0 ? words_.amount(one.component, one.left) : "no",
                                       words_.component(one.component), words_.amount(one.component, one.ordered));
        if (!one.not_before)
            return text + "For " + (one.left > 0 ? "the other " + rest : "them") + " no time was found";
        return text + fmt::format("{} {} cannot be ready before {}, were everybody and everything always free",
                                  one.left > 0 ? "The other" : "The", rest, at(*one.not_before));
    }

    /// "the plan says so: '"seeded roll" = 40' for Village hall"
    std::string in_the_plan() const {
        std::vector<std::string> lines;
        for (const replan::Fewer& one : result_.fewer) {
            const std::string amount = words_.amount(one.component, one.left);
            const bool pieces = std::ranges::all_of(amount, [](char c) { return c >= '0' && c <= '9'; });
            const std::string what = words_.component(one.component);
            lines.push_back(one.left > 0 ? fmt::format("'\"{}\" = {}' for {}", what,
                                                       pieces ? amount : '"' + amount + '"', words_.name(one.order))
                                         : fmt::format("no {} for {}", what, words_.name(one.order)));
        }
        return lines.empty() ? "" : "the plan says so: " + joined(lines);
    }

    std::string need_text(const replan::Need& need) const {
        const std::string person = need.kind == replan::Need::Kind::mended ? "" : words_.person(need.what);
        switch (need.kind) {
            case replan::Need::Kind::stays:
                return fmt::format("{} must stay until {}{}", person, at(need.at),
                                   need.instead ? " (the hours end " + at(*need.instead) + ")" : "");
            case replan::Need::Kind::comes:
                return fmt::format("{} must come at {}{}", person, at(need.at),
                                   need.instead ? " (the hours begin " + at(*need.instead) + ")" : "");
            case replan::Need::Kind::back:
                return fmt::format("{} {} away, and must be back {}{}", person, is_away(need.what) ? "is" : "is to be",
                                   by(need.at), harm());
            case replan::Need::Kind::mended:
                break;
        }
        return fmt::format("{} is broken, and must be mended {}{}", words_.equipment(need.what), by(need.at), harm());
    }
    bool is_away(PersonIndex person) const {
        return std::ranges::any_of(day_.situation.away[static_cast<std::size_t>(person)], [&](const Span& gap) {
            return gap.from <= day_.situation.now && day_.situation.now < gap.to;
        });
    }
    std::string by(Instant when) const { return when > day_.situation.now ? "by " + at(when) : "at once"; }
    const char* harm() const {
        return result_.needs.size() == 1 ? "; any later, more is late, or longer past a limit" : "";
    }

    void add_later() {
        for (const replan::Later& later : result_.later) {
            std::vector<std::string> harm;
            if (later.late > Minutes{0}) harm.push_back(duration_text(later.late) + " late in all");
            if (later.over > Minutes{0}) harm.push_back(duration_text(later.over) + " past limits");
            page_.paragraph(fmt::format("Not before {}: {}.", at(later.at),
                                        harm.empty() ? "no pickup late, and no limit broken" : joined(harm)),
                            2, 2);
        }
    }

    std::string standstill_text(const replan::Standstill& one) const {
        const std::string text = task(one.step) + " waits for it";
        if (!one.until) return text + ".";
        const Instant now = day_.situation.now;
        const Instant mended = *one.until - one.heating;
        const char* passed = *one.until < now ? "which has passed" : "no later";
        const std::string by = one.heating == Minutes{0} || *one.until < now ? ""
                               : mended < now                                ? ", and cannot be hot by then"
                                              : "; mended by " + at(mended) + ", it is hot by then";
        return fmt::format("{}: until {}, {} ({}){}.", text, at(*one.until), passed, words_.name(one.promise), by);
    }
};

}  // namespace

void add_needs(const DayText& day, Page& page) {
    Needs part(day, page);
    part.add_needs();
    part.add_standstill();
    if (!day.result.timetable) part.add_what_there_is();
}

}  // namespace oventide::report
