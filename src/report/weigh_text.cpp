/// What to weigh for each batch as it is planned; for paper.

#include <fmt/format.h>

#include "report/figures.hpp"
#include "report/shared.hpp"

namespace oventide::report {
namespace {

void add_lines(const Subject& subject, const Words& words, const Days& days, const WeighedBatch& batch, Table& table) {
    for (const WeighLine& line : batch.lines)
        table.row({"[ ]", words.name(subject.plan.ingredients[line.ingredient].name), taken_text(line.amount),
                   line.mass && line.amount.measure != Measure::mass ? figure_text(*line.mass) : "",
                   line.of_flour ? percent_text(*line.of_flour) : "", ""});
    if (!batch.lines.empty())
        table.row({"", "in all", batch.mass ? figure_text(*batch.mass) : "not known", "",
                   batch.of_flour ? percent_text(*batch.of_flour) : "", ""});
    if (batch.each) table.row({"", "each piece", figure_text(*batch.each), "", "", ""});
    if (batch.each_after_loss)
        table.row({"", fmt::format("each when {} is lost", percent_text(subject.plan.components[batch.component].loss)),
                   figure_text(*batch.each_after_loss), "", "", ""});
    for (const DrawnLine& line : batch.drawn) {
        const std::string which = words.batch(line.component, 0, line.batch, 0);
        table.row({"[ ]",
                   fmt::format("{} {}: {}{}", days.time_from(line.at, batch.needed),
                               words.name(subject.plan.components[batch.component].steps[line.step].name),
                               words.component(line.component), which.empty() ? "" : ", " + which),
                   words.amount(line.component, line.amount), "", "", ""});
    }
}

}  // namespace

std::string weigh_text(const Subject& subject, const Style& style) {
    if (subject.timetable == nullptr) return no_timetable_text(subject, style);
    const Words words(subject, style.ascii);
    const Days days(subject.zone, span_of(subject));
    Page page(style);
    page.title(words.name(subject.plan.title), "Weigh sheet");
    add_as_of(subject, days, page);
    Table table({{"", Align::left, 3},
                 {"", Align::left, 38},
                 {"goes in", Align::right, 12},
                 {"that is", Align::right, 12},
                 {"of flour", Align::right, 9},
                 {"", Align::left, 0}});
    for (const WeighedBatch& batch : weigh(subject.plan, *subject.timetable)) {
        const std::string which = words.batch(batch.component, 0, batch.batch, 0);
        table.heading(fmt::format("{}{}, for {}: {} {}", words.component(batch.component),
                                  which.empty() ? "" : ", " + which, words.amount_of(batch.component, batch.amount),
                                  batch.lines.empty() ? "put together from" : "weighed by",
                                  days.day_time(batch.needed)));
        add_lines(subject, words, days, batch, table);
    }
    page.blank();
    if (!table.empty()) {
        page.table(table);
        page.blank();
        page.paragraph(std::string(kRounding));
        page.paragraph(
            "8.4 of 9: nine are taken, and of those so much; where it is known, 'that is' says what to weigh.");
        page.paragraph("of flour: baker's percentage, the weight for 100 of this component's own flour.");
    }
    add_unsaid(subject, words, page);
    return page.text();
}

}  // namespace oventide::report
