#include "replan/left.hpp"

#include <algorithm>

#include "oventide/check.hpp"
#include "replan/oven_past.hpp"

namespace oventide::replan {
namespace {

/// Room to be late in: the horizon of what is left lies so far behind the last pickup.
constexpr std::chrono::days kLater{1};

/// By batch.
std::vector<char> begun_batches(const Expansion& expansion, const Situation& situation) {
    std::vector<char> begun(expansion.batches.size(), 0);
    for (std::size_t id = 0; id < situation.steps.size(); ++id)
        if (situation.steps[id].state != State::waiting) begun[expansion.tasks[id].batch] = 1;
    return begun;
}

bool is_of_batch_order(const Expansion& expansion, const Lag& lag) {
    return lag.promise != kNoPromise && expansion.promises[lag.promise].kind == Promise::Kind::batch_order;
}

/// Once both are begun, neither waits for the other that runs long; and what was announced in another order stays so.
void drop_batch_order(Expansion& expansion, const Situation& situation, const Schedule* announced, Batches batches) {
    const std::vector<char> begun = begun_batches(expansion, situation);
    const auto may_overtake = [&](const Lag& lag) {
        if (batches == Batches::in_any_order) return true;
        if (begun[expansion.tasks[lag.from].batch] && begun[expansion.tasks[lag.to].batch]) return true;
        return announced != nullptr && announced->start[lag.to] < announced->start[lag.from];
    };
    std::erase_if(expansion.project.lags,
                  [&](const Lag& lag) { return is_of_batch_order(expansion, lag) && may_overtake(lag); });
}

class Builder {
public:
    /// `told`: by the pickups that were announced; null where they are the same.
    Builder(Left& left, const Project* told, const Situation& situation, const Schedule* announced)
        : left_(left),
          project_(left.expansion.project),
          told_(told),
          situation_(situation),
          announced_(announced),
          count_(static_cast<ActivityId>(project_.activities.size())) {}

    void build() {
        left_.now = time(situation_.now);
        left_.whole = project_;
        left_.on_since.assign(project_.resources.size(), kNever);
        for (ActivityId id = 0; id < count_; ++id) {
            left_.happened.push_back(situation_.steps[id].state != State::waiting);
            left_.fixed.push_back(left_.happened[id] ? time(situation_.steps[id].start) : -1);
            left_.promised_due.push_back(
                project_.activities[id].due_promise == kNoPromise ? kNever : project_.activities[id].due);
        }
        for (ActivityId id = 0; id < count_; ++id) fix(id);
        for (ResourceId id = 0; id < static_cast<ResourceId>(project_.resources.size()); ++id) {
            left_.baked.push_back(loads_in(left_, id));
            const bool oven = project_.resources[id].has_state;
            heat_.push_back(oven ? heat_now(situation_, equipment(id), left_.baked.back()) : std::nullopt);
        }
        drop_history();
        for (ActivityId id = 0; id < count_; ++id)
            if (left_.happened[id]) settle_demands(id);
        for (const Held& one : absent_) stand_in(one);
        for (const Held& held : held_) hold(held);
        for (ResourceId oven = 0; oven < static_cast<ResourceId>(project_.resources.size()); ++oven)
            if (project_.resources[oven].has_state) settle_oven(oven);
        for (ActivityId id = 0; id < count_; ++id) {
            left_.soonest.push_back(project_.activities[id].release);
            if (!left_.happened[id]) wait_for_heat(id);
        }
        for (ResourceId oven = 0; oven < static_cast<ResourceId>(project_.resources.size()); ++oven)
            if (project_.resources[oven].has_state) close_until_hot(oven);
    }

    /// What has been begun has to be finished somehow.
    void limit_food_under_way() {
        const std::vector<char> begun = begun_batches(left_.expansion, situation_);
        const auto under_way = [&](ActivityId id) { return waits(id) && begun[left_.expansion.tasks[id].batch]; };
        for (ActivityId id = 0; id < count_; ++id) {
            const Activity& activity = project_.activities[id];
            if (under_way(id) && activity.stretchable && activity.keep < kNever && may_give(activity.keep_promise))
                left_.limits.push_back({-1, id, activity.keep, activity.keep_promise});
        }
        for (std::size_t k = 0; k < project_.lags.size(); ++k) {
            const Lag& lag = project_.lags[k];
            if (lag.lag < 0 && under_way(lag.from) && under_way(lag.to) && may_give(lag.promise))
                left_.limits.push_back({static_cast<int>(k), -1, lag.lag, lag.promise});
        }
    }

private:
    struct Held {
        ActivityId activity;
        std::size_t demand;
    };

    bool may_give(PromiseId promise) const {
        return promise != kNoPromise && left_.expansion.promises[promise].kind != Promise::Kind::safety;
    }

    Time time(Instant at) const { return static_cast<Time>((at - left_.expansion.origin).count()); }

    Instant instant(Time at) const { return left_.expansion.origin + Minutes{at}; }

    Schedule starts_as_they_are() const {
        Schedule schedule;
        for (ActivityId id = 0; id < count_; ++id) {
            schedule.start.push_back(left_.happened[id] ? left_.fixed[id] : left_.now);
            std::vector<ResourceId> chosen;
            for (const Demand& demand : project_.activities[id].demands) chosen.push_back(demand.choices.front());
            schedule.chosen.push_back(std::move(chosen));
        }
        complete(project_, schedule);
        return schedule;
    }

    const Activity& told(ActivityId id) const { return (told_ != nullptr ? *told_ : project_).activities[id]; }

    /// Said once: not where what was announced had it so already.
    void broke(ActivityId step, PromiseId promise, Time over, Time announced_over) {
        if (promise == kNoPromise || over <= 0 || over <= announced_over) return;
        left_.broken.push_back({step, left_.expansion.promises[promise].text, Minutes{over}});
    }

    Time told_start(ActivityId id) const { return time(situation_.steps[id].announced.value_or(instant(-kNever / 2))); }
    Time told_ready(ActivityId id) const { return time(situation_.steps[id].told_ready.value_or(instant(kNever / 2))); }

    /// What has happened stands where it happened, with what it had in hand; what waits starts now at the earliest.
    void fix(ActivityId id) {
        Activity& activity = project_.activities[id];
        if (!left_.happened[id]) {
            activity.release = std::max(activity.release, left_.now);
            return;
        }
        broke(id, activity.release_promise, activity.release - left_.fixed[id],
              situation_.steps[id].announced ? told(id).release - told_start(id) : 0);
        activity.release = left_.fixed[id];
        activity.due = left_.fixed[id] + activity.duration;
        if (announced_ != nullptr && situation_.steps[id].announced)
            for (std::size_t k = 0; k < activity.demands.size(); ++k)
                if (!is_to_come(activity, activity.demands[k]))
                    activity.demands[k].choices = {announced_->chosen[id][k]};
        if (!activity.stretchable || activity.keep >= kNever) return;
        Time used = activity.held_until;
        Time told_used = told(id).held_until;
        for (const ActivityId user : activity.users)
            if (left_.happened[user]) {
                used = std::max(used, left_.fixed[user]);
                told_used = std::max(told_used, told_start(user));
            }
        const Time over = used - activity.due - activity.keep;
        broke(id, activity.keep_promise, over, told_used - told_ready(id) - activity.keep);
        if (over > 0) activity.keep += over;
        const bool waited_for = std::ranges::any_of(activity.users, [&](ActivityId user) { return waits(user); });
        if (waited_for) left_.limits.push_back({-1, id, activity.keep, activity.keep_promise});
    }

    bool waits(ActivityId id) const { return !left_.happened[id]; }

    /// Hands for what is kept until something that waits begins, such as washing up the bowl that it lies in:
    /// anybody's.
    bool is_to_come(const Activity& activity, const Demand& demand) const {
        return activity.stretchable && demand.from.of == Moment::Of::end &&
               left_.expansion.resources[demand.choices.front()].person &&
               std::ranges::any_of(activity.users, [&](ActivityId user) { return waits(user); });
    }

    /// Between two things that have happened there is nothing to keep any more; nor must what waits come before what
    /// has happened.
    void drop_history() {
        std::vector<Lag> kept;
        for (const Lag& lag : project_.lags) {
            if (left_.happened[lag.from] && left_.happened[lag.to]) {
                const Time over = left_.fixed[lag.from] + lag.lag - left_.fixed[lag.to];
                const Time ready = left_.fixed[lag.to] + project_.activities[lag.to].duration;
                const Time told = told_start(lag.from) - told_ready(lag.to) + lag.lag + ready - left_.fixed[lag.to];
                if (lag.lag < 0) broke(lag.from, lag.promise, over, told);
                continue;
            }
            if (left_.happened[lag.to] && lag.lag >= 0) continue;
            if (left_.happened[lag.to])
                left_.limits.push_back({static_cast<int>(kept.size()), -1, lag.lag, lag.promise});
            kept.push_back(lag);
        }
        project_.lags = std::move(kept);
    }

    static void silence(Demand& demand) {
        demand.from = demand.to = {Moment::Of::start, 0};
        demand.held_until.clear();
    }

    bool open_ended(ActivityId id, const Demand& demand) const {
        const Activity& activity = project_.activities[id];
        const auto waiting = [&](ActivityId user) { return waits(user); };
        return std::ranges::any_of(demand.held_until, waiting) ||
               (demand.to.of == Moment::Of::end && activity.stretchable &&
                std::ranges::any_of(activity.users, waiting));
    }

    /// What is busy until a known minute is taken off what there is; then no rule of the past can be in the way.
    void settle_demands(ActivityId id) {
        const Schedule now = starts_as_they_are();
        auto& demands = project_.activities[id].demands;
        for (std::size_t k = 0; k < demands.size(); ++k) {
            if (!demands[k].stages.empty()) continue;
            if (open_ended(id, demands[k])) {
                held_.push_back({id, k});
                continue;
            }
            const Interval busy = demand_interval(project_, now, id, static_cast<int>(k));
            if (is_absent(demands[k], busy)) {
                absent_.push_back({id, k});
                continue;
            }
            settle(demands[k], busy);
        }
    }

    void settle(Demand& demand, Interval busy) {
        take(demand.choices.front(), {std::max(busy.from, left_.now), busy.to}, demand.amount);
        silence(demand);
    }

    /// Hands that are still to come, such as those that take something out, of whom is not there then.
    bool is_absent(const Demand& demand, Interval busy) const {
        const ResourceId person = demand.choices.front();
        return busy.from >= left_.now && busy.from < busy.to && left_.expansion.resources[person].person &&
               !has(person, busy, demand.amount);
    }

    /// The first who is there, and has nothing in hand that is begun, lends them; else they stay as announced.
    void stand_in(const Held& one) {
        Demand& demand = project_.activities[one.activity].demands[one.demand];
        const Interval busy =
            demand_interval(project_, starts_as_they_are(), one.activity, static_cast<int>(one.demand));
        const auto& choices = left_.whole.activities[one.activity].demands[one.demand].choices;
        const auto other =
            std::ranges::find_if(choices, [&](ResourceId choice) { return has(choice, busy, demand.amount); });
        if (other != choices.end()) demand.choices = {*other};
        settle(demand, busy);
    }

    bool has(ResourceId id, Interval when, std::int32_t amount) const {
        std::int32_t before = 0;
        for (const CapacityStep& step : project_.resources[id].capacity) {
            if (step.from > when.from && before < amount) return false;
            if (step.from >= when.to) return true;
            before = step.capacity;
        }
        return before >= amount;
    }

    void take(ResourceId id, Interval when, std::int32_t amount) {
        if (when.from >= when.to) return;
        auto& steps = project_.resources[id].capacity;
        for (const Time edge : {when.from, when.to}) {
            const auto after = std::ranges::upper_bound(steps, edge, {}, &CapacityStep::from);
            if (after != steps.begin() && std::prev(after)->from == edge) continue;
            const std::int32_t capacity = after == steps.begin() ? 0 : std::prev(after)->capacity;
            steps.insert(after, {edge, capacity});
        }
        for (CapacityStep& step : steps)
            if (step.from >= when.from && step.from < when.to) step.capacity = std::max(0, step.capacity - amount);
    }

    /// Held until something that waits starts: from now on, and no more of it than there is.
    void hold(const Held& held) {
        Demand& demand = project_.activities[held.activity].demands[held.demand];
        if (is_to_come(project_.activities[held.activity], demand)) return;
        const ResourceId resource = demand.choices.front();
        const auto& steps = project_.resources[resource].capacity;
        // Broken now, it is nobody's until it is mended, and then still full of this.
        const auto equipment = left_.expansion.resources[resource].equipment;
        const Time usable = equipment ? time(situation_.usable_from[*equipment]) : left_.now;
        std::int32_t room = 0;
        for (const CapacityStep& step : steps)
            if (step.from <= usable) room = step.capacity;
        for (const Held& other : held_) {
            if (&other == &held) break;
            const Demand& taken = project_.activities[other.activity].demands[other.demand];
            if (taken.choices.front() == resource && taken.to != taken.from) room -= taken.amount;
        }
        demand.amount = std::min(demand.amount, room);
        if (demand.amount <= 0) {
            demand.amount = 1;
            silence(demand);
        } else if (demand.from.of == Moment::Of::start) {
            demand.from.offset = std::max(demand.from.offset, usable - left_.fixed[held.activity]);
        }
    }

    // ------------------------------------------------------------------------------------------------- ovens

    /// The loads that still tell: from the last one back, as long as the referee finds that they could have been. What
    /// was out of an oven that has been broken since says nothing of its heat.
    void settle_oven(ResourceId oven) {
        const std::optional<Time> mended = broken_last(oven);
        std::vector<Held> loads;
        for (ActivityId id = 0; id < count_; ++id)
            for (std::size_t k = 0; k < project_.activities[id].demands.size(); ++k) {
                const Demand& demand = project_.activities[id].demands[k];
                if (left_.happened[id] && !demand.stages.empty() && demand.choices.front() == oven)
                    loads.push_back({id, k});
            }
        std::ranges::stable_sort(loads, std::greater<>(), [&](const Held& load) { return left_.fixed[load.activity]; });
        std::vector<Held> kept;
        for (const Held& load : loads) {
            const Time out = left_.fixed[load.activity] + project_.activities[load.activity].duration;
            if (!mended || out > std::min(*mended, left_.now)) {
                kept.push_back(load);
                if (could_have_been(oven, kept)) continue;
                kept.pop_back();
            }
            Demand& demand = project_.activities[load.activity].demands[load.demand];
            const Time start = left_.fixed[load.activity];
            const Interval still{std::max(start, left_.now), start + project_.activities[load.activity].duration};
            take(oven, still, demand.amount);
            silence(demand);
            demand.sealed = 0;
        }
        project_.resources[oven].capacity = roomy(oven, kept);
        Time on = kNever;
        if (!kept.empty()) on = attend_first(project_, oven, kept);
        const auto heats_since = [&](Time at) {
            on = std::min(on, at);
            attend(project_, {at, left_.now});
        };
        if (const auto at = told_on_since(oven, mended)) heats_since(*at);
        if (!mended && announced_ != nullptr)
            for (const StartUp& start_up : announced_->start_ups)
                if (start_up.resource == oven && start_up.at < left_.now) heats_since(start_up.at);
        left_.on_since[oven] = on;
    }

    /// As announced, and not off since.
    std::optional<Time> told_on_since(ResourceId oven, std::optional<Time> mended) const {
        std::optional<Time> since;
        for (const Turned& turn : situation_.told_turns[static_cast<std::size_t>(equipment(oven))]) {
            if (!turn.setting)
                since.reset();
            else if (!since && time(turn.at) >= mended.value_or(0))
                since = time(turn.at);
        }
        return since;
    }

    EquipmentIndex equipment(ResourceId oven) const { return *left_.expansion.resources[oven].equipment; }

    /// Until when an oven was broken last, or is.
    std::optional<Time> broken_last(ResourceId oven) const {
        std::optional<Time> until;
        for (const Span& span : situation_.broken[static_cast<std::size_t>(equipment(oven))])
            if (span.from <= situation_.now) until = std::max(until.value_or(0), time(span.to));
        return until;
    }

    /// A load is in the oven, however little of the oven there is: broken, closed or full. Nobody else gains by it.
    std::vector<CapacityStep> roomy(ResourceId oven, const std::vector<Held>& loads) const {
        const auto& steps = project_.resources[oven].capacity;
        std::vector<Time> edges;
        for (const CapacityStep& step : steps) edges.push_back(step.from);
        for (const Held& load : loads) {
            const Time start = left_.fixed[load.activity];
            edges.push_back(start);
            edges.push_back(start + project_.activities[load.activity].duration);
        }
        std::ranges::sort(edges);
        edges.erase(std::unique(edges.begin(), edges.end()), edges.end());
        std::vector<CapacityStep> room;
        for (const Time edge : edges) {
            std::int32_t trays = 0;
            for (const Held& load : loads) {
                const Activity& baked = project_.activities[load.activity];
                const Time start = left_.fixed[load.activity];
                if (start <= edge && edge < start + baked.duration) trays += baked.demands[load.demand].amount;
            }
            const auto after = std::ranges::upper_bound(steps, edge, {}, &CapacityStep::from);
            const std::int32_t there = after == steps.begin() ? 0 : std::prev(after)->capacity;
            room.push_back({edge, std::max(there, trays)});
        }
        return room;
    }

    bool could_have_been(ResourceId oven, const std::vector<Held>& loads) const {
        Project history;
        history.resources = project_.resources;
        history.resources[oven].capacity = roomy(oven, loads);
        history.settings = project_.settings;
        history.attended = project_.attended;
        history.reset_after = project_.reset_after;
        history.horizon = project_.horizon;
        Schedule schedule;
        for (const Held& load : loads) {
            const Activity& activity = project_.activities[load.activity];
            Activity& baked = history.activities.emplace_back();
            baked.name = activity.name;
            baked.duration = activity.duration;
            baked.demands = {activity.demands[load.demand]};
            schedule.start.push_back(left_.fixed[load.activity]);
            schedule.chosen.push_back({oven});
        }
        attend_first(history, oven, loads);
        complete(history, schedule);
        return check(history, schedule).empty();
    }

    /// Somebody was there when the oven was switched on, or it would not have baked.
    Time attend_first(Project& project, ResourceId oven, const std::vector<Held>& loads) const {
        Time first = kNever;
        Time last = 0;
        SettingId setting = 0;
        for (const Held& load : loads) {
            const Time start = left_.fixed[load.activity];
            last = std::max(last, start);
            if (start >= first) continue;
            first = start;
            setting = project_.activities[load.activity].demands[load.demand].stages.front().setting;
        }
        const Time on = first - project_.resources[oven].state.startup[setting];
        attend(project, {std::max(0, on), std::min(left_.now, last + 1)});
        return on;
    }

    static void attend(Project& project, Interval there) {
        if (there.from >= there.to) return;
        auto& attended = project.attended;
        std::erase_if(attended, [&](const Interval& other) {
            if (other.to < there.from || there.to < other.from) return false;
            there = {std::min(there.from, other.from), std::max(there.to, other.to)};
            return true;
        });
        attended.insert(std::ranges::upper_bound(attended, there.from, {}, &Interval::from), there);
    }

    /// An oven that is cold now, broken, or on its way to be hot, cannot be hot before it has been heated.
    void wait_for_heat(ActivityId id) {
        Activity& activity = project_.activities[id];
        for (const Demand& demand : activity.demands) {
            if (demand.stages.empty()) continue;
            Time soonest = kNever;
            for (const ResourceId oven : demand.choices)
                soonest = std::min(soonest, hot_at(oven, demand.stages.front().setting));
            activity.release = std::max(activity.release, soonest);
        }
    }

    /// What may go into another oven as well has to wait for this one all the same. One that is broken is heated from
    /// cold, for the hottest of them to be on the safe side.
    void close_until_hot(ResourceId oven) {
        const Time usable = time(situation_.usable_from[equipment(oven)]);
        const bool broken = usable > left_.now;
        if (!heat_[static_cast<std::size_t>(oven)]) return;
        std::optional<Time> until;
        bool choice = false;
        for (ActivityId id = 0; id < count_; ++id)
            for (const Demand& demand : project_.activities[id].demands) {
                const auto& choices = demand.choices;
                if (left_.happened[id] || demand.stages.empty()) continue;
                if (std::ranges::find(choices, oven) == choices.end()) continue;
                const Time hot = hot_at(oven, demand.stages.front().setting);
                choice = choice || choices.size() > 1;
                until = broken ? std::max(until.value_or(hot), hot) : std::min(until.value_or(hot), hot);
            }
        if (choice) take(oven, {left_.now, *until}, kNever);
    }

    Time hot_at(ResourceId oven, SettingId setting) const {
        const Time usable = time(situation_.usable_from[equipment(oven)]);
        if (usable > left_.now) return usable + project_.resources[oven].state.startup[setting];
        const auto& heat = heat_[static_cast<std::size_t>(oven)];
        const auto& wanted = left_.expansion.temperatures[setting];
        if (!heat || !wanted) return usable;
        return left_.now + static_cast<Time>(heat->until_hot(situation_.now, *wanted).count());
    }

    Left& left_;
    Project& project_;
    const Project* told_;
    const Situation& situation_;
    const Schedule* announced_;
    ActivityId count_;
    std::vector<std::optional<OvenHeat>> heat_;  ///< by resource: of an oven that is empty now
    std::vector<Held> held_;
    std::vector<Held> absent_;
};

/// Absent where no pickup has moved since they were announced.
std::optional<Expansion> by_told_pickups(const Situation& situation, const Actual& actual) {
    Plan told = situation.today;
    bool moved = false;
    for (std::size_t order = 0; order < told.orders.size(); ++order) {
        moved = moved || told.orders[order].pickup != situation.told_pickups[order];
        told.orders[order].pickup = situation.told_pickups[order];
    }
    if (!moved) return std::nullopt;
    return expand(told, actual).expansion;
}

}  // namespace

std::optional<Left> what_is_left(const Plan& plan, const Expansion& planned, const Situation& situation,
                                 const Schedule* announced, std::string& why, Terms terms) {
    Actual actual{&plan, {}, {}, kLater};
    for (std::size_t id = 0; id < situation.steps.size(); ++id) {
        const StepState& step = situation.steps[id];
        if (step.state == State::waiting) continue;
        const std::string& name = planned.project.activities[id].name;
        actual.durations[name] = static_cast<Time>((step.ready - step.start).count());
        for (const auto& [at, by] : step.stretched)
            actual.stretched[name].push_back(
                {static_cast<Time>((at - step.start).count()), static_cast<Time>(by.count())});
    }
    ExpandResult expanded = expand(situation.today, actual);
    if (!expanded.expansion) {
        for (const Diagnostic& diagnostic : expanded.diagnostics)
            if (diagnostic.severity == Severity::error && why.empty()) why = diagnostic.message;
        return std::nullopt;
    }
    Left left;
    left.expansion = std::move(*expanded.expansion);
    drop_batch_order(left.expansion, situation, announced, terms.batches);
    const auto told = by_told_pickups(situation, actual);
    Builder builder(left, told ? &told->project : nullptr, situation, announced);
    builder.build();
    if (terms.may_give == MayGive::of_food_under_way) builder.limit_food_under_way();
    return left;
}

bool waits_in_line(const Left& left, const Schedule& schedule, const Schedule* announced) {
    return std::ranges::any_of(left.expansion.project.lags, [&](const Lag& lag) {
        return !left.happened[lag.to] && is_of_batch_order(left.expansion, lag) &&
               (announced == nullptr || announced->start[lag.to] < schedule.start[lag.from]);
    });
}

}  // namespace oventide::replan
