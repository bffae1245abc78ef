/// The whole run, back from the pickups.

#include <fmt/format.h>

#include <algorithm>

#include "oventide/report.hpp"
#include "report/shared.hpp"

namespace oventide::report {
namespace {

/// One line of the run. Lines of one minute: what ends first, then the ovens, the steps, the pickups.
struct Line {
    Instant at;
    int rank = 0;
    std::vector<std::string> cells;  ///< start, end, what, pieces, with, who, can slip
};

class Run {
public:
    Run(const Subject& subject, const Words& words, const Days& days) : subject_(subject), words_(words), days_(days) {
        const auto& rows = subject.timetable->rows;
        slips_ = std::any_of(rows.begin(), rows.end(), [](const Row& row) { return row.slip.has_value(); });
    }

    Table table() {
        for (const Row& row : subject_.timetable->rows) add(row);
        for (const OvenTurn& turn : oven_turns(*subject_.timetable)) add(turn);
        for (const PickupLine& pickup : subject_.timetable->pickups) add(pickup);
        for (const Instant change : days_.changes())
            lines_.push_back({change, 0, {days_.time(change), "", days_.change_text(change), "", "", "", ""}});
        std::stable_sort(lines_.begin(), lines_.end(),
                         [](const Line& a, const Line& b) { return a.at != b.at ? a.at < b.at : a.rank < b.rank; });
        return laid_out();
    }

private:
    void add(const Row& row) {
        std::vector<std::string> who;
        for (const HandsUse& hands : row.hands)
            hands.washing ? add_washing(row, hands) : who.push_back(words_.person(hands.person));
        lines_.push_back(
            {row.start,
             2,
             {days_.time(row.start), days_.time_from(row.end, row.start),
              words_.task(row.component, row.step, row.batch, row.load), words_.amount(row.component, row.amount),
              equipment_text(row, {row.start, std::max(row.end, row.start + Minutes{1})}, words_, days_, true),
              joined(who), slip_text(row)}});
    }

    void add_washing(const Row& row, const HandsUse& hands) {
        lines_.push_back({hands.span.from,
                          2,
                          {days_.time(hands.span.from), days_.time_from(hands.span.to, hands.span.from),
                           "wash up after " + words_.step(row.component, row.step), "",
                           equipment_text(row, hands.span, words_, days_, false), words_.person(hands.person), ""}});
    }

    void add(const OvenTurn& turn) {
        lines_.push_back({turn.event.at,
                          1,
                          {days_.time(turn.event.at), "", "* " + oven_turn_text(turn, subject_, days_), "",
                           words_.equipment(turn.event.oven), "", ""}});
    }

    void add(const PickupLine& pickup) {
        const Order& order = subject_.plan.orders[pickup.order];
        lines_.push_back(
            {pickup.pickup,
             3,
             {days_.time(pickup.pickup), "",
              fmt::format("PICKUP {}; done {}", words_.name(order.name), days_.time_from(pickup.done, pickup.pickup)),
              "", "", "", ""}});
    }

    /// Where slips were worked out, a step without one is held back by nothing.
    std::string slip_text(const Row& row) const {
        if (!slips_) return "";
        return row.slip ? short_duration(*row.slip) : "free";
    }

    Table laid_out() const {
        // A weekday before a time goes on a line of its own, since few rows have one; a zone behind it has room.
        const int time = days_.changes().empty() ? 5 : 9;
        std::vector<Column> columns{{"start", Align::left, time}, {"end", Align::left, time}, {"what", Align::left, 0},
                                    {"amount", Align::right, 9},  {"with", Align::left, 16},  {"who", Align::left, 8}};
        if (slips_) columns.push_back({"slip", Align::right, 6});
        Table table(columns);
        const Line* before = nullptr;
        for (const Line& line : lines_) {
            if (before == nullptr || !days_.same_day(before->at, line.at)) table.heading(days_.day(line.at));
            auto cells = line.cells;
            if (!slips_) cells.pop_back();
            table.row(std::move(cells));
            before = &line;
        }
        return table;
    }

    const Subject& subject_;
    const Words& words_;
    const Days& days_;
    bool slips_ = false;
    std::vector<Line> lines_;
};

/// Who or what begins at that minute.
std::string first_thing(const Subject& subject, const Words& words, const Days& days, Instant alarm) {
    for (const Row& row : subject.timetable->rows)
        for (const HandsUse& hands : row.hands)
            if (hands.span.from == alarm)
                return words.person(hands.person) + ": " + words.task(row.component, row.step, row.batch, row.load);
    for (const OvenTurn& turn : oven_turns(*subject.timetable))
        if (turn.event.at == alarm)
            return words.equipment(turn.event.oven) + ": " + oven_turn_text(turn, subject, days);
    return "";
}

/// When work begins again after a night, or after any rest as long as one.
std::vector<Instant> beginnings(const Subject& subject) {
    constexpr Minutes kRest{5 * 60};
    std::vector<Span> work;
    for (const Row& row : subject.timetable->rows)
        for (const HandsUse& hands : row.hands) work.push_back(hands.span);
    for (const OvenTurn& turn : oven_turns(*subject.timetable))
        if (turn.event.kind == OvenEvent::Kind::on && !subject.plan.kitchen.equipment[turn.event.oven].timer)
            work.push_back({turn.event.at, turn.event.at});
    std::sort(work.begin(), work.end(), [](const Span& a, const Span& b) { return a.from < b.from; });
    std::vector<Instant> found;
    Instant until = work.empty() ? Instant{} : work.front().to;
    for (const Span& one : work) {
        if (one.from - until >= kRest) found.push_back(one.from);
        until = std::max(until, one.to);
    }
    return found;
}

void add_alarm(const Subject& subject, const Words& words, const Days& days, Page& page) {
    const auto& alarm = subject.timetable->alarm;
    page.blank();
    if (alarm) {
        page.prominent("ALARM CLOCK: " + days.day_time(*alarm));
        page.paragraph("First thing: " + first_thing(subject, words, days, *alarm) + ".", 2, 2);
        std::vector<std::string> again;
        for (const Instant begin : beginnings(subject)) again.push_back(days.day_time(begin));
        if (!again.empty()) page.paragraph("Work begins again: " + joined(again) + ".", 2, 2);
    } else {
        page.prominent("ALARM CLOCK: none, nobody's hands are needed");
    }
    page.paragraph(distance_to_best(subject, words, days), 2, 2);
}

void add_pickups(const Subject& subject, const Words& words, const Days& days, Page& page) {
    page.heading("Pickups");
    Table table({{"", Align::left, 20}, {"", Align::left, 0}, {"", Align::left, 30}});
    for (const PickupLine& pickup : subject.timetable->pickups) {
        const Order& order = subject.plan.orders[pickup.order];
        std::vector<std::string> items;
        for (const Item& item : order.items)
            items.push_back(words.amount(item.component, item.pieces) + " " + words.component(item.component));
        table.row({days.day_time(pickup.pickup), words.name(order.name) + ": " + joined(items),
                   fmt::format("done {}, {} before (margin {})", days.time_from(pickup.done, pickup.pickup),
                               duration_text(pickup.pickup - pickup.done), duration_text(order.margin))});
    }
    page.table(table, 2);
}

}  // namespace

std::string timetable_text(const Subject& subject, const Style& style) {
    if (subject.timetable == nullptr) return no_timetable_text(subject, style);
    const Words words(subject, style.ascii);
    const Days days(subject.zone, span_of(subject));
    Page page(style);
    page.title(words.name(subject.plan.title), words.name(subject.plan.timezone));
    add_alarm(subject, words, days, page);
    add_pickups(subject, words, days, page);
    page.blank();
    page.table(Run(subject, words, days).table());
    page.blank();
    page.paragraph("slip: how much later a step can start before a pickup moves, all else in the same order");
    add_cautions(subject, words, page);
    return page.text();
}

}  // namespace oventide::report
