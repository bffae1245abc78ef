/// Only what hands must do, with boxes to tick, by person; for paper.

#include <fmt/format.h>

#include <algorithm>

#include "oventide/report.hpp"
#include "report/checklist.hpp"
#include "report/cold_words.hpp"
#include "report/jobs.hpp"

namespace oventide::report {
namespace {

constexpr const char* kBox = "[ ]";
constexpr const char* kTicked = "[x]";

/// "tart case, 2 batches: 68 + 16"
std::string batches_text(const Subject& subject, const Words& words, ComponentIndex component) {
    std::vector<std::string> batches;
    for (const Batch& batch : subject.expansion.batches)
        if (batch.component == component) batches.push_back(words.amount(component, batch.share.to - batch.share.from));
    if (batches.empty()) return "";
    if (batches.size() == 1) return words.component(component) + ": " + batches.front();
    std::string text = fmt::format("{}, {} batches: {}", words.component(component), batches.size(), batches.front());
    for (std::size_t k = 1; k < batches.size(); ++k) text += " + " + batches[k];
    return text;
}

/// What is made here goes into it too, and is not there yet.
std::string made_here(const Subject& subject, const Words& words, ComponentIndex component) {
    std::vector<std::string> made;
    for (const Step& step : subject.plan.components[component].steps)
        for (const Draw& draw : step.draws) made.push_back(words.component(draw.component));
    return joined(made);
}

}  // namespace

std::string ready_text(const Subject& subject, const Words& words) {
    std::vector<std::string> equipment;
    for (const Row& row : subject.timetable->rows)
        for (const EquipmentUse& use : row.equipment) equipment.push_back(words.equipment(use.equipment));
    std::sort(equipment.begin(), equipment.end());
    return equipment.empty() ? "" : "clean and free: " + joined(equipment);
}

std::vector<std::string> to_weigh_out(const Subject& subject, const Words& words,
                                      const std::function<bool(ComponentIndex)>& wanted) {
    std::vector<std::string> lines;
    for (std::size_t i = 0; i < subject.plan.components.size(); ++i) {
        const auto component = static_cast<ComponentIndex>(i);
        const auto& ingredients = subject.plan.components[i].ingredients;
        const std::string made = made_here(subject, words, component);
        const std::string text = batches_text(subject, words, component);
        if (text.empty() || !wanted(component) || (ingredients && ingredients->empty() && !made.empty())) continue;
        lines.push_back(text + (made.empty() ? "" : "; without what is made here: " + made));
    }
    return lines;
}

namespace {

void add_boxes(const std::string& heading, const std::vector<std::string>& lines, Page& page) {
    Table table({{"", Align::left, 3}, {"", Align::left, 0}});
    for (const std::string& line : lines) table.row({kBox, line});
    page.heading(heading);
    page.table(table, 2);
}

void add_ready(const Subject& subject, const Words& words, Page& page) {
    const std::string equipment = ready_text(subject, words);
    add_boxes("Have ready", equipment.empty() ? std::vector<std::string>{} : std::vector{equipment}, page);
    add_boxes("Have weighed out, batch by batch", to_weigh_out(subject, words, [](ComponentIndex) { return true; }),
              page);
}

/// The name that `oventide note` knows it by.
std::string id_text(const Row* row, const Job& job, const Words& words) {
    return row == nullptr || job.kind == Job::Kind::washing ? "" : " [" + words.name(row->id) + "]";
}

void add_person(const Subject& subject, const Words& words, const Days& days, std::optional<PersonIndex> person,
                Page& page) {
    const std::string name = person ? words.person(*person) : "Nobody is there";
    Table table({{"", Align::left, 3},
                 {"", Align::left, 10},
                 {"", Align::left, 16},
                 {"", Align::left, 0},
                 {"", Align::right, 9},
                 {"", Align::left, 18}});
    const Job* before = nullptr;
    for (const Job& job : subject.timetable->jobs) {
        if (job.person != person) continue;
        const Instant at = job.span.from;
        if (before == nullptr || !days.same_day(before->span.from, at)) table.heading(name + ", " + days.day(at));
        before = &job;
        const bool in_passing = job.span.from == job.span.to;
        const Row* row = job.row < 0 ? nullptr : &subject.timetable->rows[static_cast<std::size_t>(job.row)];
        const bool shows_food = row != nullptr && job.kind != Job::Kind::washing;
        const Span busy{job.span.from - Minutes{in_passing ? 1 : 0}, job.span.to + Minutes{in_passing ? 1 : 0}};
        const bool over = subject.day != nullptr && at < subject.day->now && job.span.to <= subject.day->now;
        table.row({over ? kTicked : kBox, days.time(at), in_passing ? "" : "to " + days.time_from(job.span.to, at),
                   job_text(job, subject, words, days) + cold_text(subject, days, job) + id_text(row, job, words),
                   shows_food ? words.amount(row->component, row->amount) : "",
                   row != nullptr ? equipment_text(*row, busy, words, days, false) : ""});
    }
    page.table(table);
}

}  // namespace

std::string checklist_text(const Subject& subject, const Style& style, const std::vector<PersonIndex>& people) {
    if (subject.timetable == nullptr) return no_timetable_text(subject, style);
    Style paper = style;
    paper.colour = false;
    const Words words(subject, style.ascii);
    const Days days(subject.zone, span_of(subject));
    Page page(paper);
    page.title(words.name(subject.plan.title), "Checklist");
    add_as_of(subject, days, page);
    add_alarm(subject, words, days, page);
    add_pickups(subject, words, days, page);
    add_ready(subject, words, page);
    for (PersonIndex person = 0; person < static_cast<PersonIndex>(subject.plan.kitchen.crew.size()); ++person)
        if (people.empty() || std::count(people.begin(), people.end(), person) > 0)
            add_person(subject, words, days, person, page);
    if (people.empty()) add_person(subject, words, days, std::nullopt, page);
    add_cautions(subject, words, days, page);
    return page.text();
}

}  // namespace oventide::report
