/// replan_benchmark [DAYS]: on random small days (20 by default) on which things go wrong, how many minutes late the
/// replanned timetable is, beside the fewest that there can be, where the exact search proves them; and how many steps
/// it moves.
#include <fmt/format.h>

#include <algorithm>
#include <cstdlib>

#include "oventide/scheduler.hpp"
#include "support/random_day.hpp"

int main(int argument_count, char** words) {
    using namespace oventide;
    const int days = argument_count > 1 ? std::atoi(words[1]) : 20;
    int asked = 0, proven = 0, best = 0, put_right = 0;
    std::int64_t minutes = 0, fewest = 0, worst = 0, moved = 0;
    for (std::uint64_t seed = 1; asked < days && seed < 20'000; ++seed) {
        const auto day = test::random_day(seed);
        const auto replanned = day ? test::replan_random(*day) : std::nullopt;
        if (!replanned) continue;
        ++asked;
        moved += static_cast<std::int64_t>(replanned->replanned.changes.size());
        SearchOptions exact;
        exact.schedules = 100;
        exact.nodes = 50'000;
        const Outcome outcome = solve(replanned->question.project, exact);
        if (!outcome.optimal) continue;
        ++proven;
        const std::int64_t too_many = replanned->late - outcome.value[0];
        minutes += replanned->late;
        fewest += outcome.value[0];
        best += too_many <= 0;  // fewer where food under way passes a limit
        put_right += replanned->replanned.way == replan::Replanned::Way::reordered;
        worst = std::max(worst, too_many);
        if (too_many > 0) fmt::print("seed {}: {} minutes late, {} at best\n", seed, replanned->late, outcome.value[0]);
    }
    fmt::print(
        "{} days, {} with a proven best ({} need another order of work); {} as good; {} minutes late in all, {} at "
        "best, {} at worst too many; {} steps moved\n",
        asked, proven, put_right, best, minutes, fewest, worst, moved);
}
