#include "replan/search.hpp"

#include <algorithm>
#include <numeric>
#include <utility>

#include "oventide/check.hpp"
#include "replan/reduced.hpp"

namespace oventide::replan {
namespace {

constexpr std::array<Time, 3> kLateBy{60, 240, kNever};

}  // namespace

std::int64_t minutes(const std::vector<Time>& late) {
    return std::accumulate(late.begin(), late.end(), std::int64_t{0});
}

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
        const auto& told_ready = situation.steps[id].told_ready;
        told_ready_.push_back(told_ready ? static_cast<Time>((*told_ready - left.expansion.origin).count()) : -1);
        hands_.push_back(std::ranges::any_of(
            left.expansion.demands[id], [](const DemandInfo& info) { return info.kind == DemandInfo::Kind::hands; }));
    }
    find_announced_staleness(situation);
}

/// Best-within is a wish: what was announced in spite of it, and what has happened already, is not held against the
/// day.
void Search::find_announced_staleness(const Situation& situation) {
    const auto time = [&](Instant at) { return static_cast<Time>((at - left_.expansion.origin).count()); };
    for (const Freshness& food : left_.expansion.project.freshness) {
        Time told_ready = kNever, told_used = -1, ready = kNever, used = food.last_time;
        for (const Batch::Sale& sale : left_.expansion.batches[left_.expansion.tasks[food.makers.front()].batch].sales)
            told_used = std::max(told_used, time(situation.told_pickups[sale.order]));
        for (const ActivityId maker : food.makers) {
            if (const auto& told = situation.steps[maker].told_ready) told_ready = std::min(told_ready, time(*told));
            if (!waits(maker))
                ready = std::min(ready, left_.fixed[maker] + left_.expansion.project.activities[maker].duration);
        }
        for (const ActivityId user : food.users) {
            if (const auto& told = situation.steps[user].announced) told_used = std::max(told_used, time(*told));
            if (!waits(user)) used = std::max(used, left_.fixed[user]);
        }
        stale_.push_back(std::max({0, told_used - told_ready - food.best_within, used - ready - food.best_within}));
    }
}

/// The announced order of work if that keeps everything; else part of it in another order; and only where that is not
/// enough may something give way. Then as much as can be of what was announced; and what wants nobody begins.
void Search::run(const std::vector<char>& may_be_late) {
    allowance_ = {std::vector<Time>(today_.orders.size(), 0), std::vector<Time>(left_.limits.size(), 0), stale_};
    if (!keep_order(allowance_) && !repair(allowance_)) {
        give_way(may_be_late);
        if (!best) return;
        best = tightened(project_with(allowance_), std::move(*best));
        if (!keep_order(allowance_)) repair(allowance_);
    }
    calm(allowance_);
    begin_by_themselves(project_with(allowance_));
}

bool Search::run_in_order(const Schedule& rival) {
    allowance_ = {std::vector<Time>(today_.orders.size(), 0), std::vector<Time>(left_.limits.size(), 0), stale_};
    if (!keep_order(allowance_)) return false;
    calm(allowance_);
    begin_by_themselves(project_with(allowance_));
    return is_nearer_than(rival);
}

bool Search::can_be_sooner(std::int64_t late) {
    const auto most = static_cast<Time>(std::min<std::int64_t>(late - 1, kNever));
    run_for_lateness(std::vector<char>(today_.orders.size(), 1), most);
    return best ? minutes(late_in_all()) < late : !decided_;
}

void Search::run_for_lateness(const std::vector<char>& may_be_late, Time most) {
    allowance_ = {std::vector<Time>(today_.orders.size(), 0), std::vector<Time>(left_.limits.size(), kNever), {}};
    if (keep_order(allowance_)) return;
    for (std::size_t order = 0; order < allowance_.late.size(); ++order)
        if (may_be_late[order]) allowance_.late[order] = most;
    take_better(&Search::minutes_late, solved(lateness_project(project_with(allowance_)), options_.nodes));
}

/// First what best-within wishes, then limits, and only then pickups; as little of each as can be found.
void Search::give_way(const std::vector<char>& may_be_late) {
    allowance_.stale.clear();
    std::ranges::fill(allowance_.limits, kNever);
    const bool late = !find_any(neighbourhoods(project_with(allowance_)));
    if (late || !keep_limits()) {
        if (late || !least(&Search::minutes_over, &Search::limits_project)) {
            if (!least_late(may_be_late)) return;
            least(&Search::minutes_over, &Search::limits_project);
        }
        proven_ = proven_ && (decided_ || minutes_over(*best) == 0);
        for (std::size_t k = 0; k < left_.limits.size(); ++k) allowance_.limits[k] = std::max(0, over(left_.limits[k]));
    }
    if (stale_.empty()) return;
    least(&Search::minutes_stale, &Search::staleness_project);
    allowance_.stale = stale_;
    for (std::size_t k = 0; k < stale_.size(); ++k)
        allowance_.stale[k] = std::max(stale_[k], overrun(left_.expansion.project.freshness[k], *best));
}

/// False, and all as it was, where that is not found.
bool Search::keep_limits() {
    const auto limits = std::exchange(allowance_.limits, std::vector<Time>(left_.limits.size(), 0));
    auto without = std::exchange(best, std::nullopt);
    if (keep_order(allowance_) || repair(allowance_)) return true;
    allowance_.limits = limits;
    best = std::move(without);
    return false;
}

// ----------------------------------------------------------------------------------------- what a schedule is worth

Time Search::over(const Limit& limit, const Schedule& schedule) const {
    if (limit.lag >= 0) {
        const Lag& lag = left_.expansion.project.lags[limit.lag];
        return schedule.start[lag.from] + lag.lag - schedule.start[lag.to];
    }
    return schedule.end[limit.keeper] - schedule.start[limit.keeper] -
           left_.expansion.project.activities[limit.keeper].duration - limit.value;
}

Time Search::overrun(const Freshness& food, const Schedule& schedule) const {
    Time ready = kNever, used = food.last_time;
    for (const ActivityId maker : food.makers)
        ready = std::min(ready, schedule.start[maker] + left_.expansion.project.activities[maker].duration);
    for (const ActivityId user : food.users) used = std::max(used, schedule.start[user]);
    return std::max(0, used - ready - food.best_within);
}

Time Search::lateness(std::size_t order, const Schedule& schedule) const {
    Time most = 0;
    const auto by = static_cast<Time>((today_.orders[order].pickup - left_.expansion.origin).count());
    for (ActivityId id = 0; id < count_; ++id)
        if (is_last_of(id, order))
            most = std::max(most, schedule.start[id] + left_.expansion.project.activities[id].duration - by);
    return most;
}

std::vector<Time> Search::late_in_all() const {
    std::vector<Time> late;
    for (std::size_t order = 0; order < today_.orders.size(); ++order)
        late.push_back(std::max(lateness(order), late_anyway(order)));
    return late;
}

Time Search::late_anyway(std::size_t order) const {
    Time most = 0;
    const auto by = static_cast<Time>((today_.orders[order].pickup - left_.expansion.origin).count());
    for (ActivityId id = 0; id < count_; ++id)
        if (!waits(id) && completes(id, order))
            most = std::max(most, left_.fixed[id] + left_.expansion.project.activities[id].duration - by);
    return most;
}

std::int64_t Search::minutes_late(const Schedule& schedule) const {
    std::int64_t sum = 0;
    for (std::size_t order = 0; order < today_.orders.size(); ++order) sum += lateness(order, schedule);
    return sum;
}

std::int64_t Search::minutes_over(const Schedule& schedule) const {
    std::int64_t sum = 0;
    for (const Limit& limit : left_.limits) sum += std::max(0, over(limit, schedule));
    return sum;
}

std::int64_t Search::minutes_stale(const Schedule& schedule) const {
    std::int64_t sum = 0;
    for (std::size_t k = 0; k < stale_.size(); ++k)
        sum += std::max(0, overrun(left_.expansion.project.freshness[k], schedule) - stale_[k]);
    return sum;
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
    if (!allowance.stale.empty()) keep_fresh(project, allowance.stale);
    return project;
}

/// Ready is that of the earliest maker: no maker may be too early for any user.
void Search::keep_fresh(Project& project, const std::vector<Time>& stale) const {
    for (std::size_t k = 0; k < stale.size(); ++k) {
        const Freshness& food = project.freshness[k];
        for (const ActivityId maker : food.makers) {
            const Time most = project.activities[maker].duration + food.best_within + stale[k];
            if (waits(maker) && food.last_time >= 0)
                project.activities[maker].release = std::max(project.activities[maker].release, food.last_time - most);
            for (const ActivityId user : food.users)
                if (waits(maker) || waits(user)) project.lags.push_back({user, maker, -most, kNoPromise});
        }
    }
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

// ----------------------------------------------------------------------------------------------- what must give way

/// What was announced, or is right but for what is asked; what has happened is where it is.
Schedule Search::near(const Project& project) const {
    Schedule schedule = calming_ ? *best : *announced_;
    for (ActivityId id = 0; id < count_; ++id)
        if (left_.happened[id]) schedule.start[id] = left_.fixed[id];
    return with_added(project, std::move(schedule));
}

/// What a question adds is as early as it can be.
Schedule Search::with_added(const Project& project, Schedule schedule) const {
    schedule.start.resize(project.activities.size());
    schedule.chosen.resize(project.activities.size());
    for (auto id = static_cast<std::size_t>(count_); id < project.activities.size(); ++id) {
        schedule.start[id] = project.activities[id].release;
        schedule.chosen[id].resize(project.activities[id].demands.size());
    }
    for (const Lag& lag : project.lags)
        if (lag.to >= count_)
            schedule.start[lag.to] = std::max(schedule.start[lag.to], schedule.start[lag.from] + lag.lag);
    complete(project, schedule);
    return schedule;
}

std::optional<Schedule> Search::solved(const Project& project, std::int64_t nodes) {
    decided_ = false;
    if (searches_ <= 0) return std::nullopt;
    --searches_;
    SearchOptions search;
    search.schedules = options_.schedules;
    search.nodes = nodes;
    search.seed = options_.seed;
    if (announced_ != nullptr) search.near = near(project);
    if (best)
        if (Schedule first = with_added(project, *best); sound(project, first)) search.first = std::move(first);
    Outcome found = solve_reduced(project, search);
    decided_ = found.infeasible || found.optimal;
    const bool good = found.schedule && sound(project, *found.schedule);
    std::optional<Schedule> schedule;
    if (good) schedule = found.schedule;
    if (!found.schedule || good) outcome = std::move(found);
    return schedule;
}

bool Search::take_better(Measure measure, std::optional<Schedule> schedule) {
    if (!schedule) return false;
    schedule->start.resize(left_.happened.size());
    schedule->chosen.resize(left_.happened.size());
    complete(left_.expansion.project, *schedule);
    if (best && (this->*measure)(*best) <= (this->*measure)(*schedule)) return false;
    best = std::move(schedule);
    kept_order = false;
    return true;
}

/// As little of it as can be found, with the whole day in another order; where that finds nothing, with less of it.
/// False where there is no schedule at all.
bool Search::least(Measure measure, Question question) {
    const std::vector<Holds> stretches = neighbourhoods(project_with(allowance_));
    if (!best && !find_any(stretches)) return false;
    if (best && (this->*measure)(*best) == 0) return true;
    for (auto holds = stretches.rbegin(); holds != stretches.rend(); ++holds) {
        take_better(measure, solved((this->*question)(with_held(allowance_, *holds)), options_.thorough));
        if (best || decided_) break;
    }
    return best.has_value();
}

/// With a deadline the search knows what is urgent: that of the best so far, or one that is put off until it will do.
bool Search::least_late(const std::vector<char>& may_be_late) {
    const auto allow = [&](Time by) {
        for (std::size_t order = 0; order < allowance_.late.size(); ++order)
            if (may_be_late[order]) allowance_.late[order] = by;
    };
    best.reset();
    bool fewest = false;
    for (std::size_t k = 0; k < kLateBy.size() && !best; ++k) {
        allow(kLateBy[k]);
        if (keep_order(allowance_)) break;
        take_better(&Search::minutes_late, solved(lateness_project(project_with(allowance_)), options_.thorough));
        fewest = best && decided_ && minutes_late(*best) <= kLateBy[k];
        if (!best && !decided_) find_any(neighbourhoods(project_with(allowance_)));
    }
    if (!best) return false;
    while (!fewest && minutes_late(*best) > 0) {
        allow(static_cast<Time>(minutes_late(*best)) - 1);
        auto schedule = solved(lateness_project(project_with(allowance_)), options_.thorough);
        fewest = decided_;
        if (!take_better(&Search::minutes_late, std::move(schedule))) break;
    }
    for (std::size_t order = 0; order < allowance_.late.size(); ++order)
        allowance_.late[order] = lateness(order, *best);
    proven_ = fewest || minutes_late(*best) == 0;
    return true;
}

/// Some schedule with what is allowed: with all that is not hit held, with nothing held, or with as much as will do.
/// False where there is none.
bool Search::find_any(std::vector<Holds> stretches) {
    if (stretches.size() > 1) std::rotate(stretches.begin() + 1, stretches.end() - 1, stretches.end());
    for (std::size_t k = 0; k < stretches.size(); ++k) {
        best = solved(with_held(allowance_, stretches[k]), options_.nodes);
        if (best) kept_order = false;
        if (best || (k == 1 && decided_)) break;
    }
    return best || !decided_;
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
bool Search::is_last_of(ActivityId step, std::size_t order) const { return waits(step) && completes(step, order); }

bool Search::completes(ActivityId step, std::size_t order) const {
    if (left_.promised_due[step] >= kNever) return false;
    const auto serves = [&](const Batch::Sale& sale) { return sale.order == static_cast<std::int32_t>(order); };
    return std::ranges::any_of(left_.expansion.batches[left_.expansion.tasks[step].batch].sales, serves);
}

/// What a limit is passed by is what food would be used too late by.
Project Search::limits_project(Project project) const {
    project.goals = {Goal::overrun};
    project.links.clear();
    project.freshness.clear();
    for (const Limit& limit : left_.limits) project.freshness.push_back(as_freshness(limit));
    return project;
}

Freshness Search::as_freshness(const Limit& limit) const {
    const Project& project = left_.expansion.project;
    if (limit.lag < 0) return {{limit.keeper}, project.activities[limit.keeper].users, -1, limit.value};
    const Lag& lag = project.lags[limit.lag];
    return {{lag.to}, {lag.from}, -1, std::max(0, -lag.lag - project.activities[lag.to].duration)};
}

Project Search::staleness_project(Project project) const {
    project.goals = {Goal::overrun};
    project.links.clear();
    for (std::size_t k = 0; k < stale_.size(); ++k) project.freshness[k].best_within += stale_[k];
    return project;
}

}  // namespace oventide::replan
