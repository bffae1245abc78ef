/// What is remarkable about the chills of a timetable, below it.

#include <fmt/format.h>

#include <algorithm>
#include <set>

#include "report/chill_words.hpp"
#include "report/shared.hpp"

namespace oventide::report {
namespace {

/// What a chill is held against: "1.3 cm deep in a tray, from 85 C to 5 C in the fridge".
std::string conditions_text(const Cools& cools, double depth) {
    return fmt::format("{}, from {} to {} {}", vessel_text(cools, depth), temperature_text(cools.from),
                       temperature_text(cools.to), where_text(cools.where));
}

std::string chill_remark(const chill::Remark& remark, const Row& row, const Cools& cools, const std::string& name) {
    using enum chill::Remark::Kind;
    if (remark.kind == unknown) return name + ": the plan does not say how deep it is, so its time is not looked at.";
    if (remark.kind == never)
        return fmt::format("{}: {}: it never gets there, for it is not colder than that.", name,
                           conditions_text(cools, remark.depth));
    std::string text =
        fmt::format("{} has {} in the plan; {}, it takes about {}, {}: {}.", name, duration_text(remark.planned),
                    conditions_text(cools, remark.depth), about(*remark.takes.likely), interval_text(remark.takes),
                    remark.kind == too_long                                            ? "longer than it needs"
                    : remark.takes.earliest && remark.planned < *remark.takes.earliest ? "too short"
                                                                                       : "likely too short");
    if (remark.kind == too_short && row.end > row.ready)
        text += fmt::format(" In this timetable the first of it is used after {}.", duration_text(remark.cold));
    return text;
}

/// By when it must have fallen so far, and what is expected.
std::string stage_remark(const chill::Remark& remark, const std::string& name, const Days& days) {
    if (!remark.due) return fmt::format("{}: {}: it never gets to where this begins.", name, remark.text);
    const std::string expected =
        remark.likely ? "likely " + days.time_from(*remark.likely, *remark.due) +
                            (remark.latest ? ", at the slowest " + days.time_from(*remark.latest, *remark.due)
                                           : ", perhaps never")
                      : "never";
    const char* verdict = !remark.likely_kept  ? "LIKELY TOO LATE"
                          : remark.surely_kept ? "in time by this estimate"
                                               : "it may be too late";
    return fmt::format("{}: {}: by {}; {}: {}.", name, remark.text, days.day_time(*remark.due), expected, verdict);
}

bool handed_over(const Timetable& timetable, const Row& food, const Row& user) {
    return std::any_of(timetable.handovers.begin(), timetable.handovers.end(), [&](const Handover& each) {
        return each.from == food.component && each.from_batch == food.batch && each.to == user.component &&
               each.to_batch == user.batch && each.step == user.step;
    });
}

/// Who has that batch in their hands or uses it, and who is there when it is to be measured.
std::vector<PersonIndex> whose(const Timetable& timetable, const Row& row, std::optional<Instant> due) {
    std::set<PersonIndex> people;
    for (const Job& job : timetable.jobs) {
        if (!job.person || job.row < 0) continue;
        const Row& done = timetable.rows[static_cast<std::size_t>(job.row)];
        if ((done.component == row.component && done.batch == row.batch) || handed_over(timetable, row, done))
            people.insert(*job.person);
    }
    for (const Shift& shift : timetable.shifts)
        if (due && shift.span.from <= *due && *due <= shift.span.to) people.insert(shift.person);
    return {people.begin(), people.end()};
}

}  // namespace

void add_chills(const Subject& subject, const Words& words, std::vector<Caution>& cautions) {
    if (subject.timetable == nullptr) return;
    const Days days(subject.zone, span_of(subject));
    for (const chill::Remark& remark : subject.chills) {
        const Row& row = subject.timetable->rows[remark.row];
        const Cools& cools = *subject.plan.components[row.component].steps[row.step].cools;
        const std::string name = words.task(row.component, row.step, row.batch, row.load);
        const bool probe = remark.kind == chill::Remark::Kind::stage;
        cautions.push_back({probe ? "Probe: " + stage_remark(remark, name, days)
                                  : "Chill: " + words.name(chill_remark(remark, row, cools, name)),
                            false, whose(*subject.timetable, row, remark.due)});
    }
}

}  // namespace oventide::report
