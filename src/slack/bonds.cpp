#include "slack/bonds.hpp"

#include <algorithm>

#include "project/attendance.hpp"

namespace oventide::slack {
namespace {

/// All absences that last long enough to let a state resource fall back, the time before and after everything too.
Absences absences_of(const Project& project) {
    Absences absences;
    Time from = -kNever;
    for (const Interval& there : project.attended) {
        if (there.from - from >= project.reset_after) absences.push_back({from, there.from});
        from = there.to;
    }
    absences.push_back({from, kNever});
    return absences;
}

/// The first interval that ends after `at`.
auto first_after(const std::vector<Interval>& sorted, Time at) {
    return std::upper_bound(sorted.begin(), sorted.end(), at,
                            [](Time time, const Interval& interval) { return time < interval.to; });
}

/// The shortest that max(to) - max(from) can ever be, as far as terms of the same activity tell.
Time shortest_between(const Latest& from, const Latest& to) {
    Time shortest = from.fixed > -kNever ? to.fixed - from.fixed : kNever;
    for (const Term& begin : from.terms) {
        Time best = -kNever;
        for (const Term& end : to.terms)
            if (end.of == begin.of) best = std::max(best, end.offset - begin.offset);
        shortest = std::min(shortest, best);
    }
    return shortest;
}

std::vector<ActivityId> activities_of(const Latest& latest) {
    std::vector<ActivityId> ids;
    for (const Term& term : latest.terms) ids.push_back(term.of);
    return ids;
}

bool any_moving(const Latest& latest, const std::vector<char>& moving) {
    return std::any_of(latest.terms.begin(), latest.terms.end(), [&](const Term& term) { return moving[term.of]; });
}

/// Every way to raise the latest of the terms to `time`.
void raise_to(const Latest& latest, Time time, std::vector<Raise>& ways) {
    for (const Term& term : latest.terms) ways.push_back({term.of, time - term.offset});
}

/// Capacity is neither nothing nor all of it at some time, so that even demands that met in the schedule may not
/// meet everywhere. (Where it is all or nothing they may: demands that meet in pairs have a minute in common.)
bool has_partial_capacity(const Resource& resource) {
    std::int32_t full = 0;
    for (const CapacityStep& step : resource.capacity) full = std::max(full, step.capacity);
    return std::any_of(resource.capacity.begin(), resource.capacity.end(),
                       [&](const CapacityStep& step) { return step.capacity > 0 && step.capacity < full; });
}

std::int32_t capacity_at(const Resource& resource, Time at) {
    const auto after = std::upper_bound(resource.capacity.begin(), resource.capacity.end(), at,
                                        [](Time time, const CapacityStep& step) { return time < step.from; });
    return after == resource.capacity.begin() ? 0 : std::prev(after)->capacity;
}

}  // namespace

Time Latest::at(const Starts& starts) const {
    Time latest = fixed;
    for (const Term& term : terms) latest = std::max(latest, starts[term.of] + term.offset);
    return latest;
}

// ------------------------------------------------------------------------------------------------- building

Bonds::Bonds(const Project& project, const Schedule& schedule, const KeptOrders* kept)
    : project_(project),
      schedule_(schedule),
      kept_(kept),
      arcs_(project.activities.size()),
      guards_on_(project.activities.size()),
      closed_by_amount_(project.resources.size()),
      absences_(absences_of(project)) {
    add_lags();
    add_busy();
    std::vector<std::vector<int>> on_resource(project.resources.size());
    for (int k = 0; k < static_cast<int>(busy_.size()); ++k) on_resource[busy_[k].resource].push_back(k);
    for (ResourceId r = 0; r < static_cast<ResourceId>(on_resource.size()); ++r) {
        add_orders(on_resource[r]);
        add_sum(r, on_resource[r]);
        if (project.resources[r].has_state) add_state(r, on_resource[r]);
    }
}

void Bonds::add_lags() {
    for (const Lag& lag : project_.lags) add_arc(lag.from, lag.to, lag.lag);
    for (ActivityId id = 0; id < static_cast<ActivityId>(project_.activities.size()); ++id) {
        const Activity& activity = project_.activities[id];
        if (!activity.stretchable || activity.keep >= kNever) continue;
        for (const ActivityId user : activity.users) add_arc(user, id, -(activity.duration + activity.keep));
    }
}

/// Every demand that asks for something now or may come to, with its calendar.
void Bonds::add_busy() {
    for (ActivityId id = 0; id < static_cast<ActivityId>(project_.activities.size()); ++id) {
        const auto& demands = project_.activities[id].demands;
        for (std::size_t k = 0; k < demands.size(); ++k) {
            Busy busy{id, &demands[k], k, schedule_.chosen[id][k], moment_of(id, demands[k].from), {}, 0};
            busy.to = moment_of(id, demands[k].to);
            for (const ActivityId user : demands[k].held_until) busy.to.terms.push_back({user, 0});
            busy.shortest = shortest_between(busy.from, busy.to);
            drop_dominated(busy.from);
            drop_dominated(busy.to);
            const bool fixed_length = busy.to.terms.size() == 1 && busy.from.terms.size() == 1 &&
                                      busy.to.terms[0].of == busy.from.terms[0].of;
            if (demands[k].amount <= 0 || (fixed_length && busy.shortest <= 0)) continue;
            const int closed = closed_times(busy.resource, demands[k].amount);
            auto looks_at = activities_of(busy.from);
            for (const Term& term : busy.to.terms) looks_at.push_back(term.of);
            const int index = static_cast<int>(busy_.size());
            busy_.push_back(std::move(busy));
            if (!closed_[closed].empty()) add_guard(OpenHours{index, closed}, std::move(looks_at));
        }
    }
}

/// Orders between all pairs on one resource, leaving out those that follow from two others.
void Bonds::add_orders(std::vector<int> on_resource) {
    std::erase_if(on_resource, [&](int k) { return now(k).from >= now(k).to; });
    std::vector<int> by_end = on_resource;
    std::sort(by_end.begin(), by_end.end(),
              [&](int a, int b) { return now(a).to != now(b).to ? now(a).to < now(b).to : a < b; });
    std::sort(on_resource.begin(), on_resource.end(),
              [&](int a, int b) { return now(a).from != now(b).from ? now(a).from < now(b).from : a < b; });
    std::size_t ended = 0;
    Time latest_between = -kNever;  // the latest beginning of what has ended: whatever ended by then needs no arc
    for (const int after : on_resource) {
        for (; ended < by_end.size() && now(by_end[ended]).to <= now(after).from; ++ended)
            if (busy_[by_end[ended]].shortest >= 0) latest_between = std::max(latest_between, now(by_end[ended]).from);
        for (std::size_t k = ended; k-- > 0 && now(by_end[k]).to > latest_between;) add_order(by_end[k], after);
    }
}

void Bonds::add_order(int before, int after) {
    const Latest& end = busy_[before].to;
    const Latest& begin = busy_[after].from;
    if (begin.terms.size() == 1 && begin.fixed == -kNever) {
        for (const Term& term : end.terms)
            add_kept_arc(term.of, begin.terms[0].of, term.offset - begin.terms[0].offset);
        return;
    }
    auto looks_at = activities_of(end);
    for (const Term& term : begin.terms) looks_at.push_back(term.of);
    add_guard(KeptOrder{before, after}, std::move(looks_at));
}

void Bonds::add_sum(ResourceId resource, const std::vector<int>& on_resource) {
    const bool appears = std::any_of(on_resource.begin(), on_resource.end(),
                                     [&](int k) { return now(k).from >= now(k).to || busy_[k].shortest < 0; });
    if (!appears && !has_partial_capacity(project_.resources[resource])) return;
    std::vector<ActivityId> looks_at;
    for (const int k : on_resource) {
        for (const Term& term : busy_[k].from.terms) looks_at.push_back(term.of);
        for (const Term& term : busy_[k].to.terms) looks_at.push_back(term.of);
    }
    add_guard(Sum{resource, on_resource}, std::move(looks_at));
}

void Bonds::add_state(ResourceId resource, const std::vector<int>& on_resource) {
    const std::vector<Stay> stays = stays_of(on_resource);
    for (std::size_t k = 0; k < stays.size(); ++k) {
        add_rigid(stays[k]);
        add_shut(stays[k], k + 1 < stays.size() ? &stays[k + 1] : nullptr);
        const Busy& first = busy_[stays[k].front()];
        Warm warm{resource, first.activity, first.demand->stages.front().setting, {}};
        std::vector<ActivityId> looks_at{first.activity};
        if (k > 0) {
            warm.previous = stays[k - 1];
            for (const int before : warm.previous)
                for (const Term& term : busy_[before].to.terms) looks_at.push_back(term.of);
        }
        add_guard(std::move(warm), std::move(looks_at));
    }
    add_changes(resource, stays);
}

std::vector<Bonds::Stay> Bonds::stays_of(std::vector<int> on_resource) const {
    std::erase_if(on_resource, [&](int k) { return busy_[k].demand->stages.empty(); });
    const auto start = [&](int k) { return schedule_.start[busy_[k].activity]; };
    std::sort(on_resource.begin(), on_resource.end(),
              [&](int a, int b) { return start(a) != start(b) ? start(a) < start(b) : a < b; });
    std::vector<Stay> stays;
    Time end = -kNever;
    for (const int k : on_resource) {
        if (stays.empty() || start(k) >= end) stays.emplace_back();
        stays.back().push_back(k);
        end = std::max(end, now(k).to);
    }
    return stays;
}

void Bonds::add_rigid(const Stay& stay) {
    for (std::size_t k = 1; k < stay.size(); ++k) {
        const ActivityId a = busy_[stay[k - 1]].activity;
        const ActivityId b = busy_[stay[k]].activity;
        if (happened(a) || happened(b)) continue;
        const Time apart = schedule_.start[b] - schedule_.start[a];
        add_arc(a, b, apart);
        add_arc(b, a, -apart);
    }
}

/// The door: the next stay begins after it may be opened again, and no end that can move gets in its way.
void Bonds::add_shut(const Stay& stay, const Stay* next) {
    for (const int k : stay) {
        const Time sealed = busy_[k].demand->sealed;
        if (sealed <= 0) continue;
        const ActivityId id = busy_[k].activity;
        if (next != nullptr) add_kept_arc(id, busy_[next->front()].activity, sealed);
        for (const int other : stay) {
            const Latest& end = busy_[other].to;
            const bool moves = end.terms.size() != 1 || end.terms[0].of != busy_[other].activity;
            if (busy_[other].activity == id || !moves) continue;
            auto looks_at = activities_of(end);
            looks_at.push_back(id);
            add_guard(Shut{other, id, sealed}, std::move(looks_at));
        }
    }
}

/// Times to change between settings. The latest stay at a setting stands for all earlier ones at it.
void Bonds::add_changes(ResourceId resource, const std::vector<Stay>& stays) {
    const auto& transition = project_.resources[resource].state.transition;
    std::vector<std::optional<Term>> left(project_.settings.size());
    for (const Stay& stay : stays) {
        for (const int k : stay) {
            const SettingId wanted = busy_[k].demand->stages.front().setting;
            for (std::size_t setting = 0; setting < left.size(); ++setting)
                if (left[setting])
                    add_kept_arc(left[setting]->of, busy_[k].activity,
                                 left[setting]->offset + transition[setting][wanted]);
        }
        std::vector<std::optional<Term>> leaves(left.size());
        for (const int k : stay) {
            Time offset = 0;
            for (const Stage& stage : busy_[k].demand->stages) {
                offset += stage.lasts;
                auto& leave = leaves[stage.setting];
                const Time at = schedule_.start[busy_[k].activity] + offset;
                if (!leave || schedule_.start[leave->of] + leave->offset < at) leave = {busy_[k].activity, offset};
            }
        }
        for (std::size_t setting = 0; setting < left.size(); ++setting)
            if (leaves[setting]) left[setting] = leaves[setting];
    }
}

void Bonds::add_guard(Guard guard, std::vector<ActivityId> looks_at) {
    std::sort(looks_at.begin(), looks_at.end());
    looks_at.erase(std::unique(looks_at.begin(), looks_at.end()), looks_at.end());
    for (const ActivityId id : looks_at) guards_on_[id].push_back(static_cast<int>(guards_.size()));
    guards_.push_back(std::move(guard));
}

void Bonds::add_arc(ActivityId from, ActivityId to, Time lag) {
    if (from != to) arcs_[from].push_back({to, lag});
}

void Bonds::add_kept_arc(ActivityId from, ActivityId to, Time lag) {
    if (!happened(to)) add_arc(from, to, lag);
}

Interval Bonds::now(int index) const {
    const Busy& busy = busy_[index];
    if (kept_ != nullptr) return kept_->busy[busy.activity][busy.index];
    return {busy.from.at(schedule_.start), busy.to.at(schedule_.start)};
}

Latest Bonds::end_of(ActivityId id) const {
    const Activity& activity = project_.activities[id];
    Latest end;
    end.terms.push_back({id, activity.duration});
    if (!activity.stretchable) return end;
    end.fixed = activity.held_until >= 0 ? activity.held_until : -kNever;
    for (const ActivityId user : activity.users) end.terms.push_back({user, 0});
    return end;
}

Latest Bonds::moment_of(ActivityId id, const Moment& moment) const {
    if (moment.of == Moment::Of::start) return {{{id, moment.offset}}, -kNever};
    Latest latest = end_of(id);
    for (Term& term : latest.terms) term.offset += moment.offset;
    if (latest.fixed > -kNever) latest.fixed += moment.offset;
    return latest;
}

/// A term that another one is never behind decides nothing.
void Bonds::drop_dominated(Latest& latest) const {
    const auto never_ahead = [&](const Term& term, const Term& other) {
        if (term.of == other.of) return term.offset <= other.offset;
        const auto& arcs = arcs_[term.of];
        return std::any_of(arcs.begin(), arcs.end(),
                           [&](const Arc& arc) { return arc.to == other.of && arc.lag >= term.offset - other.offset; });
    };
    for (std::size_t k = 0; k < latest.terms.size();) {
        bool dominated = false;
        for (std::size_t other = 0; other < latest.terms.size() && !dominated; ++other)
            dominated = other != k && never_ahead(latest.terms[k], latest.terms[other]);
        if (dominated)
            latest.terms.erase(latest.terms.begin() + static_cast<std::ptrdiff_t>(k));
        else
            ++k;
    }
}

int Bonds::closed_times(ResourceId resource, std::int32_t amount) {
    for (const auto& [known, index] : closed_by_amount_[resource])
        if (known == amount) return index;
    std::vector<Interval> closed;
    const auto& steps = project_.resources[resource].capacity;
    for (std::size_t k = 0; k < steps.size(); ++k) {
        if (steps[k].capacity >= amount) continue;
        const Time to = k + 1 < steps.size() ? steps[k + 1].from : kNever;
        if (!closed.empty() && closed.back().to == steps[k].from)
            closed.back().to = to;
        else
            closed.push_back({steps[k].from, to});
    }
    closed_.push_back(std::move(closed));
    closed_by_amount_[resource].emplace_back(amount, static_cast<int>(closed_.size()) - 1);
    return closed_by_amount_[resource].back().second;
}

// --------------------------------------------------------------------------------------------------- room

Time Bonds::room(int guard, const Starts& starts, const std::vector<char>& moving) const {
    return std::visit([&](const auto& kind) { return room_for(kind, starts, moving); }, guards_[guard]);
}

Time Bonds::room_for(const OpenHours& guard, const Starts& starts, const std::vector<char>& moving) const {
    const Busy& busy = busy_[guard.busy];
    if (!any_moving(busy.to, moving)) return kNever;
    const Time from = busy.from.at(starts);
    const Time to = busy.to.at(starts);
    if (from >= to) return from - to;
    const auto closed = first_after(closed_[guard.closed], from);
    return closed == closed_[guard.closed].end() ? kNever : closed->from - to;
}

Time Bonds::room_for(const KeptOrder& guard, const Starts& starts, const std::vector<char>& moving) const {
    const Latest& end = busy_[guard.before].to;
    const Latest& begin = busy_[guard.after].from;
    if (!any_moving(end, moving)) return kNever;
    const Time from = begin.at(starts);
    for (const Term& term : begin.terms)
        if (moving[term.of] && starts[term.of] + term.offset == from) return kNever;
    return from - end.at(starts);
}

Time Bonds::room_for(const Warm& guard, const Starts& starts, const std::vector<char>& moving) const {
    const StateRules& state = project_.resources[guard.resource].state;
    const bool moves = moving[guard.first];
    const bool first_stay = guard.previous.empty();
    bool pressed = false;  // the stay before comes nearer
    for (const int k : guard.previous) pressed = pressed || any_moving(busy_[k].to, moving);
    const Time start = starts[guard.first];
    const Time on = start - state.startup[guard.setting];
    const Time left = first_stay ? -kNever : end_of_stay(guard.previous, starts);
    if (!first_stay && !left_alone(project_, left, start)) {
        if (!moves) return kNever;
        for (auto absence = first_after(absences_, left); absence != absences_.end(); ++absence) {
            const Time since = std::max(absence->from, left);
            if (absence->to - since >= project_.reset_after) return since + project_.reset_after - 1 - start;
        }
        return kNever;
    }
    Time room = kNever;
    if (pressed && !moves) room = on - left;
    if (!moves || state.self_starting) return room;
    const auto there = first_after(project_.attended, on);
    if (there == project_.attended.end() || there->from > on) return 0;
    room = std::min(room, there->to - 1 - on);
    const auto absence = first_after(absences_, on);
    if (absence != absences_.end()) room = std::min(room, absence->from + project_.reset_after - 1 - start);
    return room;
}

// ------------------------------------------------------------------------------------------------- mending

std::optional<std::vector<Raise>> Bonds::mend(int guard, const Starts& starts) const {
    return std::visit([&](const auto& kind) { return mend_it(kind, starts); }, guards_[guard]);
}

Bonds::Mending Bonds::mend_it(const OpenHours& guard, const Starts& starts) const {
    const Busy& busy = busy_[guard.busy];
    const Time from = busy.from.at(starts);
    const Time to = busy.to.at(starts);
    if (from >= to) return std::nullopt;
    const auto closed = first_after(closed_[guard.closed], from);
    if (closed == closed_[guard.closed].end() || closed->from >= to) return std::nullopt;
    std::vector<Raise> ways;
    raise_to(busy.from, busy.shortest > 0 ? closed->to : std::min(closed->to, to), ways);
    return ways;
}

Bonds::Mending Bonds::mend_it(const KeptOrder& guard, const Starts& starts) const {
    const Time end = busy_[guard.before].to.at(starts);
    if (busy_[guard.after].from.at(starts) >= end) return std::nullopt;
    std::vector<Raise> ways;
    raise_to(busy_[guard.after].from, end, ways);
    return ways;
}

/// Either the stay begins later, the next time at which it can be started up; or the stay before ends so late that
/// the resource has not been left alone for too long.
Bonds::Mending Bonds::mend_it(const Warm& guard, const Starts& starts) const {
    const StateRules& state = project_.resources[guard.resource].state;
    const bool first_stay = guard.previous.empty();
    const Time start = starts[guard.first];
    const Time lead = state.startup[guard.setting];
    const Time left = first_stay ? 0 : end_of_stay(guard.previous, starts);
    if (!first_stay && !left_alone(project_, left, start)) return std::nullopt;

    Time on = std::max(start - lead, left);
    for (bool moved = !state.self_starting; moved;) {
        const auto there = first_after(project_.attended, on);
        if (there == project_.attended.end()) {
            on = kNever;
            break;
        }
        moved = there->from > on;
        on = std::max(on, there->from);
        const auto absence = first_after(absences_, on);
        if (absence != absences_.end() && on + lead >= absence->from + project_.reset_after) {
            on = absence->to;
            moved = true;
        }
        if (on >= kNever) break;
    }
    if (on == start - lead) return std::nullopt;

    std::vector<Raise> ways{{guard.first, std::min(kNever, on + lead)}};
    if (first_stay) return ways;
    Time warm_from = left;
    for (const Interval& absence : absences_) {
        const Time until = std::min(absence.to, start);
        if (until - std::max(absence.from, left) >= project_.reset_after)
            warm_from = std::max(warm_from, until - project_.reset_after + 1);
    }
    for (const int k : guard.previous) raise_to(busy_[k].to, warm_from, ways);
    return ways;
}

Bonds::Mending Bonds::mend_it(const Shut& guard, const Starts& starts) const {
    const Time end = busy_[guard.busy].to.at(starts);
    const Time start = starts[guard.sealed];
    if (end <= start || end >= start + guard.lasts) return std::nullopt;
    std::vector<Raise> ways{{guard.sealed, end}};
    raise_to(busy_[guard.busy].to, start + guard.lasts, ways);
    return ways;
}

/// At the first minute with too much, one of those that are there must come later.
Bonds::Mending Bonds::mend_it(const Sum& guard, const Starts& starts) const {
    struct Use {
        Interval when;
        int busy;
    };
    std::vector<Use> uses;
    std::vector<Time> minutes;
    for (const int k : guard.busy) {
        const Interval when{busy_[k].from.at(starts), busy_[k].to.at(starts)};
        if (when.from >= when.to) continue;
        uses.push_back({when, k});
        minutes.push_back(when.from);
    }
    for (const CapacityStep& step : project_.resources[guard.resource].capacity) minutes.push_back(step.from);
    std::sort(minutes.begin(), minutes.end());
    for (const Time minute : minutes) {
        std::int64_t sum = 0;
        std::vector<Raise> ways;
        for (const Use& use : uses) {
            if (use.when.from > minute || use.when.to <= minute) continue;
            sum += busy_[use.busy].demand->amount;
            raise_to(busy_[use.busy].from, minute + 1, ways);
        }
        if (sum > capacity_at(project_.resources[guard.resource], minute)) return ways;
    }
    return std::nullopt;
}

Time Bonds::end_of_stay(const std::vector<int>& stay, const Starts& starts) const {
    Time end = -kNever;
    for (const int k : stay) end = std::max(end, busy_[k].to.at(starts));
    return end;
}

}  // namespace oventide::slack
