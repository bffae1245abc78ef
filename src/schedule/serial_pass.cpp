#include "schedule/serial_pass.hpp"

#include <algorithm>

namespace oventide::scheduling {

SerialPass::SerialPass(const Model& model) : model_(model), project_(*model.project) {
    for (ResourceId id = 0; id < static_cast<ResourceId>(project_.resources.size()); ++id) {
        profiles_.emplace_back(project_.resources[id].capacity);
        lines_.emplace_back(project_, id);
    }
    const std::size_t units = model.units.size();
    const std::size_t needs = model.needs.size();
    cap_.resize(units);
    low_.resize(units);
    high_.resize(units);
    position_.resize(units);
    start_.resize(units);
    busy_to_.resize(units);
    queued_.resize(units);
    needed_before_.resize(units);
    span_.resize(needs);
    span_from_.resize(needs);
    chosen_.resize(needs);
    busy_.resize(needs);
    refused_.resize(model.kinds);
}

bool SerialPass::run(List& list, std::int32_t repairs) {
    reset();
    std::size_t position = 0;
    while (position < list.size()) {
        if (place(list[position])) {
            ++position;
            continue;
        }
        if (repairs-- <= 0) return false;
        const auto resumed = repair(list, position);
        if (!resumed) return false;
        position = *resumed;
    }
    return !model_.ends_open || ends_hold();
}

void SerialPass::reset() {
    for (auto& profile : profiles_) profile.clear();
    for (auto& line : lines_) line.clear();
    for (UnitId unit = 0; unit < model_.count(); ++unit) {
        low_[unit] = {model_.units[unit].earliest, -1};
        high_[unit] = {model_.units[unit].latest, -1};
        cap_[unit] = wanted_latest_.empty() ? kNever : wanted_latest_[unit];
        position_[unit] = -1;
    }
    changes_.clear();
    change_mark_.clear();
    placed_.clear();
    ++round_;
}

// ------------------------------------------------------------------------------------------------- one unit

bool SerialPass::place(UnitId unit) {
    Bound low;
    Bound high;
    if (!open_window(unit, low, high)) return false;
    aim_spans(unit);
    failure_ = {unit, low.asker, 0, low.time, high.time, Obstacle::Cause::resource, -1};
    // How much is missing matters only where somebody can make room for it.
    const Time floor = low.asker >= 0 ? model_.units[unit].earliest : low.time;
    const Time start = latest_start(unit, low.time, floor, high.time);
    if (start < low.time) {
        if (start > -kNever) failure_.shift = low.time - start;
        return false;
    }
    commit(unit, start);
    return spread(unit);
}

/// The window that lags leave open, given what is placed.
bool SerialPass::open_window(UnitId unit, Bound& low, Bound& high) {
    low = low_[unit];
    high = high_[unit];
    if (cap_[unit] < high.time) high = {cap_[unit], -1};
    for (const Link& link : model_.out[unit])
        if (position_[link.unit] >= 0 && start_[link.unit] - link.lag < high.time)
            high = {start_[link.unit] - link.lag, link.unit};
    if (low.time <= high.time) return true;
    fail_between(unit, low, high);
    return false;
}

/// A window that is empty: whoever asks for its low end comes too late, or whoever asks for its high end too early.
void SerialPass::fail_between(UnitId unit, const Bound& low, const Bound& high) {
    const Time missing = low.time - high.time;
    failure_ = {unit, low.asker, missing, low.time, high.time, Obstacle::Cause::window, -1};
    if (low.asker >= 0 || high.asker < 0) return;
    failure_.unit = high.asker;
    failure_.low = start_[high.asker] + missing;
    failure_.high = model_.units[high.asker].latest;
}

/// Adds to the unit's spans what the units that hold it say.
void SerialPass::aim_spans(UnitId unit) {
    for (std::int32_t n = model_.units[unit].first_need; n < model_.units[unit].last_need; ++n) {
        const Need& need = model_.needs[n];
        span_[n] = need.span;
        span_from_[n] = -1;
        for (const Pull& pull : need.pulls) {
            if (position_[pull.unit] < 0) continue;
            const Time time = start_[pull.unit] + pull.shift;
            if (pull.moves_from) span_[n].from.fixed = std::max(span_[n].from.fixed, time);
            if (pull.moves_to && time > span_[n].to.fixed) {
                span_[n].to.fixed = time;
                span_from_[n] = pull.unit;
            }
        }
    }
}

/// The latest start from `high` down at which everything is free and the resources chosen; they are then taken.
/// Below `low` it goes on to say how much is missing, down to `floor`.
Time SerialPass::latest_start(UnitId unit, Time low, Time floor, Time high) {
    const std::int32_t kind = forced_.empty() ? model_.units[unit].kind : -1;
    Refused* refused = kind < 0 ? nullptr : &refused_[kind];
    if (refused && refused->round != round_) *refused = {0, -1, round_};
    Time start = high;
    for (;;) {
        if (refused && refused->low < start && start <= refused->high) start = refused->low;
        const Time before = start;
        if (!fits_everywhere(unit, start)) return -kNever;
        if (start < floor) return -kNever;
        if (start < before) continue;
        if (start < low) break;
        if (take(unit, model_.units[unit].first_need, start)) break;
        if (--start < floor) return -kNever;
    }
    // Everything in (start, high] has been refused; join it to what was known.
    if (refused) {
        if (refused->low <= high && start <= refused->high) {
            refused->low = std::min(refused->low, start);
            refused->high = std::max(refused->high, high);
        } else if (start < high) {
            *refused = {start, high, round_};
        }
    }
    return start;
}

/// Lowers `start` to the latest at which every need by itself finds a resource.
bool SerialPass::fits_everywhere(UnitId unit, Time& start) {
    const Unit& shape = model_.units[unit];
    std::int32_t settled = 0;
    const std::int32_t needs = shape.last_need - shape.first_need;
    for (std::int32_t n = 0; settled < needs; n = n + 1 == needs ? 0 : n + 1) {
        const profile::Fit fit = best_choice(shape.first_need + n, start);
        if (!fit.found() || fit.start < 0) {
            const std::int32_t need = shape.first_need + n;
            if (fit.blocked_from > -kNever && span_from_[need] >= 0) {
                failure_.asker = span_from_[need];
                failure_.shift = span_[need].to.fixed - fit.blocked_from;
            }
            return false;
        }
        settled = fit.start < start ? 1 : settled + 1;
        start = fit.start;
    }
    return true;
}

/// The latest start over the choices; of two that block a fixed end, the one that blocks the least of it.
profile::Fit SerialPass::best_choice(std::int32_t n, Time start) {
    const Need& need = model_.needs[n];
    profile::Fit best;
    for (std::size_t c = 0; c < need.demand->choices.size(); ++c) {
        if (!forced_.empty() && forced_[n] >= 0 && forced_[n] != static_cast<std::int32_t>(c)) continue;
        const ResourceId resource = need.demand->choices[c];
        profile::Fit fit{start, -kNever};
        for (bool settled = false; fit.found() && !settled;) {
            const Time before = fit.start;
            fit = profiles_[resource].latest_fit(span_[n], need.demand->amount, before);
            if (fit.found() && need.has_state) {
                // A visit's rules count from the start of its activity.
                profile::BusySpan span = span_[n];
                span.to.shift -= need.offset;
                const profile::Fit visit = lines_[resource].latest_fit(*need.demand, span, fit.start + need.offset);
                fit = visit.found() ? profile::Fit{visit.start - need.offset, -kNever} : visit;
            }
            settled = fit.start == before;
        }
        if (fit.found() ? fit.start > best.start : (!best.found() && fit.blocked_from > best.blocked_from)) best = fit;
        if (best.start == start) break;
    }
    if (!best.found() || best.start < start) failure_.resource = need.demand->choices.front();
    if (!best.found() || best.start < start)
        failure_.cause = need.has_state ? Obstacle::Cause::state : Obstacle::Cause::resource;
    return best;
}

/// Takes a resource for this need and all after it, so that they do not get in each other's way.
bool SerialPass::take(UnitId unit, std::int32_t n, Time start) {
    if (n == model_.units[unit].last_need) return true;
    const Need& need = model_.needs[n];
    const Interval busy = span_[n].at(start);
    for (std::size_t c = 0; c < need.demand->choices.size(); ++c) {
        if (!forced_.empty() && forced_[n] >= 0 && forced_[n] != static_cast<std::int32_t>(c)) continue;
        const ResourceId resource = need.demand->choices[c];
        if (!profiles_[resource].fits(busy, need.demand->amount)) continue;
        if (need.has_state) {
            profile::BusySpan span = span_[n];
            span.to.shift -= need.offset;
            if (!lines_[resource].fits(*need.demand, span, start + need.offset)) continue;
        }
        occupy(n, resource, start, busy);
        if (take(unit, n + 1, start)) return true;
        vacate(n);
        if (busy.from >= busy.to) break;  // wants nothing: another choice changes nothing
    }
    return false;
}

void SerialPass::occupy(std::int32_t n, ResourceId resource, Time start, Interval busy) {
    const Need& need = model_.needs[n];
    chosen_[n] = resource;
    busy_[n] = busy;
    profiles_[resource].take(busy, need.demand->amount);
    if (need.has_state) lines_[resource].add(*need.demand, start + need.offset, busy);
}

void SerialPass::vacate(std::int32_t n) {
    const Need& need = model_.needs[n];
    profiles_[chosen_[n]].give_back(busy_[n], need.demand->amount);
    if (need.has_state) lines_[chosen_[n]].remove(*need.demand);
}

void SerialPass::commit(UnitId unit, Time start) {
    position_[unit] = static_cast<std::int32_t>(placed_.size());
    placed_.push_back(unit);
    change_mark_.push_back(changes_.size());
    start_[unit] = start;
    busy_to_[unit] = start;
    for (std::int32_t n = model_.units[unit].first_need; n < model_.units[unit].last_need; ++n)
        busy_to_[unit] = std::max(busy_to_[unit], busy_[n].to);
}

// ------------------------------------------------------------------------------------------------- windows

void SerialPass::tighten(bool low, UnitId unit, Bound bound) {
    if (position_[unit] >= 0) return;
    Bound& current = low ? low_[unit] : high_[unit];
    if (low ? bound.time <= current.time : bound.time >= current.time) return;
    changes_.push_back({low, unit, current});
    current = bound;
    if (queued_[unit]) return;
    queued_[unit] = 1;
    queue_.push_back(unit);
}

/// Tells the neighbours of a unit just placed, and through them all that maximum lags tie together.
bool SerialPass::spread(UnitId unit) {
    const Bound here{start_[unit], unit};
    for (const Link& link : model_.out[unit]) tighten(true, link.unit, {here.time + link.lag, unit});
    for (const Link& link : model_.in[unit])
        if (model_.units[link.unit].linked) tighten(false, link.unit, {here.time - link.lag, unit});
    if (spread_from_queue()) return true;
    for (const UnitId left : queue_) queued_[left] = 0;
    queue_.clear();
    undo_to(placed_.size() - 1);
    return false;
}

bool SerialPass::spread_from_queue() {
    for (std::size_t next = 0; next < queue_.size(); ++next) {
        const UnitId unit = queue_[next];
        queued_[unit] = 0;
        const Bound low = low_[unit];
        const Bound high = high_[unit];
        if (low.time > high.time) {
            fail_between(unit, low, high);
            return false;
        }
        for (const Link& link : model_.out[unit]) tighten(true, link.unit, {low.time + link.lag, low.asker});
        if (model_.units[unit].linked)
            for (const Link& link : model_.in[unit])
                if (model_.units[link.unit].linked) tighten(false, link.unit, {high.time - link.lag, high.asker});
    }
    queue_.clear();
    return true;
}

// -------------------------------------------------------------------------------------------------- repair

void SerialPass::undo_to(std::size_t position) {
    while (placed_.size() > position) {
        const UnitId unit = placed_.back();
        for (std::int32_t n = model_.units[unit].last_need; n-- > model_.units[unit].first_need;) vacate(n);
        for (; changes_.size() > change_mark_.back(); changes_.pop_back()) {
            const Change& change = changes_.back();
            (change.low ? low_ : high_)[change.unit] = change.before;
        }
        change_mark_.pop_back();
        placed_.pop_back();
        position_[unit] = -1;
    }
    ++round_;
}

/// Where to go on from; nothing: this pass has no remedy.
std::optional<std::size_t> SerialPass::repair(List& list, std::size_t position) {
    if (const auto resumed = move_asker(position)) return resumed;
    return move_forward(list, position);
}

/// What asked for too much starts earlier by what is missing; all that came after it is placed anew.
std::optional<std::size_t> SerialPass::move_asker(std::size_t position) {
    const UnitId asker = failure_.asker;
    if (asker < 0 || failure_.shift <= 0) return std::nullopt;
    // The unit whose placing failed has been taken back already; it may be the asker itself.
    const bool standing = position_[asker] >= 0;
    const Time earlier = start_[asker] - failure_.shift;
    if (earlier < model_.units[asker].earliest) return std::nullopt;
    cap_[asker] = earlier;
    if (!standing) return position;
    const auto resumed = static_cast<std::size_t>(position_[asker]);
    undo_to(resumed);
    return resumed;
}

/// The unit, with what must be placed before it, goes to just before the last one placed that is in its way.
std::optional<std::size_t> SerialPass::move_forward(List& list, std::size_t position) {
    const UnitId unit = failure_.unit;
    std::size_t own = position;
    while (own < list.size() && list[own] != unit) ++own;
    if (own == list.size()) own = static_cast<std::size_t>(std::find(list.begin(), list.end(), unit) - list.begin());
    mark_needed_before(unit);
    std::size_t target = std::min(own, placed_.size());
    while (target > 0 && (needed_before_[list[target - 1]] || !in_the_way(unit, list[target - 1]))) --target;
    if (target == 0) return std::nullopt;
    --target;
    const auto first = list.begin() + static_cast<std::ptrdiff_t>(target);
    const auto last = list.begin() + static_cast<std::ptrdiff_t>(own);
    std::stable_partition(first, last + 1, [&](UnitId other) { return other == unit || needed_before_[other] != 0; });
    if (target < placed_.size()) undo_to(target);
    return target;
}

/// They could want the same resource, and the other one has it when this one should.
bool SerialPass::in_the_way(UnitId unit, UnitId other) const {
    if (start_[other] > failure_.high + model_.units[unit].length + project_.reset_after) return false;
    if (busy_to_[other] < failure_.low) return false;
    for (const Need& mine : model_.needs_of(unit))
        for (const Need& theirs : model_.needs_of(other))
            for (const ResourceId resource : mine.demand->choices)
                if (std::find(theirs.demand->choices.begin(), theirs.demand->choices.end(), resource) !=
                    theirs.demand->choices.end())
                    return true;
    return false;
}

void SerialPass::mark_needed_before(UnitId unit) {
    std::fill(needed_before_.begin(), needed_before_.end(), 0);
    std::vector<UnitId> open{unit};
    while (!open.empty()) {
        const UnitId next = open.back();
        open.pop_back();
        for (const UnitId later : model_.later[next]) {
            if (needed_before_[later]) continue;
            needed_before_[later] = 1;
            open.push_back(later);
        }
    }
}

/// Units that could not be ordered after what they use: places everything again, now that every end is known.
bool SerialPass::ends_hold() {
    for (auto& profile : profiles_) profile.clear();
    for (auto& line : lines_) line.clear();
    for (const UnitId unit : placed_) {
        aim_spans(unit);
        for (std::int32_t n = model_.units[unit].first_need; n < model_.units[unit].last_need; ++n) {
            const Need& need = model_.needs[n];
            const Interval busy = span_[n].at(start_[unit]);
            if (!profiles_[chosen_[n]].fits(busy, need.demand->amount)) return false;
            profile::BusySpan span = span_[n];
            span.to.shift -= need.offset;
            if (need.has_state && !lines_[chosen_[n]].fits(*need.demand, span, start_[unit] + need.offset))
                return false;
            occupy(n, chosen_[n], start_[unit], busy);
        }
    }
    return true;
}

// ------------------------------------------------------------------------------------------------- results

Schedule SerialPass::schedule() const {
    Schedule result;
    const std::size_t count = project_.activities.size();
    result.start.resize(count);
    result.chosen.resize(count);
    for (std::size_t id = 0; id < count; ++id) {
        result.start[id] = start_[model_.unit_of[id]] + model_.offset[id];
        for (const Demand& demand : project_.activities[id].demands)
            result.chosen[id].push_back(demand.choices.front());
    }
    for (std::size_t n = 0; n < model_.needs.size(); ++n)
        result.chosen[model_.needs[n].activity][model_.needs[n].index] = chosen_[n];
    complete(project_, result);
    return result;
}

Obstacle SerialPass::obstacle() const {
    Obstacle obstacle;
    obstacle.cause = failure_.cause;
    obstacle.resource = failure_.resource;
    obstacle.earliest = failure_.low;
    obstacle.latest = failure_.high;
    const auto at = std::find(model_.unit_of.begin(), model_.unit_of.end(), failure_.unit);
    obstacle.activity = static_cast<ActivityId>(at - model_.unit_of.begin());
    if (failure_.resource < 0) return obstacle;
    for (const UnitId unit : placed_)
        for (std::int32_t n = model_.units[unit].first_need; n < model_.units[unit].last_need; ++n)
            if (chosen_[n] == failure_.resource && busy_[n].to > failure_.low &&
                busy_[n].from < failure_.high + model_.units[failure_.unit].length)
                obstacle.holders.push_back(model_.needs[n].activity);
    std::sort(obstacle.holders.begin(), obstacle.holders.end());
    obstacle.holders.erase(std::unique(obstacle.holders.begin(), obstacle.holders.end()), obstacle.holders.end());
    return obstacle;
}

}  // namespace oventide::scheduling
