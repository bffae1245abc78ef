/// The whole run, back from the pickups.

#include <fmt/format.h>

#include <algorithm>

#include "oventide/report.hpp"
#include "report/cold_words.hpp"
#include "report/shared.hpp"

namespace oventide::report {
namespace {

/// One line of the run. Lines of one minute: what ends first, then the ovens, the steps, the pickups.
struct Line {
    Instant at;
    int rank = 0;
    std::vector<std::string> cells;  ///< start, end, what, pieces, with, who, can slip; or what takes the rest
};

bool has_slips(const Subject& subject) {
    const auto& rows = subject.timetable->rows;
    return std::any_of(rows.begin(), rows.end(), [](const Row& row) { return row.slip.has_value(); });
}

class Run {
public:
    Run(const Subject& subject, const Words& words, const Days& days) : subject_(subject), words_(words), days_(days) {
        last_ = has_slips(subject) ? "slip" : subject.day != nullptr ? "is" : "";
    }

    Table table() {
        for (const Row& row : subject_.timetable->rows) add(row);
        const auto& ovens = subject_.timetable->oven;
        for (std::size_t i = 0; i < ovens.size(); ++i)
            if (ovens[i].kind != OvenEvent::Kind::hot) add_turn(static_cast<std::int32_t>(i));
        for (const Job& job : subject_.timetable->jobs)
            if (job.kind == Job::Kind::timer) add_timer(job);
        for (const PickupLine& pickup : subject_.timetable->pickups) add(pickup);
        for (const Instant change : days_.changes())
            lines_.push_back({change, 0, {days_.time(change), "", days_.change_text(change)}});
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
             {days_.time(row.start), days_.time_from(row.end, row.start), what_text(row),
              words_.amount(row.component, row.amount),
              equipment_text(row, {row.start, std::max(row.end, row.start + Minutes{1})}, words_, days_, true),
              joined(who), subject_.day != nullptr ? state_text(row) : slip_text(row)}});
    }

    void add_washing(const Row& row, const HandsUse& hands) {
        lines_.push_back({hands.span.from,
                          2,
                          {days_.time(hands.span.from), days_.time_from(hands.span.to, hands.span.from),
                           "wash up after " + words_.step(row.component, row.step), "",
                           equipment_text(row, hands.span, words_, days_, false), words_.person(hands.person), ""}});
    }

    void add_turn(std::int32_t index) {
        const OvenEvent& event = subject_.timetable->oven[static_cast<std::size_t>(index)];
        lines_.push_back({event.at,
                          1,
                          {days_.time(event.at), "", "* " + oven_turn_text(index, subject_, days_), "",
                           words_.equipment(event.oven), event.by ? words_.person(*event.by) : "", ""}});
    }

    void add_timer(const Job& job) {
        lines_.push_back({job.span.from,
                          1,
                          {days_.time(job.span.from), "", "* " + timer_text(job, subject_, days_), "",
                           words_.equipment(*job.place), job.person ? words_.person(*job.person) : "", ""}});
    }

    void add(const PickupLine& pickup) {
        const Order& order = subject_.plan.orders[pickup.order];
        lines_.push_back(
            {pickup.pickup,
             3,
             {days_.time(pickup.pickup), "",
              "PICKUP " + words_.name(order.name) + ": " + servings_text(pickup, subject_, words_) +
                  (pickup.done > pickup.pickup ? " - LATE, ready " + days_.time_from(pickup.done, pickup.pickup)
                                               : "")}});
    }

    std::string state_text(const Row& row) const {
        const auto state = state_of(subject_, row);
        if (state == replan::State::finished) return "done";
        return state == replan::State::running ? "begun" : "";
    }

    /// Where slips were worked out, a step without one is held back by nothing. "5m+15m": and so much of the margin.
    std::string slip_text(const Row& row) const {
        if (last_.empty()) return "";
        if (!row.slip) return "free";
        std::string text = short_duration(*row.slip);
        if (row.slip_to_pickup && *row.slip_to_pickup > *row.slip)
            text += " +" + short_duration(*row.slip_to_pickup - *row.slip);
        return text;
    }

    std::string what_text(const Row& row) const {
        const std::string task = words_.task(row.component, row.step, row.batch, row.load);
        const std::string heat = baking(subject_.plan, row, [&](Instant at) { return days_.time_from(at, row.start); });
        const auto index = static_cast<std::size_t>(&row - subject_.timetable->rows.data());
        const std::string wanted = cold_words(subject_, days_, index).wanted;
        return task + (heat.empty() ? "" : " at " + heat) +
               (row.ready < row.end ? "; ready " + days_.time_from(row.ready, row.start) : "") +
               (wanted.empty() ? "" : "; " + wanted);
    }

    Table laid_out() const {
        // A weekday before a time goes on a line of its own, since few rows have one; a zone behind it has room.
        const int time = days_.changes().empty() ? 5 : 9;
        std::vector<Column> columns{{"start", Align::left, time}, {"end", Align::left, time}, {"what", Align::left, 0},
                                    {"amount", Align::right, 9},  {"with", Align::left, 16},  {"who", Align::left, 8}};
        if (!last_.empty()) columns.push_back({last_, Align::right, 7});
        Table table(columns);
        const Line* before = nullptr;
        for (const Line& line : lines_) {
            if (before == nullptr || !days_.same_day(before->at, line.at)) table.heading(days_.day(line.at));
            auto cells = line.cells;
            if (last_.empty() && cells.size() > columns.size()) cells.pop_back();
            table.row(std::move(cells));
            before = &line;
        }
        return table;
    }

    const Subject& subject_;
    const Words& words_;
    const Days& days_;
    std::string last_;  ///< heading of the last column; empty: there is none
    std::vector<Line> lines_;
};

}  // namespace

std::string timetable_text(const Subject& subject, const Style& style) {
    if (subject.timetable == nullptr) return no_timetable_text(subject, style);
    const Words words(subject, style.ascii);
    const Days days(subject.zone, span_of(subject));
    Page page(style);
    page.title(words.name(subject.plan.title), words.name(subject.plan.timezone));
    add_as_of(subject, days, page);
    add_alarm(subject, words, days, page);
    if (subject.day == nullptr) page.paragraph(distance_to_best(subject, words, days), 2, 2);
    add_pickups(subject, words, days, page);
    page.blank();
    page.table(Run(subject, words, days).table());
    if (has_slips(subject)) {
        page.blank();
        page.paragraph(
            "slip: how much later a step can start with every margin kept, all else in the same order; behind the +, "
            "how "
            "much of the margin it can use up before a pickup itself moves. 0 alone: start to the minute.");
    }
    add_cautions(subject, words, days, page);
    return page.text();
}

}  // namespace oventide::report
