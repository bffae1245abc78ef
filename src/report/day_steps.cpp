/// What is to be done now and next, and what of it is not as it was announced.
#include <fmt/format.h>

#include <algorithm>
#include <set>

#include "report/day_part.hpp"
#include "report/page.hpp"
#include "report/shared.hpp"

namespace oventide::report {
namespace {

constexpr std::size_t kNextSteps = 6;

using replan::Replanned;
using replan::State;

class Steps : DayPart {
public:
    using DayPart::DayPart;

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
        append(lines, timers(now, now + Minutes{1}));
        append(lines, turns(now, now + Minutes{1}, "now", [&](EquipmentIndex oven) { return !is_broken(oven); }));
        append(lines, ovens_on());
        for (const ActivityId id : waiting_by_start())
            if (row_of(id).start == now && !wants_broken(id)) lines.push_back({now, 3, step_cells("start", id)});
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
            if (start < from && !(start == day_.situation.now && wants_broken(id))) continue;
            if (lines.size() == kNextSteps) {
                to = start;
                break;
            }
            lines.push_back({start, 3, step_cells(at(start), id)});
        }
        append(lines, turns(day_.situation.now, from, "", [&](EquipmentIndex oven) { return is_broken(oven); }));
        append(lines, turns(from, to, "", [](EquipmentIndex) { return true; }));
        append(lines, timers(from, to));
        append(lines, washing(from, to));
        if (lines.empty()) return;
        page_.heading(std::string("Next") + if_so());
        Table table = steps_table("start");
        add_lines(table, std::move(lines));
        page_.table(table, 2);
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
        page_.heading(std::string("What changes") + if_so());
        for (const replan::Longer& one : result_.longer) page_.paragraph(longer_text(one), 2, 2);
        if (lines.empty()) return;
        Table table({{"was", Align::left, 12}, {"is", Align::left, 12}, {"what"}, {"", Align::right, 20}});
        add_lines(table, std::move(lines));
        page_.table(table, 2);
    }

private:
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

    /// What can be done only once it is mended is not to be done now, though it would be were it mended at once.
    bool is_broken(EquipmentIndex equipment) const {
        return day_.situation.usable_from[static_cast<std::size_t>(equipment)] > day_.situation.now;
    }

    bool wants_broken(ActivityId id) const {
        return std::ranges::any_of(row_of(id).equipment,
                                   [&](const EquipmentUse& use) { return is_broken(use.equipment); });
    }

    /// `time`: what is said instead of it, if not empty.
    template <class Wanted>
    std::vector<Line> turns(Instant from, Instant to, const std::string& time, Wanted wanted) const {
        std::vector<Line> lines;
        const auto& events = result_.timetable->oven;
        for (std::size_t k = 0; k < events.size(); ++k) {
            const OvenEvent& event = events[k];
            if (event.kind == OvenEvent::Kind::hot || event.breaks || !wanted(event.oven)) continue;
            if (from <= event.at && event.at < to)
                lines.push_back({event.at, 1, turn_cells(time.empty() ? at(event.at) : time, k)});
        }
        return lines;
    }

    std::vector<Line> timers(Instant from, Instant to) const {
        std::vector<Line> lines;
        for (const Job& job : result_.timetable->jobs)
            if (job.kind == Job::Kind::timer && from <= job.span.from && job.span.from < to)
                lines.push_back({job.span.from,
                                 1,
                                 {at(job.span.from), "* " + timer_text(job, subject_, days_),
                                  words_.equipment(*job.place), job.person ? words_.person(*job.person) : ""}});
        return lines;
    }

    /// The last turn of an oven before now, where it is on since and nothing that runs is in it, or is on its way.
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
            const bool heats = !hot || *hot > now;
            if (is_loaded(static_cast<EquipmentIndex>(oven)) && !(hot && *hot > now)) continue;
            const std::string heat = temperature_text(*events[*last].temperature);
            std::vector<std::string> cells{
                "",
                fmt::format("* {} {} since {}{}", heats ? "on its way to" : "at", heat, at(events[*last].at),
                            hot && *hot > now ? ", ready " + at(*hot) : ""),
                words_.equipment(static_cast<EquipmentIndex>(oven)), ""};
            lines.push_back({events[*last].at, 0, std::move(cells)});
        }
        return lines;
    }

    static void append(std::vector<Line>& lines, std::vector<Line> more) {
        lines.insert(lines.end(), std::make_move_iterator(more.begin()), std::make_move_iterator(more.end()));
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
        const Row& row = row_of(change.step);
        const Step& step = day_.situation.today.components[row.component].steps[row.step];
        bool choice = step.bake && step.bake->ovens.size() > 1;
        for (const Use& use : step.uses) choice = choice || use.choices.size() > 1;
        return joined(
            {change.other_people ? who(change.step) : "",
             change.other_equipment && choice ? equipment_text(row, {row.start, row.end}, words_, days_, false) : ""});
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
};

}  // namespace

void add_steps(const DayText& day, Page& page) {
    Steps part(day, page);
    part.add_now();
    part.add_next();
    part.add_changes();
}

}  // namespace oventide::report
