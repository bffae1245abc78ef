#include "report/jobs.hpp"

#include <algorithm>
#include <tuple>

namespace oventide::report {
namespace {

/// Kept in the oven or in the fridge: the equipment that food is moved into and out of, the first one that it uses.
std::optional<EquipmentIndex> place_of(const Plan& plan, const Row& row) {
    for (const EquipmentUse& use : row.equipment) {
        const EquipmentKind kind = plan.kitchen.equipment[use.equipment].kind;
        if (kind == EquipmentKind::oven || kind == EquipmentKind::fridge) return use.equipment;
    }
    return std::nullopt;
}

Job::Kind kind_of(const Plan& plan, const Row& row, const HandsUse& hands) {
    if (hands.washing) return Job::Kind::washing;
    const bool moved = place_of(plan, row).has_value();
    const bool from_start = hands.span.from == row.start;
    const bool to_end = hands.span.to == row.end;
    if (hands.span.from >= row.end && row.end > row.start) return Job::Kind::afterwards;
    if (from_start && hands.span.to >= row.ready) return Job::Kind::work;
    if (from_start) return moved ? Job::Kind::into : Job::Kind::begin;
    if (to_end) return moved ? Job::Kind::out : Job::Kind::end;
    return Job::Kind::work;
}

/// The only one who is there.
std::optional<PersonIndex> alone_there(const Plan& plan, Instant at) {
    std::optional<PersonIndex> found;
    for (PersonIndex person = 0; person < static_cast<PersonIndex>(plan.kitchen.crew.size()); ++person) {
        const auto& hours = plan.kitchen.crew[person].hours;
        const bool there =
            std::any_of(hours.begin(), hours.end(), [&](const Span& span) { return span.from <= at && at < span.to; });
        if (!there) continue;
        if (found) return std::nullopt;
        found = person;
    }
    return found;
}

/// Who has just had this batch in hand, and is still there.
std::optional<PersonIndex> last_at_it(const Subject& subject, const Row& row, Instant at) {
    for (const Row& before : subject.timetable->rows) {
        if (before.component != row.component || before.batch != row.batch) continue;
        for (const HandsUse& hands : before.hands)
            if (hands.span.to == at && !hands.washing) return hands.person;
    }
    return std::nullopt;
}

/// Food moves into and out of ovens and fridges even where the plan asks for no hands.
void add_moves(const Subject& subject, const Row& row, std::vector<Job>& jobs) {
    const Plan& plan = subject.plan;
    const auto place = place_of(plan, row);
    if (!place) return;
    const auto attended = [&](Instant at) {
        return std::any_of(row.hands.begin(), row.hands.end(),
                           [&](const HandsUse& hands) { return hands.span.from <= at && at <= hands.span.to; });
    };
    const auto who = [&](Instant at) {
        const auto last = last_at_it(subject, row, at);
        return last ? last : alone_there(plan, at);
    };
    if (!attended(row.start)) jobs.push_back({Job::Kind::into, {row.start, row.start}, who(row.start), &row, {}});
    if (plan.kitchen.equipment[*place].kind == EquipmentKind::oven && !attended(row.end))
        jobs.push_back({Job::Kind::out, {row.end, row.end}, who(row.end), &row, {}});
}

}  // namespace

std::vector<Job> jobs_of(const Subject& subject) {
    std::vector<Job> jobs;
    for (const Row& row : subject.timetable->rows) {
        for (const HandsUse& hands : row.hands)
            jobs.push_back({kind_of(subject.plan, row, hands), hands.span, hands.person, &row, {}});
        add_moves(subject, row, jobs);
    }
    for (const OvenTurn& turn : oven_turns(*subject.timetable)) {
        const bool by_itself =
            turn.event.kind == OvenEvent::Kind::on && subject.plan.kitchen.equipment[turn.event.oven].timer;
        if (by_itself) continue;
        const Instant at = turn.event.at;
        jobs.push_back({Job::Kind::oven, {at, at}, alone_there(subject.plan, at), nullptr, turn});
    }
    // At the same minute ovens come first, then what comes out, then what goes in.
    const auto rank = [](const Job& job) {
        return job.kind == Job::Kind::oven ? 0 : job.kind == Job::Kind::out ? 1 : job.kind == Job::Kind::end ? 1 : 2;
    };
    std::stable_sort(jobs.begin(), jobs.end(), [&](const Job& a, const Job& b) {
        return std::make_tuple(a.span.from, rank(a)) < std::make_tuple(b.span.from, rank(b));
    });
    return jobs;
}

std::string job_text(const Job& job, const Subject& subject, const Words& words, const Days& days) {
    if (job.kind == Job::Kind::oven)
        return words.equipment(job.turn->event.oven) + ": " + oven_turn_text(*job.turn, subject, days);
    const Row& row = *job.row;
    const std::string task = words.task(row.component, row.step, row.batch, row.load);
    const auto place = place_of(subject.plan, row);
    const std::string where = place ? words.equipment(*place) : "";
    const auto& bake = subject.plan.components[row.component].steps[row.step].bake;
    switch (job.kind) {
        case Job::Kind::work:
            return task;
        case Job::Kind::into:
            return task + " - into " + where +
                   (bake && bake->programme.front().temperature
                        ? " at " + temperature_text(*bake->programme.front().temperature)
                        : "");
        case Job::Kind::out:
            return task + " - out of " + where;
        case Job::Kind::begin:
            return task + " - begin";
        case Job::Kind::end:
            return task + " - finish";
        case Job::Kind::afterwards:
            return task + " - afterwards";
        case Job::Kind::washing:
            return "wash up after " + words.step(row.component, row.step);
        case Job::Kind::oven:
            break;
    }
    return "";
}

const char* job_name(Job::Kind kind) {
    switch (kind) {
        case Job::Kind::work:
            return "work";
        case Job::Kind::into:
            return "into";
        case Job::Kind::out:
            return "out";
        case Job::Kind::begin:
            return "begin";
        case Job::Kind::end:
            return "finish";
        case Job::Kind::afterwards:
            return "afterwards";
        case Job::Kind::washing:
            return "washing";
        case Job::Kind::oven:
            return "oven";
    }
    return "";
}

}  // namespace oventide::report
