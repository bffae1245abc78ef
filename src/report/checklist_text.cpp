/// Only what hands must do, with boxes to tick, by person; for paper.

#include <fmt/format.h>

#include <algorithm>

#include "oventide/report.hpp"
#include "report/jobs.hpp"

namespace oventide::report {
namespace {

constexpr const char* kBox = "[ ]";

void add_ready(const Subject& subject, const Words& words, const Days& days, Page& page) {
    page.heading("Have ready");
    Table table({{"", Align::left, 3}, {"", Align::left, 0}});
    for (ComponentIndex component = 0; component < static_cast<ComponentIndex>(subject.plan.components.size());
         ++component) {
        std::vector<std::string> batches;
        for (const Batch& batch : subject.expansion.batches)
            if (batch.component == component)
                batches.push_back(words.amount(component, batch.share.to - batch.share.from));
        if (batches.empty()) continue;
        std::string text = words.component(component) + ": for " + batches.front();
        if (batches.size() > 1) {
            text = fmt::format("{}: {} batches, for {}", words.component(component), batches.size(), batches.front());
            for (std::size_t k = 1; k < batches.size(); ++k) text += " + " + batches[k];
        }
        table.row({kBox, text});
    }
    std::vector<std::string> equipment;
    for (const Row& row : subject.timetable->rows)
        for (const EquipmentUse& use : row.equipment) equipment.push_back(words.equipment(use.equipment));
    std::sort(equipment.begin(), equipment.end());
    if (!equipment.empty()) table.row({kBox, "clean and free: " + joined(equipment)});
    for (const OvenTurn& turn : oven_turns(*subject.timetable)) {
        if (turn.event.kind != OvenEvent::Kind::on || !subject.plan.kitchen.equipment[turn.event.oven].timer) continue;
        table.row({kBox, fmt::format("{}: set its timer to come on at {} for {}", words.equipment(turn.event.oven),
                                     days.day_time(turn.event.at),
                                     turn.event.temperature ? temperature_text(*turn.event.temperature) : "")});
    }
    page.table(table, 2);
}

void add_person(const Subject& subject, const Words& words, const Days& days, const std::vector<Job>& jobs,
                std::optional<PersonIndex> person, Page& page) {
    const std::string name = person ? words.person(*person) : "Whoever is there";
    Table table({{"", Align::left, 3},
                 {"", Align::left, 10},
                 {"", Align::left, 16},
                 {"", Align::left, 0},
                 {"", Align::right, 9},
                 {"", Align::left, 18}});
    const Job* before = nullptr;
    for (const Job& job : jobs) {
        if (job.person != person) continue;
        const Instant at = job.span.from;
        if (before == nullptr || !days.same_day(before->span.from, at)) table.heading(name + ", " + days.day(at));
        before = &job;
        const bool in_passing = job.span.from == job.span.to;
        const bool shows_food = job.row != nullptr && job.kind != Job::Kind::washing;
        const Span busy{job.span.from - Minutes{in_passing ? 1 : 0}, job.span.to + Minutes{in_passing ? 1 : 0}};
        table.row({kBox, days.time(at), in_passing ? "" : "to " + days.time_from(job.span.to, at),
                   job_text(job, subject, words, days),
                   shows_food ? words.amount(job.row->component, job.row->amount) : "",
                   job.row != nullptr ? equipment_text(*job.row, busy, words, days, false) : ""});
    }
    page.table(table);
}

}  // namespace

std::string checklist_text(const Subject& subject, const Style& style) {
    if (subject.timetable == nullptr) return no_timetable_text(subject, style);
    Style paper = style;
    paper.colour = false;
    const Words words(subject, style.ascii);
    const Days days(subject.zone, span_of(subject));
    const std::vector<Job> jobs = jobs_of(subject);
    Page page(paper);
    page.title(words.name(subject.plan.title), "Checklist");
    page.blank();
    if (subject.timetable->alarm) page.prominent("ALARM CLOCK: " + days.day_time(*subject.timetable->alarm));
    for (const PickupLine& pickup : subject.timetable->pickups)
        page.paragraph(
            "pickup " + days.day_time(pickup.pickup) + "  " + words.name(subject.plan.orders[pickup.order].name), 2, 2);
    add_ready(subject, words, days, page);
    for (PersonIndex person = 0; person < static_cast<PersonIndex>(subject.plan.kitchen.crew.size()); ++person)
        add_person(subject, words, days, jobs, person, page);
    add_person(subject, words, days, jobs, std::nullopt, page);
    add_cautions(subject, words, page);
    return page.text();
}

}  // namespace oventide::report
