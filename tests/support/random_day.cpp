#include "support/random_day.hpp"

#include <algorithm>
#include <random>
#include <string>
#include <utility>

#include "replan/announced.hpp"
#include "replan/left.hpp"
#include "replan/search.hpp"
#include "support/random_plan.hpp"

namespace oventide::test {
namespace {

/// Adds what is collected, an activity an order; the time that it is too late is food used too late.
void ask_for_least_late(const replan::Left& left, const Plan& today, Project& project, Schedule& schedule) {
    const auto count = static_cast<ActivityId>(project.activities.size());
    project.goals = {Goal::overrun};
    project.freshness.clear();
    project.links.clear();
    const auto add = [&](const std::string& name, Time start) {
        Activity& activity = project.activities.emplace_back();
        activity.name = name;
        activity.release = start;
        activity.due = kNever;
        schedule.start.push_back(start);
        schedule.chosen.emplace_back();
        return static_cast<ActivityId>(project.activities.size() - 1);
    };
    const ActivityId beginning = add("beginning", 0);
    project.activities[beginning].due = 0;
    for (std::int32_t order = 0; order < static_cast<std::int32_t>(today.orders.size()); ++order) {
        const ActivityId collected = add("collected " + std::to_string(order), 0);
        for (ActivityId step = 0; step < count; ++step) {
            if (left.happened[step] || left.promised_due[step] >= kNever) continue;
            const auto& sales = left.expansion.batches[left.expansion.tasks[step].batch].sales;
            if (std::ranges::none_of(sales, [&](const Batch::Sale& sale) { return sale.order == order; })) continue;
            const Time duration = project.activities[step].duration;
            project.lags.push_back({step, collected, duration, kNoPromise});
            schedule.start[collected] = std::max(schedule.start[collected], schedule.start[step] + duration);
        }
        const auto pickup = static_cast<Time>((today.orders[order].pickup - left.expansion.origin).count());
        project.freshness.push_back({{beginning}, {collected}, -1, std::max(0, pickup)});
    }
    complete(project, schedule);
}

}  // namespace

std::optional<RandomDay> random_day(std::uint64_t seed) {
    support::RandomPlanOptions small{2, 2, 12, false};
    small.small_night = true;
    Planned planned = test::planned(support::random_plan(seed, small), 60);
    if (!planned.timetable) return std::nullopt;
    std::mt19937 random(static_cast<std::uint32_t>(seed));
    const auto& rows = planned.timetable->rows;
    const Row& running = rows[random() % (rows.size() / 2 + 1)];
    const Instant now = running.start + Minutes{1};
    journal::Journal journal{"UTC", {}, {}};
    const auto note = [&](journal::Event event) {
        journal.entries.push_back({static_cast<std::int32_t>(journal.entries.size()) + 1, {}, std::move(event)});
    };
    note(journal::publication(planned.plan, *planned.timetable, "0"));
    for (const Row& row : rows)
        if (row.start <= now) note(journal::Started{row.id, row.start});
    note(journal::WillEnd{running.id, running.ready + Minutes{30 + static_cast<int>(random() % 60)}});
    const auto& equipment = planned.plan.kitchen.equipment;
    note(journal::Broken{equipment[random() % equipment.size()].name, now, now + Minutes{40}});
    return RandomDay{std::move(planned), std::move(journal), now};
}

std::optional<RandomReplan> replan_random(const RandomDay& day) {
    const Planned& planned = day.planned;
    const auto situation = replan::situation(planned.plan, planned.expansion, day.journal, day.now);
    RandomReplan result{replan::replan(planned.plan, planned.expansion, day.journal, situation), {}, {}, 0};
    if (!result.replanned.timetable) return std::nullopt;
    const auto told = replan::announced_schedule(planned.plan, planned.expansion, *day.journal.published());
    std::string why;
    const auto left = replan::what_is_left(planned.plan, planned.expansion, situation, &*told, why,
                                           {.batches = replan::Batches::in_any_order});
    const replan::Options options;
    const replan::Search search(situation.today, situation, *left, &*told, options);
    result.question = left->expansion;
    result.question.project = search.project_with(
        {std::vector<Time>(situation.today.orders.size(), kNever), std::vector<Time>(left->limits.size(), kNever), {}});
    result.schedule = *result.replanned.outcome.schedule;
    ask_for_least_late(*left, situation.today, result.question.project, result.schedule);
    result.late = evaluate(result.question.project, result.schedule)[0];
    return result;
}

}  // namespace oventide::test
