/// replan_benchmark [DAYS]: on random small days (20 by default) on which things go wrong, how many minutes late the
/// replanned timetable is, beside the fewest that there can be, where the exact search proves them.
#include <fmt/format.h>

#include <algorithm>
#include <cstdlib>
#include <random>

#include "oventide/replan.hpp"
#include "oventide/scheduler.hpp"
#include "replan/announced.hpp"
#include "replan/left.hpp"
#include "replan/search.hpp"
#include "support/planned.hpp"
#include "support/random_plan.hpp"

namespace {

using namespace oventide;

/// What is left, with nothing but the minutes late as its goal: an order is collected when the last of it is ready.
Project lateness_project(const replan::Search& search, const replan::Left& left, const Plan& today) {
    replan::Allowance all{std::vector<Time>(today.orders.size(), kNever),
                          std::vector<Time>(left.limits.size(), kNever)};
    Project project = search.project_with(all);
    const auto count = static_cast<ActivityId>(project.activities.size());
    project.goals = {Goal::overrun};
    project.freshness.clear();
    project.links.clear();
    Activity nothing;
    nothing.name = "beginning";
    nothing.due = 0;
    project.activities.push_back(nothing);
    for (std::int32_t order = 0; order < static_cast<std::int32_t>(today.orders.size()); ++order) {
        Activity collected;
        collected.name = fmt::format("collected {}", order);
        const auto id = static_cast<ActivityId>(project.activities.size());
        project.activities.push_back(collected);
        for (ActivityId step = 0; step < count; ++step) {
            if (left.happened[step] || left.promised_due[step] >= kNever) continue;
            const auto& sales = left.expansion.batches[left.expansion.tasks[step].batch].sales;
            if (std::ranges::any_of(sales, [&](const Batch::Sale& sale) { return sale.order == order; }))
                project.lags.push_back({step, id, project.activities[step].duration, kNoPromise});
        }
        const auto pickup = static_cast<Time>((today.orders[order].pickup - left.expansion.origin).count());
        project.freshness.push_back({{count}, {id}, -1, std::max(0, pickup)});
    }
    return project;
}

}  // namespace

int main(int argument_count, char** words) {
    const int days = argument_count > 1 ? std::atoi(words[1]) : 20;
    int asked = 0, proven = 0, best = 0;
    std::int64_t minutes = 0, fewest = 0, worst = 0;
    for (std::uint32_t seed = 1; asked < days && seed < 1'000; ++seed) {
        support::RandomPlanOptions small{2, 2, 12, false};
        small.small_night = true;
        const test::Planned planned = test::planned(support::random_plan(seed, small), 60);
        if (!planned.timetable) continue;
        std::mt19937 random(seed);
        const Row& running = planned.timetable->rows[random() % (planned.timetable->rows.size() / 2 + 1)];
        const Instant now = running.start + Minutes{1};
        journal::Journal journal{"UTC", {}, {}};
        const auto note = [&](journal::Event event) {
            journal.entries.push_back({static_cast<std::int32_t>(journal.entries.size()) + 1, {}, std::move(event)});
        };
        note(journal::publication(planned.plan, *planned.timetable, "0"));
        for (const Row& row : planned.timetable->rows)
            if (row.start <= now) note(journal::Started{row.id, row.start});
        note(journal::WillEnd{running.id, running.ready + Minutes{30 + static_cast<int>(random() % 60)}});
        const auto& equipment = planned.plan.kitchen.equipment;
        note(journal::Broken{equipment[random() % equipment.size()].name, now, now + Minutes{40}});

        const auto situation = replan::situation(planned.plan, planned.expansion, journal, now);
        const auto result = replan::replan(planned.plan, planned.expansion, journal, situation);
        if (!result.timetable) continue;
        ++asked;
        std::int64_t late = 0;
        for (const replan::Pickup& pickup : result.pickups)
            late += std::max(std::int64_t{0}, (pickup.done - pickup.at).count());

        const auto told = replan::announced_schedule(planned.plan, planned.expansion, *journal.published());
        std::string why;
        const auto left = replan::what_is_left(planned.plan, planned.expansion, situation, &*told, why);
        const replan::Options options;
        const replan::Search search(situation.today, situation, *left, &*told, options);
        SearchOptions exact;
        exact.schedules = 100;
        exact.nodes = 50'000;
        const Outcome outcome = solve(lateness_project(search, *left, situation.today), exact);
        if (!outcome.optimal) continue;
        ++proven;
        minutes += late;
        fewest += outcome.value[0];
        best += late == outcome.value[0];
        worst = std::max(worst, late - outcome.value[0]);
    }
    fmt::print(
        "{} days, {} with a proven best; of those {} as good, {} minutes late in all, {} at best, {} at worst too "
        "many\n",
        asked, proven, best, minutes, fewest, worst);
}
