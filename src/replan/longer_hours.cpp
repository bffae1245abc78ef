#include "replan/longer_hours.hpp"

#include <algorithm>
#include <utility>

#include "common/spans.hpp"

namespace oventide::replan {
namespace {

/// Who left so long ago may be asked to stay.
constexpr Minutes kJustLeft{60};

}  // namespace

std::vector<Span> work_of(const Expansion& expansion, const Schedule& schedule, PersonIndex person,
                          const std::vector<char>& happened) {
    std::vector<Span> spans;
    for (ActivityId id = 0; id < static_cast<ActivityId>(expansion.project.activities.size()); ++id)
        for (std::size_t k = 0; k < expansion.project.activities[id].demands.size(); ++k) {
            const bool over = !happened.empty() && happened[id];
            if (over || expansion.resources[schedule.chosen[id][k]].person != person) continue;
            const Interval work = demand_interval(expansion.project, schedule, id, static_cast<int>(k));
            if (work.from < work.to)
                spans.push_back({expansion.origin + Minutes{work.from}, expansion.origin + Minutes{work.to}});
        }
    return spans;
}

bool is_away(const Situation& situation, std::size_t person) {
    return std::ranges::any_of(situation.away[person], [&](const Span& gap) { return gap.to > situation.now; });
}

std::vector<Span> hours_from(const Plan& plan, const Situation& situation, std::size_t person, Instant at) {
    std::vector<Span> hours = situation.today.kitchen.crew[person].hours;
    for (const Span& gap : situation.away[person])
        for (const Span& own : plan.kitchen.crew[person].hours)
            hours.push_back({std::max({gap.from, own.from, at}), std::min(gap.to, own.to)});
    return merged(std::move(hours));
}

std::optional<Instant> next_day(const Plan& plan, const Situation& situation, std::size_t person) {
    const Person& who = plan.kitchen.crew[person];
    if (std::ranges::find(situation.open_end, who.name) == situation.open_end.end()) return std::nullopt;
    Instant last = situation.now;
    for (const Span& own : who.hours) {
        if (own.from - last >= kNightsRest) return own.from;
        last = std::max(last, own.to);
    }
    return std::nullopt;
}

std::vector<Span> longer_hours(const Situation& situation, std::size_t person, Minutes by) {
    std::vector<Span> hours = situation.today.kitchen.crew[person].hours;
    if (is_away(situation, person)) return hours;
    for (Span& own : hours) {
        if (own.to + kJustLeft <= situation.now) continue;
        if (own.from > situation.now) own.from = std::max(situation.now, own.from - by);
        own.to += by;
    }
    return merged(std::move(hours));
}

std::vector<Span> hours_worked(const Situation& situation, std::size_t person, const std::vector<Span>& longer,
                               const Trial& trial) {
    const std::vector<Span> work =
        work_of(trial.expansion, trial.schedule, static_cast<PersonIndex>(person), trial.happened);
    std::vector<Span> hours;
    for (const Span& one : longer) {
        Span needed{one.to, one.from};
        const auto meet = [&](const Span& span) {
            if (span.from >= one.to || span.to <= one.from || span.from >= span.to) return;
            needed = {std::min(needed.from, span.from), std::max(needed.to, span.to)};
        };
        for (const Span& own : situation.today.kitchen.crew[person].hours) meet(own);
        for (const Span& span : work) meet(span);
        hours.push_back(needed);
    }
    return merged(std::move(hours));
}

std::vector<Need> more_hours(const Situation& situation, std::size_t person, const std::vector<Span>& hours) {
    std::vector<Need> needs;
    const auto what = static_cast<std::int32_t>(person);
    const auto& own = situation.today.kitchen.crew[person].hours;
    for (const Span& now : hours) {
        std::optional<Span> first, last;
        for (const Span& was : own)
            if (was.from < now.to && now.from <= was.to) {
                if (!first) first = was;
                last = was;
            }
        if (!first) {
            needs.push_back({Need::Kind::comes, what, now.from, std::nullopt});
            needs.push_back({Need::Kind::stays, what, now.to, std::nullopt});
            continue;
        }
        if (now.from < first->from) needs.push_back({Need::Kind::comes, what, now.from, first->from});
        if (now.to > last->to) needs.push_back({Need::Kind::stays, what, now.to, last->to});
    }
    return needs;
}

}  // namespace oventide::replan
