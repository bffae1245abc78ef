#include <fmt/format.h>

#include <algorithm>
#include <set>

#include "oventide/safety.hpp"
#include "oventide/watch.hpp"
#include "report/chill_words.hpp"
#include "report/day.hpp"
#include "report/need_note.hpp"
#include "report/page.hpp"
#include "report/shared.hpp"

namespace oventide::report {
namespace {

constexpr std::size_t kNextSteps = 6;
/// More reasons, one from another, than a cook wants to read.
constexpr std::size_t kLongest = 8;
/// An oven that was broken before that was cold in any case.
constexpr Minutes kLongAgo{60};
constexpr const char* kCaution = "A caution, no verdict: local rules and a trained person decide what may be served.";

using replan::Replanned;
using replan::State;

class Writer {
public:
    Writer(const Day& day, const Style& style)
        : day_(day),
          result_(day.result),
          subject_(subject_of(day)),
          words_(subject_, style.ascii),
          days_(day.zone, span_of(day)),
          page_(style) {}

    std::string text() {
        page_.title(words_.name(day_.situation.today.title), days_.day_time(day_.situation.now));
        page_.blank();
        page_.prominent(verdict());
        add_what_a_chill_can_do();
        add_needs();
        add_standstill();
        if (!result_.timetable) add_what_there_is();
        if (result_.timetable) {
            add_now();
            add_next();
            add_changes();
            add_pickups();
            add_late();
            add_over_night();
            add_ways();
        }
        add_chills();
        add_limits();
        add_remarks();
        return page_.text();
    }

private:
    std::string task(ActivityId id) const { return words_.name(words_.task(id)); }
    std::string at(Instant when) const { return days_.time_from(when, day_.situation.now); }

    std::string verdict() const {
        if (!result_.timetable) return "NO TIMETABLE for what is left was found.";
        if (result_.way == Replanned::Way::conditional) return "NO TIMETABLE for what is left was found as things are.";
        const auto late = std::ranges::count_if(result_.pickups, [](const auto& one) { return one.last.has_value(); });
        std::string text = late == 0   ? "Every pickup can be kept."
                           : late == 1 ? "LATE: one pickup cannot be kept."
                                       : fmt::format("LATE: {} pickups cannot be kept.", late);
        if (!result_.broken.empty())
            text = late == 0 ? "Every pickup can be kept, but not every limit." : text + " A limit is broken.";
        if (!result_.over_night.empty()) text += " Food stands over night.";
        switch (result_.way) {
            case Replanned::Way::unchanged:
                if (!result_.turns.empty() || !result_.washing.empty()) return text + " No step changes.";
                return text + (day_.situation.interruptions.empty() ? " Nothing changes."
                                                                    : " Nothing that is still to start changes.");
            case Replanned::Way::returned:
                return text + " Back to what was announced before, as near as can be.";
            case Replanned::Way::shifted:
                return text + " The order of work stays.";
            case Replanned::Way::reordered:
                return text + " Some work changes its order.";
            case Replanned::Way::conditional:
            case Replanned::Way::impossible:
                break;
        }
        return text;
    }

    /// What is expected is in the middle: as likely as not it takes longer.
    void add_what_a_chill_can_do() {
        for (const ChillUnderWay& chill : day_.chills)
            for (const replan::WayOut::Late& late : chill.late_if_latest) {
                const Order& order = day_.situation.today.orders[late.order];
                page_.paragraph(fmt::format("If {} takes until {}, {} is {} late ({}).", task(chill.step),
                                            at(*chill.running->latest), words_.name(order.name), duration_text(late.by),
                                            at(order.pickup)),
                                0, 2);
            }
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
                return fmt::format("{} is away, and must be back {}{}", person, by(need.at), harm());
            case replan::Need::Kind::mended:
                break;
        }
        return fmt::format("{} is broken, and must be mended {}{}", words_.equipment(need.what), by(need.at), harm());
    }
    std::string by(Instant when) const { return when > day_.situation.now ? "by " + at(when) : "at once"; }
    const char* harm() const {
        return result_.needs.size() == 1 ? "; any later, more is late, or longer past a limit" : "";
    }

    std::string note_of(const replan::Need& need) const {
        const bool equipment = need.kind == replan::Need::Kind::mended;
        return need_note(need.kind, equipment ? words_.equipment(need.what) : words_.person(need.what),
                         clock::clock_text(day_.zone.local(need.at)));
    }

    /// What must be, which was tried; all that follows on the page is what there is then.
    void add_needs() {
        if (result_.way != Replanned::Way::conditional) return;
        page_.heading("What would make one (it was tried)");
        std::vector<std::string> notes;
        for (const replan::Need& need : result_.needs) {
            page_.paragraph(need_text(need) + ".", 2, 2);
            notes.push_back(note_of(need));
        }
        std::vector<std::string> late;
        for (const replan::Pickup& pickup : result_.pickups)
            if (pickup.last)
                late.push_back(fmt::format("{} is {} late", words_.name(day_.situation.today.orders[pickup.order].name),
                                           duration_text(pickup.done - pickup.at)));
        page_.paragraph(
            fmt::format("Then {}, and the day is as below. Nothing of it is announced before it is noted: {}.",
                        late.empty() ? "every pickup can be kept" : joined(late), joined(notes)),
            2, 2);
        add_later();
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

    std::string standstill_text(const replan::Standstill& one) const {
        const std::string text = task(one.step) + " waits for it";
        if (!one.until) return text + ".";
        const char* passed = *one.until < day_.situation.now ? "which has passed" : "no later";
        return fmt::format("{}: until {}, {} ({}).", text, at(*one.until), passed, words_.name(one.promise));
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

    const Row& row_of(ActivityId id) const {
        const std::string& name = result_.expansion->project.activities[id].name;
        return *std::ranges::find(result_.timetable->rows, name, &Row::id);
    }

    /// "Maren", or where her hands come in later "Maren 05:16".
    std::string who(ActivityId id) const {
        std::vector<std::string> names;
        std::set<PersonIndex> seen;  // each once, from when their hands are first wanted
        const Row& row = row_of(id);
        for (const HandsUse& hands : row.hands)
            if (!hands.washing && hands.span.to > day_.situation.now)
                if (seen.insert(hands.person).second)
                    names.push_back(from(hands.person, hands.span.from, std::max(row.start, day_.situation.now)));
        return joined(names);
    }
    std::string from(PersonIndex person, Instant begins, Instant seen_from) const {
        return words_.person(person) + (begins > seen_from ? " " + days_.time_from(begins, seen_from) : "");
    }

    std::vector<ActivityId> waiting_by_start() const {
        std::vector<ActivityId> ids;
        for (std::size_t id = 0; id < day_.situation.steps.size(); ++id)
            if (day_.situation.steps[id].state == State::waiting) ids.push_back(static_cast<ActivityId>(id));
        std::ranges::stable_sort(ids, {}, [&](ActivityId id) { return result_.outcome.schedule->start[id]; });
        return ids;
    }

    /// A line of what is to be done. Lines of one minute: first the ovens, as in the timetable.
    struct Line {
        Instant at;
        int rank = 0;
        std::vector<std::string> cells;  ///< time, what, with, who
    };

    std::vector<std::string> step_cells(const std::string& time, ActivityId id) const {
        const Row& row = row_of(id);
        return {time, task(id), equipment_text(row, {row.start, row.end}, words_, days_, false), who(id)};
    }

    static Table steps_table(const std::string& time) {
        return Table({{time, Align::left, 12}, {"what"}, {"with", Align::left, 14}, {"who", Align::left, 14}});
    }

    static void add_lines(Table& table, std::vector<Line> lines) {
        std::ranges::stable_sort(lines, {}, [](const Line& line) { return std::pair(line.at, line.rank); });
        for (Line& line : lines) table.row(std::move(line.cells));
    }

    std::vector<std::string> turn_cells(const std::string& time, std::size_t index) const {
        const OvenEvent& event = result_.timetable->oven[index];
        return {time, "* " + oven_turn_text(static_cast<std::int32_t>(index), subject_, days_),
                words_.equipment(event.oven), event.by ? words_.person(*event.by) : ""};
    }

    std::vector<std::string> washing_cells(const std::string& time, const Row& row, PersonIndex person) const {
        return {time, "wash up after " + words_.step(row.component, row.step), "", words_.person(person)};
    }

    /// Washing up that is under way, or from `from` to before `to`.
    std::vector<Line> washing(Instant from, Instant to) const {
        std::vector<Line> lines;
        const bool under_way = from == day_.situation.now;
        for (const Row& row : result_.timetable->rows)
            for (const HandsUse& hands : row.hands) {
                if (!hands.washing || hands.span.to <= from || hands.span.from >= to) continue;
                if (under_way || hands.span.from >= from)
                    lines.push_back(
                        {std::max(hands.span.from, from), 2,
                         washing_cells(at(under_way ? hands.span.to : hands.span.from), row, hands.person)});
            }
        return lines;
    }

    std::vector<Line> turns(Instant from, Instant to, bool now) const {
        std::vector<Line> lines;
        const auto& events = result_.timetable->oven;
        for (std::size_t k = 0; k < events.size(); ++k)
            if (events[k].kind != OvenEvent::Kind::hot && from <= events[k].at && events[k].at < to)
                lines.push_back({events[k].at, 1, turn_cells(now ? "now" : at(events[k].at), k)});
        return lines;
    }

    /// The last turn of an oven before now, where it is on since, or heats, and nothing that runs is in it.
    std::vector<Line> ovens_on() const {
        std::vector<Line> lines;
        const Instant now = day_.situation.now;
        const auto& events = result_.timetable->oven;
        for (std::size_t oven = 0; oven < day_.situation.today.kitchen.equipment.size(); ++oven) {
            std::optional<std::size_t> last;
            for (std::size_t k = 0; k < events.size(); ++k)
                if (events[k].oven == static_cast<EquipmentIndex>(oven) && events[k].at < now &&
                    events[k].kind != OvenEvent::Kind::hot)
                    last = k;
            if (!last || events[*last].kind == OvenEvent::Kind::off || day_.situation.usable_from[oven] > now) continue;
            const auto hot = hot_after(*result_.timetable, *last);
            std::vector<std::string> cells{
                "",
                fmt::format("* at {} since {}{}", temperature_text(*events[*last].temperature), at(events[*last].at),
                            hot && *hot > now ? ", ready " + at(*hot) : ""),
                words_.equipment(static_cast<EquipmentIndex>(oven)), ""};
            if (!is_loaded(static_cast<EquipmentIndex>(oven))) lines.push_back({events[*last].at, 0, std::move(cells)});
        }
        return lines;
    }

    bool is_loaded(EquipmentIndex oven) const {
        for (std::size_t k = 0; k < day_.situation.steps.size(); ++k) {
            if (day_.situation.steps[k].state != State::running) continue;
            const Row& row = row_of(static_cast<ActivityId>(k));
            if (std::ranges::any_of(row.equipment, [&](const EquipmentUse& use) { return use.equipment == oven; }))
                return true;
        }
        return false;
    }

    static void append(std::vector<Line>& lines, std::vector<Line> more) {
        lines.insert(lines.end(), std::make_move_iterator(more.begin()), std::make_move_iterator(more.end()));
    }

    void add_now() {
        page_.heading("Now");
        const Instant now = day_.situation.now;
        std::vector<Line> lines;
        for (std::size_t k = 0; k < day_.situation.steps.size(); ++k) {
            const replan::StepState& step = day_.situation.steps[k];
            const auto id = static_cast<ActivityId>(k);
            if (step.state == State::running)
                lines.push_back(
                    {now - Minutes{1}, 0, step_cells(step.ready_then ? "ready" : at(row_of(id).ready), id)});
        }
        append(lines, washing(now, now + Minutes{1}));
        append(lines, turns(now, now + Minutes{1}, true));
        append(lines, ovens_on());
        for (const ActivityId id : waiting_by_start())
            if (row_of(id).start == now) lines.push_back({now, 3, step_cells("start", id)});
        if (lines.empty()) {
            page_.paragraph("Nothing is under way.", 2);
        } else {
            Table table = steps_table("until");
            add_lines(table, std::move(lines));
            page_.table(table, 2);
        }
        for (const replan::Free& free : result_.free)
            page_.paragraph(words_.person(free.person) + (free.until ? " is free until " + at(*free.until) + "."
                                                                     : " has nothing to do any more."),
                            2);
    }

    /// The next few steps, and what is to be done to ovens and washed up before the last of them.
    void add_next() {
        const Instant from = day_.situation.now + Minutes{1};
        std::vector<Line> lines;
        Instant to = Instant::max();
        for (const ActivityId id : waiting_by_start()) {
            const Instant start = row_of(id).start;
            if (start < from) continue;
            if (lines.size() == kNextSteps) {
                to = start;
                break;
            }
            lines.push_back({start, 3, step_cells(at(start), id)});
        }
        append(lines, turns(from, to, false));
        append(lines, washing(from, to));
        if (lines.empty()) return;
        page_.heading("Next");
        Table table = steps_table("start");
        add_lines(table, std::move(lines));
        page_.table(table, 2);
    }

    /// "5m later", "new"; who and with what, where that is not whom or what it was to be.
    static std::string moved_text(const std::optional<Instant>& from, const std::optional<Instant>& to) {
        if (!from) return "new";
        if (!to) return "no more";
        if (*from == *to) return "";
        const Minutes moved = *to - *from;
        return moved > Minutes{0} ? short_duration(moved) + " later" : short_duration(-moved) + " earlier";
    }

    Line change_line(const std::optional<Instant>& from, const std::optional<Instant>& to, int rank,
                     const std::string& what, const std::string& others) const {
        return {to ? *to : *from,
                rank,
                {from ? at(*from) : "", to ? at(*to) : "", what, joined({moved_text(from, to), others})}};
    }

    std::string with_whom(const replan::Change& change) const {
        if (!change.others) return "";
        const Row& row = row_of(change.step);
        const Step& step = day_.situation.today.components[row.component].steps[row.step];
        bool choice = step.bake && step.bake->ovens.size() > 1;
        for (const Use& use : step.uses) choice = choice || use.choices.size() > 1;
        return joined(
            {who(change.step), choice ? equipment_text(row, {row.start, row.end}, words_, days_, false) : ""});
    }

    void add_changes() {
        std::vector<Line> lines;
        for (const replan::Change& change : result_.changes)
            lines.push_back(change_line(change.from, change.to, 3, task(change.step), with_whom(change)));
        for (const replan::TurnChange& turn : result_.turns)
            lines.push_back(change_line(turn.from, turn.to, 1, turn_text(turn), ""));
        for (const replan::WashingChange& one : result_.washing) {
            const Row& row = row_of(one.step);
            lines.push_back(change_line(one.from, one.to, 2, "wash up after " + words_.step(row.component, row.step),
                                        words_.person(one.person)));
        }
        if (lines.empty() && result_.longer.empty()) return;
        page_.heading("What changes");
        for (const replan::Longer& one : result_.longer) page_.paragraph(longer_text(one), 2, 2);
        if (lines.empty()) return;
        Table table({{"was", Align::left, 12}, {"is", Align::left, 12}, {"what"}, {"", Align::right, 20}});
        add_lines(table, std::move(lines));
        page_.table(table, 2);
    }

    std::string longer_text(const replan::Longer& one) const {
        const std::string works = fmt::format("{} works until {}", words_.person(one.person), at(one.to));
        if (!one.from) return works + ", and was to have nothing to do that day.";
        return fmt::format("{}, {} longer than was announced ({}).", works, duration_text(one.to - *one.from),
                           at(*one.from));
    }

    std::string turn_text(const replan::TurnChange& turn) const {
        const std::string oven = words_.equipment(turn.oven);
        return turn.temperature ? fmt::format("* {} to {}", oven, heat_text(day_.situation.today, *turn.temperature))
                                : fmt::format("* {} off", oven);
    }

    static std::string margin_text(Minutes margin) {
        return margin >= Minutes{0} ? short_duration(margin) : "LATE " + short_duration(-margin);
    }

    void add_pickups() {
        page_.heading("Pickups");
        Table table({{"", Align::left, 12},
                     {"order"},
                     {"ready", Align::left, 12},
                     {"margin was", Align::right, 12},
                     {"is", Align::right, 12}});
        for (const replan::Pickup& pickup : result_.pickups)
            table.row({at(pickup.at), words_.name(day_.situation.today.orders[pickup.order].name), at(pickup.done),
                       pickup.before ? margin_text(pickup.told - *pickup.before) : "",
                       margin_text(pickup.at - pickup.done)});
        page_.table(table, 2);
    }

    /// Of each late pickup when it can be had, and what holds it up.
    void add_late() {
        for (const replan::Pickup& pickup : result_.pickups) {
            if (!pickup.last) continue;
            page_.heading(words_.name(day_.situation.today.orders[pickup.order].name) + " is late");
            const bool over = day_.situation.steps[*pickup.last].state == State::finished;
            page_.paragraph(
                fmt::format("{} late: {} {}, when the last of it {} ready: {}.", duration_text(pickup.done - pickup.at),
                            over ? "it was" : "the earliest found is", at(pickup.done), over ? "was" : "is",
                            task(*pickup.last)),
                2, 2);
            for (const replan::GaveWay& one : result_.gave_way)
                if (one.order == pickup.order) page_.paragraph(gave_way(one, pickup), 2, 2);
            add_held_up(pickup.held_up);
        }
    }

    std::string order_name(std::int32_t order) const { return words_.name(day_.situation.today.orders[order].name); }

    std::string gave_way(const replan::GaveWay& one, const replan::Pickup& pickup) const {
        const auto to = std::ranges::find(result_.pickups, one.to, &replan::Pickup::order);
        const std::string instead = one.late > Minutes{0} ? fmt::format("{} late", duration_text(one.late))
                                                          : "in time all the same, as far as was found in a hurry";
        return fmt::format(
            "It gives way to {}, which is collected {} earlier. Did {} wait instead, this would be ready {}, {} "
            "sooner, "
            "and {} {}: fewer minutes late in all are chosen.",
            order_name(one.to), duration_text(to->told - to->at), order_name(one.to), at(one.otherwise),
            duration_text(pickup.done - one.otherwise), order_name(one.to), instead);
    }

    std::string fresher(std::int32_t order) const {
        const auto pickup = std::ranges::find(result_.pickups, order, &replan::Pickup::order);
        std::vector<std::string> batches;
        bool rest = false;
        for (const replan::Fresher& one : result_.fresher) {
            if (one.order != order) continue;
            rest = rest || one.by <= Minutes{0};
            if (one.by <= Minutes{0}) continue;
            const Batch& batch = result_.expansion->batches[one.batch];
            const std::string which = words_.batch(batch.component, 0, batch.number, 0);
            batches.push_back(fmt::format("{}{}{} ({}) can be {} later", words_.component(batch.component),
                                          which.empty() ? "" : ", ", which, at(one.begins), duration_text(one.by)));
        }
        std::string text = fmt::format(
            "{} is collected {} later, but nothing in the plan asks for it to be made as much later. With everything "
            "else as it is, ",
            order_name(order), duration_text(pickup->at - pickup->told));
        if (batches.empty()) return text + "nothing of it can be later.";
        return fmt::format("{}{}{}. Whoever wants it fresher begins it later, and notes 'started STEP' then.", text,
                           fmt::join(batches, "; "), rest ? ", and the rest of it cannot" : "");
    }

    void add_fresher(std::vector<std::string>& remarks) const {
        std::set<std::int32_t> orders;
        for (const replan::Fresher& one : result_.fresher)
            if (orders.insert(one.order).second) remarks.push_back(fresher(one.order));
    }

    /// Of a long chain what is nearest to the pickup, and what it comes from in the end.
    void add_held_up(const std::vector<replan::HoldUp>& chain) {
        const std::size_t left_out = chain.size() > kLongest ? chain.size() - kLongest : 0;
        for (std::size_t k = 0; k < chain.size(); ++k) {
            if (left_out > 0 && k == kLongest / 2)
                page_.paragraph(fmt::format("... and so on, back over {} more", left_out), 2, 2);
            if (k < kLongest / 2 || k >= kLongest / 2 + left_out) page_.paragraph(held_up(chain[k]), 2, 2);
        }
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
        page_.heading("What would help (each was tried, by itself)");
        for (const replan::WayOut& way : result_.ways) page_.paragraph(way_text(way), 2, 2);
    }

    bool has_happened(ActivityId step) const { return day_.situation.steps[step].state != State::waiting; }

    std::string way_text(const replan::WayOut& way) const {
        std::vector<std::string> late;
        for (const auto& one : way.late)
            late.push_back(fmt::format("{} {} late", words_.name(day_.situation.today.orders[one.order].name),
                                       duration_text(one.by)));
        const bool all = std::ranges::none_of(
            result_.pickups, [&](const replan::Pickup& pickup) { return pickup.last && has_happened(*pickup.last); });
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
        for (const replan::Need& need : way.hours) notes.push_back(note_of(need));
        return text + ". Note " + joined(notes);
    }

    static std::string depth_text(const replan::WayOut& way) {
        return length_text(static_cast<double>(way.depth) / 1e6);
    }

    /// "Rosa stays until 15:45, 45 min longer"
    std::string longer(const replan::Need& need) const {
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
                return "borrow another " + words_.equipment(way.what);
            case replan::WayOut::Kind::helper:
                return "somebody helps who does what " + words_.person(way.what) + " does";
            case replan::WayOut::Kind::serve_late:
                return fmt::format("let {} alone wait", words_.name(day_.situation.today.orders[way.what].name));
            case replan::WayOut::Kind::leave_out:
                break;
        }
        const Batch& batch = result_.expansion->batches[way.what];
        const std::string which = words_.batch(batch.component, 0, batch.number, 0);
        return fmt::format("leave out {} {}{}{}", words_.amount(batch.component, batch.share.to - batch.share.from),
                           words_.component(batch.component), which.empty() ? "" : ", ", which);
    }

    /// A chill that nobody has measured is worth a word only where a limit of the rule is in danger.
    static bool worth_a_word(const ChillUnderWay& chill) {
        return !chill.readings.empty() || std::ranges::any_of(chill.limits, [](const chill::Limit& limit) {
            return limit.standing != Standing::met && limit.standing != Standing::on_course;
        });
    }

    void add_chills() {
        bool limited = false;
        bool any = false;
        for (const ChillUnderWay& chill : day_.chills) {
            if (!worth_a_word(chill)) continue;
            if (!any) page_.heading("Chills under way");
            any = true;
            add_chill(chill);
            limited = limited || !chill.limits.empty();
        }
        const auto rule = find_safety_rule(day_.situation.today.safety.rule);
        if (rule && limited)
            page_.paragraph(fmt::format("Rule '{}' [{}]. {}", rule->key, rule->source, kWatchCaution), 2, 2);
    }

    void add_chill(const ChillUnderWay& chill) {
        page_.paragraph(task(chill.step) + ": " + cold_by(chill), 2, 2);
        if (chill.running)
            for (const std::size_t doubted : chill.running->doubted)
                page_.paragraph(doubt(chill.readings[doubted]), 4, 2);
        for (const chill::Limit& limit : chill.limits) page_.paragraph(limit_text(limit, chill.step), 4, 2);
    }

    std::string cold_by(const ChillUnderWay& chill) const {
        std::string basis = chill.readings.empty() ? "by its depth and the plan, no reading yet"
                                                   : fmt::format("{} reading{}", chill.readings.size(),
                                                                 chill.readings.size() == 1 ? "" : "s");
        if (!chill.running) return basis + "; the plan does not say how it cools.";
        const chill::Running& running = *chill.running;
        if (running.since > day_.situation.steps[chill.step].start) basis += ", spread thinner " + at(running.since);
        if (!running.likely) return "never as cold as the plan wants it, as things are; " + basis + ".";
        std::string between =
            "not before " + (running.earliest ? at(*running.earliest) : at(day_.situation.now)) + ", perhaps never";
        if (running.earliest && running.latest)
            between = fmt::format("between {} and {}, nine chances in ten", at(*running.earliest), at(*running.latest));
        return fmt::format("cold enough about {}, {}; {}.", at(*running.likely), between, basis);
    }

    std::string doubt(const chill::Probed& reading) const {
        return fmt::format(
            "{:.1f} C at {} does not fit the other readings and is left out: measure again; if it was "
            "mistyped, note 'undo' with its number.",
            reading.celsius, at(reading.at));
    }

    /// What the readings and the forecast make of a limit of the rule.
    std::string limit_text(const chill::Limit& limit, ActivityId step) const {
        const std::string due = limit.due ? ", by " + at(*limit.due) : "";
        const std::string happens = limit.happens ? " " + at(*limit.happens) : "";
        switch (limit.standing) {
            case Standing::met:
                return limit.text + due + ": met" + (limit.happens ? "," + happens : "") + ".";
            case Standing::on_course:
                return limit.text + due + ": expected" + happens + ", in time by this estimate.";
            case Standing::open:
                return limit.text + due + ": nothing can be expected yet; measure.";
            case Standing::unrecorded:
                return limit.text + due + ": NOT RECORDED whether it was met.";
            case Standing::will_break:
                return limit.text + due + ": expected" + (limit.happens ? happens : " never") +
                       fmt::format(
                           ": LIKELY TOO LATE. Spread it thinner, or somewhere colder, now; 'spread {} DEPTH' notes "
                           "how deep it lies then, 'ready {} TIME' when it will be cold.",
                           id_of(step), id_of(step));
            case Standing::broken:
                break;
        }
        return limit.text + due + ": BROKEN.";
    }

    void add_limits() {
        if (result_.broken.empty()) return;
        page_.heading("Limits that are not kept");
        for (const replan::Broken& broken : result_.broken)
            page_.paragraph(fmt::format("{}: {} over (at {})", words_.name(broken.promise), duration_text(broken.over),
                                        task(broken.step)),
                            2, 2);
        page_.paragraph(kCaution, 2);
    }

    std::string id_of(ActivityId id) const { return words_.name(day_.planned.project.activities[id].name); }

    /// Only the cook can tell what becomes of what was in there; until then this is what the plan takes for true.
    std::string interrupted(const replan::Interruption& one) const {
        const std::string where = words_.equipment(one.equipment);
        const std::string id = id_of(one.step);
        const Instant now = day_.situation.now;
        std::string text = fmt::format("{} is in the {} while that is broken, ", task(one.step), where);
        text += one.open ? fmt::format("from {}, and nobody knows until when.", at(one.span.from))
                         : fmt::format("{} to {}.", at(one.span.from), at(one.span.to));
        text += " Only you can judge it.";
        if (one.kept) return text + fmt::format(" Measure it and note 'probe {} CELSIUS'.", id);
        const replan::StepState& step = day_.situation.steps[one.step];
        if (day_.situation.today.kitchen.equipment[one.equipment].kind != EquipmentKind::fridge) {
            const Instant before = step.expected - moved_in_all(one.step);
            text += fmt::format(" Its time there is taken to stand still until it is mended{}: ready ",
                                one.heat ? " and hot again" : "");
            text += one.open ? fmt::format("at {}, and as much later as that lasts.", at(before))
                             : fmt::format("{} instead of {}.", at(step.ready), at(before));
            text += fmt::format(
                " As you find it, note 'ready {} TIME', 'runs-long {} MINUTES' (after {}) or "
                "'finished {}'",
                id, id, at(before), id);
        } else {
            text += fmt::format(
                " It is taken to be ready as before, {}. As you find it, note 'probe {} CELSIUS', "
                "'ready {} TIME' or 'finished {}'",
                at(step.ready), id, id, id);
        }
        if (one.noted) text += fmt::format("; to begin it anew, 'undo {}' takes its start back", *one.noted);
        if (is_oven(one.equipment) && !one.open && one.span.to > now)
            text += fmt::format(". Switch the {} on again at {}", where, at(one.span.to));
        return text + ".";
    }
    Minutes moved_in_all(ActivityId step) const {
        Minutes sum{0};
        for (const replan::Interruption& one : day_.situation.interruptions)
            if (one.step == step) sum += one.moved;
        return sum;
    }
    bool is_oven(EquipmentIndex index) const {
        return day_.situation.today.kitchen.equipment[index].kind == EquipmentKind::oven;
    }

    /// What is under way wants the hands of somebody who is away then, and nobody else is there.
    void add_absent_hands(std::vector<std::string>& remarks) const {
        for (std::size_t k = 0; k < day_.situation.steps.size(); ++k) {
            if (day_.situation.steps[k].state != State::running) continue;
            for (const HandsUse& hands : row_of(static_cast<ActivityId>(k)).hands) {
                const auto meets = [&](const Span& gap) {
                    return gap.from < hands.span.to && std::max(hands.span.from, day_.situation.now) < gap.to;
                };
                if (hands.span.to <= day_.situation.now ||
                    std::ranges::none_of(day_.situation.away[hands.person], meets))
                    continue;
                remarks.push_back(
                    fmt::format("{} wants hands {} to {}, but {} is away, and nobody else is there for it or free: "
                                "somebody must see to it.",
                                task(static_cast<ActivityId>(k)), at(std::max(hands.span.from, day_.situation.now)),
                                at(hands.span.to), words_.person(hands.person)));
            }
        }
    }

    /// Broken now, or not long ago, and to be heated anew: whatever it had come to before does not count.
    void add_cold_ovens(std::vector<std::string>& remarks) const {
        const Instant now = day_.situation.now;
        for (std::size_t k = 0; k < day_.situation.broken.size(); ++k) {
            std::optional<Span> last;
            for (const Span& span : day_.situation.broken[k])
                if (span.from <= now && (!last || last->to < span.to)) last = span;
            if (!last || day_.situation.open_since[k] || last->to + kLongAgo < now) continue;
            const auto oven = static_cast<EquipmentIndex>(k);
            const auto on = switched_on(oven, std::max(now, last->to));
            if (!on || is_loaded(oven)) continue;
            const OvenEvent& event = result_.timetable->oven[*on];
            const auto hot = hot_after(*result_.timetable, *on);
            remarks.push_back(fmt::format(
                "{} {} until {}: taken as cold then, whatever it had come to before. Switch it on at {}, to {}{}; "
                "what goes in sooner, because it is hot, is noted 'started STEP'.",
                words_.equipment(oven), last->to > now ? "is broken" : "was broken", at(last->to), at(event.at),
                temperature_text(*event.temperature), hot ? ", hot at " + at(*hot) : ""));
        }
    }

    /// The next turn of an oven, where that switches it on.
    std::optional<std::size_t> switched_on(EquipmentIndex oven, Instant from) const {
        const auto& events = result_.timetable->oven;
        for (std::size_t k = 0; k < events.size(); ++k)
            if (events[k].oven == oven && events[k].at >= from)
                return events[k].kind == OvenEvent::Kind::on ? std::optional(k) : std::nullopt;
        return std::nullopt;
    }

    void add_interruptions(std::vector<std::string>& remarks) const {
        bool cold = false;
        for (const replan::Interruption& one : day_.situation.interruptions) {
            remarks.push_back(interrupted(one));
            cold = cold || day_.situation.today.kitchen.equipment[one.equipment].kind == EquipmentKind::fridge;
        }
        if (cold)
            remarks.push_back(
                "Food that was to be cold may have been warm: a caution, no verdict; local rules and a trained person "
                "decide what may be served.");
    }

    Instant start_of(ActivityId step) const { return day_.situation.steps[step].start; }

    static std::string entry_text(std::int32_t number) {
        return fmt::format(" If it is, note 'right {}'; if not, 'undo {}'.", number, number);
    }

    std::string idle(const replan::Idle& one) const {
        const std::string person = words_.person(one.person);
        return fmt::format(
            "{} is there {} to {} anyway: that {} will be there {} to {} changes nothing. Is that what was meant?{} "
            "Who "
            "comes later or goes earlier is away: 'away {} until TIME', 'away {} at TIME'.",
            person, at(one.hours.from), at(one.hours.to), person, at(one.span.from), at(one.span.to),
            entry_text(one.entry), person, person);
    }

    std::string question(const replan::Question& one) const {
        const std::string entry = one.entry ? entry_text(*one.entry) : "";
        switch (one.kind) {
            case replan::Question::Kind::needs_open:
                return fmt::format(
                    "{} has begun at {}, but {}, which it needs, is ready at {} as far as is known. Is "
                    "that so?{}",
                    task(one.step), at(one.at), task(*one.other), at(*one.expected), entry);
            case replan::Question::Kind::not_started:
                return fmt::format("{} is finished at {}, but was to start at {}, and no start is noted. Is that so?{}",
                                   task(one.step), at(one.at), at(*one.expected), entry);
            case replan::Question::Kind::too_soon:
                return fmt::format("{} is finished at {}, after {} of the {} that it takes. Is that so?{}",
                                   task(one.step), at(one.at), duration_text(one.at - start_of(one.step)),
                                   duration_text(*one.expected - start_of(one.step)), entry);
            case replan::Question::Kind::too_warm:
                return fmt::format(
                    "{} is finished at {}, but was {} at {}, and {} is wanted. Is it as cold? Note a probe.{}",
                    task(one.step), at(one.at), temperature_text(one.reading), at(*one.expected),
                    temperature_text(one.wanted), entry);
            case replan::Question::Kind::too_hot:
                break;
        }
        return fmt::format(
            "{}: {} at {}, out of the oven and off the hob? Food that holds water gets no hotter than "
            "100 C.{}",
            task(one.step), temperature_text(one.reading), at(one.at), entry);
    }

    /// Who or what is missing, where that may be why there is nothing.
    void add_missing(std::vector<std::string>& remarks) const {
        if (result_.way != Replanned::Way::impossible && result_.way != Replanned::Way::conditional) return;
        const replan::Situation& day = day_.situation;
        const auto now = [&](const Span& gap) { return gap.from <= day.now && day.now < gap.to; };
        for (std::size_t k = 0; k < day.away.size(); ++k)
            if (std::ranges::any_of(day.away[k], now))
                remarks.push_back(words_.person(static_cast<PersonIndex>(k)) + " is away.");
        for (std::size_t k = 0; k < day.broken.size(); ++k)
            if (std::ranges::any_of(day.broken[k], now))
                remarks.push_back(words_.equipment(static_cast<EquipmentIndex>(k)) + " is broken.");
    }

    template <class Holds>
    bool any_needed(ActivityId id, Holds holds) const {
        return std::ranges::any_of(day_.planned.project.lags, [&](const Lag& lag) {
            return lag.to == id && lag.lag >= day_.planned.project.activities[lag.from].duration && holds(lag.from);
        });
    }

    /// Not where what it needs is still under way: then it is that which takes longer.
    bool could_have_started(ActivityId id) const {
        return !any_needed(id, [&](ActivityId before) {
            const replan::StepState& step = day_.situation.steps[before];
            return step.state == State::running && !step.ready_then;
        });
    }

    bool follows_overdue(ActivityId id) const {
        return any_needed(
            id, [&](ActivityId before) { return std::ranges::find(result_.overdue, before) != result_.overdue.end(); });
    }

    std::string start_note(ActivityId id, Instant when) const {
        return fmt::format("'started {} at {}'", id_of(id), clock::clock_text(day_.zone.local(when)));
    }

    void add_not_noted(std::vector<std::string>& remarks) const {
        for (const ActivityId id : result_.overdue)
            if (const Instant announced = *day_.situation.steps[id].announced; follows_overdue(id))
                remarks.push_back(fmt::format("{}: should have started at {}; what it needs has not started either.",
                                              task(id), at(announced)));
            else if (could_have_started(id))
                remarks.push_back(
                    fmt::format("{}: should have started at {}, and nothing is noted; taken as not started. If it has, "
                                "note {}, or when it did.",
                                task(id), at(announced), start_note(id, announced)));
        if (result_.overdue.size() > 1) remarks.push_back("Did all that happen as announced? Then note 'on-time'.");
        for (std::size_t k = 0; k < day_.situation.steps.size(); ++k) {
            const replan::StepState& step = day_.situation.steps[k];
            const auto id = static_cast<ActivityId>(k);
            if (step.by_itself)
                remarks.push_back(
                    fmt::format("{}: taken as begun by itself at {}, when what it needs was ready; nothing is noted. "
                                "Else note 'started {} at TIME'.",
                                task(id), at(step.start), id_of(id)));
            if (step.state != State::running || !step.told_ready || *step.told_ready >= day_.situation.now) continue;
            if (step.ready_then)
                remarks.push_back(fmt::format(
                    "{}: ready at {}, as expected; nothing is noted, and what it keeps counts from then. If it takes "
                    "longer, note 'ready {} TIME'.",
                    task(id), at(step.ready), id_of(id)));
            else if (step.ready == day_.situation.now)
                remarks.push_back(fmt::format("{}: was to be ready at {}, and nothing is noted; taken as ready now.",
                                              task(id), at(*step.told_ready)));
        }
    }

    void add_remarks() {
        std::vector<std::string> remarks;
        for (const replan::Question& one : day_.situation.questions) remarks.push_back(question(one));
        for (const replan::Idle& one : day_.situation.idle) remarks.push_back(idle(one));
        add_interruptions(remarks);
        if (result_.timetable) add_absent_hands(remarks);
        if (result_.timetable) add_cold_ovens(remarks);
        add_fresher(remarks);
        if (result_.timetable)
            for (const PastBest& food : result_.timetable->past_best)
                if (food.used > day_.situation.now) remarks.push_back(past_best_text(food, subject_, words_, days_));
        add_missing(remarks);
        add_not_noted(remarks);
        for (std::size_t id = 0; id < day_.situation.steps.size(); ++id)
            if (day_.situation.steps[id].inferred)
                remarks.push_back(task(static_cast<ActivityId>(id)) +
                                  ": not noted, but what needs it has started; taken as finished.");
        for (const std::string& name : day_.situation.open_end)
            remarks.push_back(words_.name(name) +
                              ": nobody knows until when; before you say, taken as for the rest of the day.");
        for (const std::string& name : day_.situation.unknown)
            remarks.push_back("The journal names '" + words_.name(name) + "', which the plan does not have.");
        for (const std::string& what : result_.diagnosis) remarks.push_back(words_.name(what) + ".");
        if (remarks.empty()) return;
        page_.heading("Mind");
        for (const std::string& remark : remarks) page_.paragraph(remark, 2, 2);
    }

    const Day& day_;
    const Replanned& result_;
    Subject subject_;
    Words words_;
    Days days_;
    Page page_;
};

}  // namespace

Subject subject_of(const Day& day) {
    const Expansion& expansion = day.result.expansion ? *day.result.expansion : day.planned;
    return {day.situation.today,
            day.zone,
            expansion,
            day.result.outcome,
            day.result.timetable ? &*day.result.timetable : nullptr,
            nullptr};
}

Span span_of(const Day& day) {
    Span span = span_of(subject_of(day));
    span.from = std::min(span.from, day.situation.now);
    for (const replan::StepState& step : day.situation.steps) {
        if (step.announced) span.from = std::min(span.from, *step.announced);
        if (step.told_ready) span.to = std::max(span.to, *step.told_ready);
    }
    return span;
}

std::string replan_text(const Day& day, const Style& style) { return Writer(day, style).text(); }

}  // namespace oventide::report
