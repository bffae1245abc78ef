#include "replan/search.hpp"

#include <algorithm>
#include <tuple>
#include <utility>

#include "oventide/check.hpp"

namespace oventide::replan {
namespace {

/// So many minutes after what the news hits other steps may move too.
constexpr std::array<Time, 4> kReaches{45, 120, 300, kNever};
constexpr std::array<Time, 3> kLateBy{60, 240, kNever};

}  // namespace

Search::Search(const Plan& today, const Situation& situation, const Left& left, const Schedule* announced,
               const Options& options)
    : today_(today),
      left_(left),
      announced_(announced),
      options_(options),
      count_(static_cast<ActivityId>(left.happened.size())),
      searches_(options.searches) {
    for (ActivityId id = 0; id < count_; ++id) {
        const auto& told = situation.steps[id].announced;
        told_.push_back(waits(id) && told ? static_cast<Time>((*told - left.expansion.origin).count()) : -1);
        hands_.push_back(std::ranges::any_of(
            left.expansion.demands[id], [](const DemandInfo& info) { return info.kind == DemandInfo::Kind::hands; }));
    }
}

/// The announced order of work if that keeps every pickup and limit; else part of it in another order; and only where
/// that is not enough may limits give way, and then pickups.
void Search::run(const std::vector<char>& may_be_late) {
    const Allowance none{std::vector<Time>(today_.orders.size(), 0), std::vector<Time>(left_.limits.size(), 0)};
    allowance_ = none;
    if (keep_order(none) || repair(none)) return;
    allowance_.limits.assign(left_.limits.size(), kNever);
    if (left_.limits.empty() || !least_broken()) {
        if (!least_late(may_be_late)) return;
        least_broken();
    }
    for (std::size_t k = 0; k < left_.limits.size(); ++k) allowance_.limits[k] = std::max(0, over(left_.limits[k]));
    best = tightened(project_with(allowance_), std::move(*best));
    if (!keep_order(allowance_)) repair(allowance_);
}

// ----------------------------------------------------------------------------------------- what a schedule is worth

Time Search::over(const Limit& limit) const {
    if (limit.lag >= 0) {
        const Lag& lag = left_.expansion.project.lags[limit.lag];
        return best->start[lag.from] + lag.lag - best->start[lag.to];
    }
    return best->end[limit.keeper] - best->start[limit.keeper] -
           left_.expansion.project.activities[limit.keeper].duration - limit.value;
}

Time Search::lateness(std::size_t order, const Schedule& schedule) const {
    Time most = 0;
    const auto by = static_cast<Time>((today_.orders[order].pickup - left_.expansion.origin).count());
    for (ActivityId id = 0; id < count_; ++id)
        if (is_last_of(id, order))
            most = std::max(most, schedule.start[id] + left_.expansion.project.activities[id].duration - by);
    return most;
}

std::int64_t Search::minutes_late(const Schedule& schedule) const {
    std::int64_t sum = 0;
    for (std::size_t order = 0; order < today_.orders.size(); ++order) sum += lateness(order, schedule);
    return sum;
}

Upset Search::upset(const Schedule& schedule) const {
    Upset sum{};
    for (ActivityId id = 0; id < count_; ++id) {
        if (told_[id] < 0) continue;
        const Time moved = schedule.start[id] - told_[id];
        const std::size_t kind = hands_[id] ? 0 : 1;
        sum[kind] += moved < 0;
        sum[2 + kind] += !as_told(id, schedule);
        sum[4 + kind] += std::abs(moved);
    }
    return sum;
}

/// At the announced time, and with the people and the equipment that it was to have.
bool Search::as_told(ActivityId id, const Schedule& schedule) const {
    return schedule.start[id] == told_[id] && (announced_ == nullptr || schedule.chosen[id] == announced_->chosen[id]);
}

bool Search::within(const Allowance& allowance) const {
    for (std::size_t order = 0; order < allowance.late.size(); ++order)
        if (lateness(order, *best) > allowance.late[order]) return false;
    return true;
}

std::vector<std::string> Search::faults(const Project& project, const Schedule& schedule) const {
    std::vector<std::string> result;
    for (const Violation& violation : check(project, schedule)) result.push_back(violation.what);
    for (ActivityId id = 0; id < count_; ++id) {
        const std::string& name = project.activities[id].name;
        if (left_.happened[id] ? schedule.start[id] != left_.fixed[id] : schedule.start[id] < left_.now)
            result.push_back(name + (left_.happened[id] ? " has happened, and is moved" : " starts before now"));
    }
    for (const StartUp& on : schedule.start_ups)
        if (on.at < left_.now && on.at < left_.on_since[on.resource])
            result.push_back(project.resources[on.resource].name + " is switched on before now");
    return result;
}

Project Search::project_with(const Allowance& allowance) const {
    Project project = left_.expansion.project;
    project.goals.clear();  // the first schedule will do: it is drawn towards what was announced afterwards
    for (ActivityId id = 0; id < count_; ++id)
        if (waits(id)) project.activities[id].due = due_of(id, allowance);
    for (std::size_t k = 0; k < left_.limits.size(); ++k) {
        const Limit& limit = left_.limits[k];
        if (limit.lag >= 0) {
            Time& lag = project.lags[limit.lag].lag;
            lag = std::max(-kNever, lag - allowance.limits[k]);
        } else {
            Time& keep = project.activities[limit.keeper].keep;
            keep = std::min(kNever, keep + allowance.limits[k]);
        }
    }
    return project;
}

/// On the day the margin is the air that it was meant to be: what is ready by the pickup itself is not late.
Time Search::due_of(std::size_t id, const Allowance& allowance) const {
    if (left_.promised_due[id] >= kNever) return kNever;
    const Batch& batch = left_.expansion.batches[left_.expansion.tasks[id].batch];
    Time due = kNever;
    for (const Batch::Sale& sale : batch.sales) {
        const auto by = static_cast<Time>((today_.orders[sale.order].pickup - left_.expansion.origin).count());
        due = std::min(due, std::min(kNever, by + allowance.late[sale.order]));
    }
    if (!batch.sales.empty()) return due;
    return std::min(kNever, left_.promised_due[id] + *std::ranges::max_element(allowance.late));
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
    for (ActivityId id = 0; id < count_; ++id)
        if (left_.happened[id]) from[id] = left_.fixed[id];
    return shifted(project, *announced_, from);
}

bool Search::keep_order(const Allowance& allowance) {
    auto schedule = announced_shifted(project_with(allowance));
    if (!schedule) return false;
    best = std::move(schedule);
    kept_order = true;
    return true;
}

// ----------------------------------------------------------------------------------------------- what must give way

std::optional<Schedule> Search::solved(const Project& project, std::int64_t nodes) {
    if (searches_ <= 0) return std::nullopt;
    --searches_;
    SearchOptions search;
    search.schedules = options_.schedules;
    search.nodes = nodes;
    search.seed = options_.seed;
    Outcome found = solve(project, search);
    const bool good = found.schedule && sound(project, *found.schedule);
    std::optional<Schedule> schedule;
    if (good) schedule = found.schedule;
    if (!found.schedule || good) outcome = std::move(found);
    return schedule;
}

/// As few minutes late as can be found, first with little of the day in another order; false where there is no
/// schedule at all.
bool Search::least_late(const std::vector<char>& may_be_late) {
    for (std::size_t order = 0; order < allowance_.late.size(); ++order)
        if (may_be_late[order]) allowance_.late[order] = kNever;
    best.reset();
    keep_order(allowance_);
    const std::vector<Steps> stretches = neighbourhoods(project_with(allowance_));
    for (const bool earlier : {false, true})
        for (const Steps& free : stretches)
            if (!earlier || &free == &stretches.back()) less_late(may_be_late, free, earlier);
    for (std::size_t order = 0; best && order < allowance_.late.size(); ++order)
        allowance_.late[order] = lateness(order, *best);
    return best.has_value();
}

/// With a deadline the search knows what is urgent: that of the best so far, or one that is put off until it will do.
void Search::less_late(const std::vector<char>& may_be_late, const Steps& free, bool earlier) {
    const std::int64_t before = best ? minutes_late(*best) : -1;
    if (before == 0) return;
    for (const Time by : kLateBy) {
        Allowance tried = allowance_;
        for (std::size_t order = 0; order < tried.late.size(); ++order)
            if (may_be_late[order]) tried.late[order] = before > 0 ? static_cast<Time>(before) - 1 : by;
        auto schedule = solved(lateness_project(with_free(tried, free, earlier)), options_.thorough);
        if (schedule) {
            schedule->start.resize(left_.happened.size());
            schedule->chosen.resize(left_.happened.size());
            complete(left_.expansion.project, *schedule);
            if (before < 0 || minutes_late(*schedule) < before) {
                best = std::move(schedule);
                kept_order = false;
            }
        }
        if (schedule || before > 0) return;
    }
}

/// The minutes late as food that is used too late: what is collected is ready when the last of it is, and was made at
/// the beginning of time.
Project Search::lateness_project(Project project) const {
    Activity beginning;
    beginning.name = "beginning";
    beginning.due = 0;
    const auto first = static_cast<ActivityId>(project.activities.size());
    project.activities.push_back(std::move(beginning));
    project.goals = {Goal::overrun};
    project.links.clear();
    project.freshness.clear();
    for (std::size_t order = 0; order < today_.orders.size(); ++order) {
        const auto pickup = static_cast<Time>((today_.orders[order].pickup - left_.expansion.origin).count());
        const auto id = static_cast<ActivityId>(project.activities.size());
        Activity collected;
        collected.name = "collected " + std::to_string(order + 1);
        const std::size_t lags = project.lags.size();
        for (ActivityId step = 0; step < count_; ++step) {
            if (!is_last_of(step, order)) continue;
            project.lags.push_back({step, id, project.activities[step].duration, kNoPromise});
            collected.due = std::max(collected.due == kNever ? 0 : collected.due, project.activities[step].due);
        }
        if (project.lags.size() == lags) continue;  // it is ready already
        project.activities.push_back(std::move(collected));
        project.freshness.push_back({{first}, {id}, -1, std::max(0, pickup)});
    }
    return project;
}

/// A waiting step after which something of the order can be collected.
bool Search::is_last_of(ActivityId step, std::size_t order) const {
    if (!waits(step) || left_.promised_due[step] >= kNever) return false;
    const auto serves = [&](const Batch::Sale& sale) { return sale.order == static_cast<std::int32_t>(order); };
    return std::ranges::any_of(left_.expansion.batches[left_.expansion.tasks[step].batch].sales, serves);
}

/// As few minutes over the limits as can be found; false where there is no schedule at all.
bool Search::least_broken() {
    if (!best || !within(allowance_)) {
        best.reset();
        keep_order(allowance_);
    }
    const std::vector<Steps> stretches = neighbourhoods(project_with(allowance_));
    for (const bool earlier : {false, true})
        for (const Steps& free : stretches) {
            if (best && minutes_over() == 0) return true;
            if (earlier && &free != &stretches.back()) continue;
            Project project = with_free(allowance_, free, earlier);
            project.goals = {Goal::overrun};
            project.links.clear();
            project.freshness.clear();
            for (const Limit& limit : left_.limits) project.freshness.push_back(as_freshness(limit));
            auto schedule = solved(project, options_.thorough);
            if (!schedule) continue;
            auto before = std::exchange(best, std::move(schedule));
            const std::int64_t now_over = minutes_over();
            std::swap(best, before);
            if (best && minutes_over() <= now_over) continue;
            best = std::move(before);
            kept_order = false;
        }
    return best.has_value();
}

/// What a limit is passed by is what food would be used too late by.
Freshness Search::as_freshness(const Limit& limit) const {
    const Project& project = left_.expansion.project;
    if (limit.lag < 0) return {{limit.keeper}, project.activities[limit.keeper].users, -1, limit.value};
    const Lag& lag = project.lags[limit.lag];
    return {{lag.to}, {lag.from}, -1, std::max(0, -lag.lag - project.activities[lag.to].duration)};
}

std::int64_t Search::minutes_over() const {
    std::int64_t sum = 0;
    for (const Limit& limit : left_.limits) sum += std::max(0, over(limit));
    return sum;
}

// ------------------------------------------------------------------------------------- as much of it as was announced

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
/// long after the last that is hit. The last is the whole day.
std::vector<Search::Steps> Search::neighbourhoods(const Project& project) const {
    Steps core = hit(project);
    Time last = left_.now;
    for (ActivityId id = 0; id < count_; ++id)
        if (core[id]) last = std::max(last, told_[id]);
    add_followers(core);
    std::vector<Steps> result;
    for (const Time reach : kReaches) {
        Steps free = core;
        for (ActivityId id = 0; id < count_; ++id)
            free[id] = waits(id) && (core[id] || told_[id] < std::min(kNever, last + reach));
        if (result.empty() || free != result.back()) result.push_back(std::move(free));
    }
    return result;
}

/// All that is not free is held where it was announced, with the equipment and the people that it was to have.
Project Search::with_free(const Allowance& allowance, const Steps& free, bool earlier) const {
    Project project = project_with(allowance);
    for (ActivityId id = 0; id < count_; ++id) {
        if (told_[id] < 0) continue;
        Activity& activity = project.activities[id];
        if (!free[id] || !earlier) activity.release = std::max(activity.release, told_[id]);
        if (free[id]) continue;
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
    const Project project = project_with(allowance);
    const std::vector<Steps> stretches = neighbourhoods(project);
    for (const bool earlier : {false, true})
        for (const Steps& free : stretches) {
            const std::int64_t nodes = &free == &stretches.back() && earlier ? options_.thorough : options_.nodes;
            auto schedule = solved(with_free(allowance, free, earlier), nodes);
            if (!schedule) {
                // Before more is tried: is there anything at all?
                if (!best && &free == &stretches.front() && !earlier && !solved(project, options_.nodes) &&
                    outcome.infeasible)
                    return false;
                continue;
            }
            Schedule tight = tightened(project, std::move(*schedule));
            if (!best || upset(tight) < upset(*best)) {
                best = std::move(tight);
                kept_order = false;
            }
            pull_back(allowance, free, earlier);
            return true;
        }
    return false;
}

/// As many of the moved steps as can be found go back to where they were announced, hands before machines.
void Search::pull_back(const Allowance& allowance, Steps free, bool earlier) {
    std::vector<ActivityId> moved;
    for (ActivityId id = 0; id < count_; ++id) {
        free[id] = told_[id] < 0 || !as_told(id, *best);
        if (told_[id] >= 0 && free[id] && left_.expansion.project.activities[id].release <= told_[id])
            moved.push_back(id);
    }
    std::ranges::stable_sort(moved, {}, [&](ActivityId id) { return std::tuple(!hands_[id], told_[id]); });
    pin(allowance, free, earlier, std::move(moved));
}

void Search::pin(const Allowance& allowance, Steps& free, bool earlier, std::vector<ActivityId> steps) {
    std::erase_if(steps, [&](ActivityId id) { return as_told(id, *best); });
    if (steps.empty() || searches_ <= 0) return;
    Steps fewer = free;
    for (const ActivityId id : steps) fewer[id] = 0;
    if (auto schedule = solved(with_free(allowance, fewer, earlier), options_.nodes)) {
        Schedule tight = tightened(project_with(allowance), std::move(*schedule));
        if (upset(tight) < upset(*best)) {
            best = std::move(tight);
            kept_order = false;
            free = std::move(fewer);
            return;
        }
    }
    if (steps.size() == 1) return;
    const auto middle = steps.begin() + static_cast<std::ptrdiff_t>(steps.size() / 2);
    pin(allowance, free, earlier, {steps.begin(), middle});
    pin(allowance, free, earlier, {middle, steps.end()});
}

}  // namespace oventide::replan
