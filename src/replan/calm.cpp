/// As much as can be of what was announced: `Search`, its second half.
#include <algorithm>
#include <tuple>
#include <utility>

#include "oventide/check.hpp"
#include "oventide/timetable.hpp"
#include "replan/search.hpp"
#include "replan/steps.hpp"

namespace oventide::replan {
namespace {

/// So many minutes after what the news hits other steps may move too.
constexpr std::array<Time, 4> kReaches{45, 120, 300, kNever};

/// Its own window and all lags allow it, with everything else where it is: what costs little to ask first.
bool lags_allow(const Project& project, const Schedule& schedule, ActivityId id, Time start) {
    const Activity& activity = project.activities[id];
    if (start < activity.release || start + activity.duration > activity.due) return false;
    return std::ranges::all_of(project.lags, [&](const Lag& lag) {
        if (lag.from == lag.to || (lag.from != id && lag.to != id)) return true;
        return lag.from == id ? schedule.start[lag.to] >= start + lag.lag : start >= schedule.start[lag.from] + lag.lag;
    });
}

}  // namespace

Upset Search::upset(const Schedule& schedule) const {
    Upset sum{};
    for (ActivityId id = 0; id < count_; ++id) {
        if (told_[id] < 0) continue;
        const Time moved = schedule.start[id] - told_[id];
        const std::size_t kind = hands_[id] ? 0 : 1;
        sum[kind] += moved < 0;
        sum[2 + kind] += !as_told(id, schedule);
        sum[4 + kind] += std::abs(moved);
        if (announced_ == nullptr) continue;
        for (std::size_t k = 0; k < schedule.chosen[id].size(); ++k)
            sum[6] += schedule.chosen[id][k] != announced_->chosen[id][k];
    }
    return sum;
}

/// At the announced time, and with the people and the equipment that it was to have.
bool Search::as_told(ActivityId id, const Schedule& schedule) const {
    return schedule.start[id] == told_[id] && (announced_ == nullptr || schedule.chosen[id] == announced_->chosen[id]);
}

// ------------------------------------------------------------------------------------------- the order of work stays

/// The least starts from `from` on that keep the orders and the equipment of `before`.
std::optional<Schedule> Search::shifted(const Project& project, const Schedule& before,
                                        const std::vector<Time>& from) const {
    KeptOrders kept{left_.happened, {}};
    for (ActivityId id = 0; id < count_; ++id) {
        auto& demands = kept.busy.emplace_back();
        for (int k = 0; k < static_cast<int>(project.activities[id].demands.size()); ++k) {
            Interval busy = demand_interval(project, before, id, k);
            if (left_.happened[id] && busy.from < busy.to) busy.from = -kNever;  // before all that waits
            demands.push_back(busy);
        }
    }
    auto least = least_shift(project, before, kept, from);
    if (!least) return std::nullopt;
    Schedule schedule{std::move(*least), {}, before.chosen, {}};
    complete(project, schedule);
    if (!sound(project, schedule)) return std::nullopt;
    return schedule;
}

std::optional<Schedule> Search::announced_shifted(const Project& project) const {
    if (announced_ == nullptr) return std::nullopt;
    std::vector<Time> from = announced_->start;
    for (ActivityId id = 0; id < count_; ++id) {
        if (left_.happened[id])
            from[id] = left_.fixed[id];
        else if (told_[id] < 0)
            return std::nullopt;  // new since then: it has no place in that order
    }
    return shifted(project, *announced_, from);
}

bool Search::keep_order(const Allowance& allowance) {
    auto schedule = announced_shifted(project_with(allowance));
    if (!schedule) return false;
    best = std::move(schedule);
    kept_order = true;
    return true;
}

// ------------------------------------------------------------------------------------------------ another order

/// What the news itself makes impossible: steps that cannot start when they were to, and what the referee says.
Search::Steps Search::hit(const Project& project) const {
    Steps core(left_.happened.size(), 0);
    for (ActivityId id = 0; id < count_; ++id)
        core[id] = waits(id) && (told_[id] < 0 || project.activities[id].release > told_[id]);
    if (announced_ == nullptr) return core;
    Schedule unmoved{announced_->start, {}, announced_->chosen, {}};
    for (ActivityId id = 0; id < count_; ++id)
        if (left_.happened[id]) unmoved.start[id] = left_.fixed[id];
    complete(project, unmoved);
    for (const Violation& violation : check(project, unmoved))
        if (violation.activity >= 0 && waits(violation.activity)) core[violation.activity] = 1;
    return core;
}

/// What follows, directly or not, what is hit.
void Search::add_followers(Steps& steps) const {
    for (bool more = true; more;) {
        more = false;
        for (const Lag& lag : left_.expansion.project.lags) {
            if (lag.lag < 0 || !steps[lag.from] || steps[lag.to] || !waits(lag.to)) continue;
            steps[lag.to] = 1;
            more = true;
        }
    }
}

/// Ever longer stretches of the day, from now on: what is hit with what follows it, and all that was to start until so
/// long after the last that is hit. First none of it earlier than announced. The last is the whole day.
std::vector<Search::Holds> Search::neighbourhoods(const Project& project) const {
    Steps core = hit(project);
    Time last = left_.now;
    for (ActivityId id = 0; id < count_; ++id)
        if (core[id]) last = std::max(last, told_[id]);
    add_followers(core);
    std::vector<Holds> result;
    for (const Hold loose : {Hold::not_earlier, Hold::free})
        for (const Time reach : kReaches) {
            Holds holds(core.size(), Hold::told);
            for (ActivityId id = 0; id < count_; ++id)
                if (waits(id) && (core[id] || told_[id] < std::min(kNever, last + reach))) holds[id] = loose;
            if (result.empty() || holds != result.back()) result.push_back(std::move(holds));
        }
    return result;
}

/// What is held as told has the equipment and the people that it was to have.
Project Search::with_held(const Allowance& allowance, const Holds& holds) const {
    Project project = project_with(allowance);
    for (ActivityId id = 0; id < count_; ++id) {
        if (told_[id] < 0) continue;
        Activity& activity = project.activities[id];
        if (holds[id] != Hold::free) activity.release = std::max(activity.release, told_[id]);
        if (holds[id] != Hold::told) continue;
        activity.due = std::min(activity.due, told_[id] + activity.duration);
        if (announced_ == nullptr) continue;
        for (std::size_t k = 0; k < activity.demands.size(); ++k)
            activity.demands[k].choices = {announced_->chosen[id][k]};
    }
    return project;
}

/// In the order of work that `schedule` has, everything as near to its announced start as it can be: none is later
/// than it must, and then as many as can be are not earlier either.
Schedule Search::tightened(const Project& project, Schedule schedule) const {
    std::vector<Time> from = schedule.start;
    std::vector<ActivityId> early;
    for (ActivityId id = 0; id < count_; ++id) {
        if (told_[id] < 0) continue;
        if (schedule.start[id] < told_[id]) early.push_back(id);
        from[id] = std::min(schedule.start[id], told_[id]);
    }
    if (auto least = shifted(project, schedule, from)) schedule = std::move(*least);
    std::ranges::stable_sort(early, {}, [&](ActivityId id) { return std::tuple(!hands_[id], -told_[id]); });
    for (const ActivityId id : early) {
        if (schedule.start[id] >= told_[id]) continue;
        const Time before = std::exchange(from[id], told_[id]);
        if (auto later = shifted(project, schedule, from))
            schedule = std::move(*later);
        else
            from[id] = before;
    }
    return schedule;
}

/// Frees ever longer stretches of the day, until a schedule is found; nothing earlier than announced if that can be.
bool Search::repair(const Allowance& allowance) {
    const std::vector<Holds> stretches = neighbourhoods(project_with(allowance));
    if (repair_with(allowance, stretches.front(), options_.nodes)) return true;
    // Before more is tried: is there anything at all?
    if (!best && !solved(project_with(allowance), options_.nodes) && outcome.infeasible) return false;
    // Is it worth while to look for one in which nothing is earlier?
    const std::size_t half = stretches.size() / 2;
    std::optional<Schedule> later;
    if (half > 1) later = solved(with_held(allowance, stretches[half - 1]), options_.nodes);
    const bool perhaps_later = half > 1 && (later || !decided_);
    for (std::size_t k = perhaps_later ? 1 : std::max<std::size_t>(1, half); k < stretches.size(); ++k) {
        if (k == half - 1 && later) return take_repaired(allowance, std::move(*later));
        const std::int64_t nodes = k + 1 == stretches.size() ? options_.thorough : options_.nodes;
        if (repair_with(allowance, stretches[k], nodes)) return true;
    }
    return false;
}

bool Search::repair_with(const Allowance& allowance, const Holds& holds, std::int64_t nodes) {
    auto schedule = solved(with_held(allowance, holds), nodes);
    return schedule && take_repaired(allowance, std::move(*schedule));
}

bool Search::take_repaired(const Allowance& allowance, Schedule schedule) {
    take_calmer(project_with(allowance), std::move(schedule));
    return true;
}

bool Search::take_calmer(const Project& project, Schedule schedule) {
    Schedule tight = tightened(project, std::move(schedule));
    if (best && upset(tight) >= upset(*best)) return false;
    best = std::move(tight);
    kept_order = false;
    return true;
}

// ----------------------------------------------------------------------------------------- as few moved as can be

/// It wants nobody, or is what has to get cold.
bool Search::only_stands(ActivityId id) const {
    const Step& step = step_of(today_, left_.expansion, id);
    return wants_nobody(today_, left_.expansion, id) || (!hands_[id] && (step.chill || step.cools));
}

/// When all that it needs is ready, and as much later as was announced.
std::optional<Time> Search::begins_by_itself(ActivityId id) const {
    Time ready = -1, told = -1;
    for (const Lag& lag : left_.expansion.project.lags) {
        const Time takes = left_.expansion.project.activities[lag.from].duration;
        if (lag.to != id || lag.lag < takes) continue;
        if (told_ready_[lag.from] < 0) return std::nullopt;
        ready = std::max(ready, best->start[lag.from] + lag.lag);
        told = std::max(told, told_ready_[lag.from] + lag.lag - takes);
    }
    if (ready < 0) return std::nullopt;
    return std::max(left_.now, ready + std::max(0, told_[id] - told));
}

/// What cools, on the bench or in the fridge, does so as soon as it is out of the oven or off the hob, whatever was
/// announced: that upsets nobody.
void Search::begin_by_themselves(const Project& project) {
    for (ActivityId id = 0; id < count_; ++id) {
        if (told_[id] < 0 || !only_stands(id)) continue;
        const auto begins = begins_by_itself(id);
        if (!begins || *begins >= best->start[id]) continue;
        Schedule sooner = *best;
        sooner.start[id] = *begins;
        complete(project, sooner);
        if (sound(project, sooner)) best = std::move(sooner);
    }
}

/// As many of the moved steps as can be found go back to where they were announced, hands before machines; then whoever
/// was to do it does it; and what is the same so far is decided by the plan's aims.
void Search::calm(const Allowance& allowance) {
    if (!best) return;
    calming_ = true;
    const Project project = project_with(allowance);
    put_back_one_by_one(project);
    Holds holds(left_.happened.size(), Hold::free);
    std::vector<ActivityId> earlier, moved;
    for (ActivityId id = 0; id < count_; ++id) {
        if (told_[id] < 0) continue;
        if (best->start[id] < told_[id]) earlier.push_back(id);
        if (best->start[id] >= told_[id]) holds[id] = as_told(id, *best) ? Hold::told : Hold::not_earlier;
        if (!as_told(id, *best) && project.activities[id].release <= told_[id]) moved.push_back(id);
    }
    if (earlier.empty() && moved.empty()) return;
    const auto rank = [&](ActivityId id) { return std::tuple(!hands_[id], told_[id]); };
    std::ranges::stable_sort(earlier, {}, rank);
    std::ranges::stable_sort(moved, {}, rank);
    const Project held = with_held(allowance, holds);
    HeldTrials trials(held);
    hold_more(project, trials, holds, Hold::not_earlier, std::move(earlier));
    hold_more(project, trials, holds, Hold::told, std::move(moved));
    put_back_one_by_one(project);
    put_back_people(project);
    aim(allowance, holds);
    take_calmer(project, *best);
}

/// Each moved step for which there is room where it was announced, with everything else where it is now.
void Search::put_back_one_by_one(const Project& project) {
    if (announced_ == nullptr) return;
    for (bool more = true; more;) {
        more = false;
        for (ActivityId id = 0; id < count_; ++id) {
            if (told_[id] < 0 || as_told(id, *best) || !lags_allow(project, *best, id, told_[id])) continue;
            Schedule back = *best;
            back.start[id] = told_[id];
            back.chosen[id] = announced_->chosen[id];
            complete(project, back);
            if (upset(back) >= upset(*best) || !sound(project, back)) continue;
            best = std::move(back);
            more = true;
        }
    }
}

/// Times stay. Whoever was to do it does it, and gives up what they have at that time to whom they take it from; what
/// somebody else does in any case is done by one person as far as can be.
void Search::put_back_people(const Project& project) {
    if (announced_ == nullptr) return;
    for (ActivityId id = 0; id < count_; ++id) {
        if (told_[id] < 0 || best->chosen[id] == announced_->chosen[id]) continue;
        Schedule swapped = *best;
        swapped.chosen[id] = announced_->chosen[id];
        for (std::size_t k = 0; k < swapped.chosen[id].size(); ++k) {
            if (swapped.chosen[id][k] == best->chosen[id][k]) continue;
            const Interval mine = demand_interval(project, *best, id, static_cast<int>(k));
            for (ActivityId other = 0; other < count_; ++other)
                for (std::size_t j = 0; waits(other) && other != id && j < swapped.chosen[other].size(); ++j) {
                    const Interval theirs = demand_interval(project, *best, other, static_cast<int>(j));
                    const auto& choices = project.activities[other].demands[j].choices;
                    if (swapped.chosen[other][j] == swapped.chosen[id][k] && theirs.from < mine.to &&
                        mine.from < theirs.to && std::ranges::find(choices, best->chosen[id][k]) != choices.end())
                        swapped.chosen[other][j] = best->chosen[id][k];
                }
        }
        complete(project, swapped);
        if (upset(swapped) < upset(*best) && sound(project, swapped)) best = std::move(swapped);
    }
    Schedule steady = *best;
    steady_hands(left_.expansion, steady);
    for (ActivityId id = 0; id < count_; ++id) {
        if (left_.happened[id] || as_told(id, *best) || steady.chosen[id] == best->chosen[id]) continue;
        Schedule one = *best;
        one.chosen[id] = steady.chosen[id];
        complete(project, one);
        if (upset(one) <= upset(*best) && sound(project, one)) best = std::move(one);
    }
}

/// Holds all of `steps` faster, or half of them, and so on down to each by itself.
void Search::hold_more(const Project& project, HeldTrials& trials, Holds& holds, Hold hold,
                       std::vector<ActivityId> steps) {
    std::erase_if(steps, [&](ActivityId id) {
        return as_told(id, *best) || (hold == Hold::not_earlier && best->start[id] >= told_[id]);
    });
    if (steps.empty() || trials_ <= 0) return;
    --trials_;
    if (auto schedule = trials.with(held_faster(steps, hold), *best, options_.nodes))
        if (sound(project, *schedule) && take_calmer(project, std::move(*schedule))) {
            trials.keep();
            for (const ActivityId id : steps) holds[id] = hold;
            return;
        }
    if (steps.size() == 1) return;
    const auto middle = steps.begin() + static_cast<std::ptrdiff_t>(steps.size() / 2);
    hold_more(project, trials, holds, hold, {steps.begin(), middle});
    hold_more(project, trials, holds, hold, {middle, steps.end()});
}

std::vector<prove::Hold> Search::held_faster(const std::vector<ActivityId>& steps, Hold hold) const {
    std::vector<prove::Hold> faster;
    for (const ActivityId id : steps) {
        prove::Hold& one = faster.emplace_back(prove::Hold{id, told_[id], kNever, {}});
        if (hold != Hold::told) continue;
        one.latest = told_[id];
        if (announced_ != nullptr) one.chosen = announced_->chosen[id];
    }
    return faster;
}

/// Among those that move the same steps by as few minutes in all, the one that the plan's aims prefer.
void Search::aim(const Allowance& allowance, const Holds& holds) {
    auto schedule = solved(aims_project(with_held(allowance, holds)), options_.nodes);
    if (!schedule) return;
    schedule->start.resize(left_.happened.size());
    schedule->chosen.resize(left_.happened.size());
    complete(left_.expansion.project, *schedule);
    const auto rank = [&](const Schedule& one) {
        return std::tuple(upset(one), evaluate(left_.expansion.project, one));
    };
    if (rank(*schedule) >= rank(*best) || !sound(project_with(allowance), *schedule)) return;
    best = std::move(schedule);
    kept_order = false;
}

/// The minutes that steps move, as food that is used too late (or made too early), before the plan's own aims. Once
/// somebody is up, the alarm is no aim any more.
Project Search::aims_project(Project project) const {
    const bool up = std::ranges::find(left_.happened, 1) != left_.happened.end();
    project.goals = {Goal::overrun};
    for (const Goal goal : left_.expansion.project.goals)
        if (goal != Goal::overrun && !(goal == Goal::alarm && up)) project.goals.push_back(goal);
    project.freshness.clear();
    Activity beginning;
    beginning.name = "beginning";
    beginning.due = 0;
    const auto first = static_cast<ActivityId>(project.activities.size());
    project.activities.push_back(std::move(beginning));
    for (ActivityId id = 0; id < count_; ++id) {
        if (told_[id] < 0 || as_told(id, *best)) continue;
        if (best->start[id] >= told_[id])
            project.freshness.push_back({{first}, {id}, -1, told_[id]});
        else
            project.freshness.push_back({{id}, {}, told_[id] + project.activities[id].duration, 0});
    }
    return project;
}

}  // namespace oventide::replan
