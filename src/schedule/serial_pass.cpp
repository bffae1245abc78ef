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
    placings_.resize(units);
    queued_.resize(units);
    needed_before_.resize(units);
    taken_.resize(needs);
    refused_.resize(model.kinds);
}

bool SerialPass::run(List& list, std::int32_t repairs) {
    reset();
    undone_ = 0;
    std::size_t position = 0;
    while (position < list.size()) {
        if (place(list[position])) {
            ++position;
            continue;
        }
        if (repairs-- <= 0 || undone_ > kMostUndone) return false;
        const auto resumed = repair(list, position);
        if (!resumed) return false;
        undone_ += static_cast<std::int64_t>(position - *resumed);
        position = *resumed;
    }
    return !model_.ends_open || ends_hold();
}

void SerialPass::reset() {
    for (auto& profile : profiles_) profile.clear();
    for (auto& line : lines_) line.clear();
    for (UnitId unit = 0; unit < model_.count(); ++unit) {
        placings_[unit] = {};
        placings_[unit].low.time = model_.units[unit].earliest;
        placings_[unit].high.time = model_.units[unit].latest;
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
    low = placings_[unit].low;
    high = placings_[unit].high;
    if (placings_[unit].cap < high.time) high = {placings_[unit].cap, -1};
    for (const Link& link : model_.out[unit])
        if (placings_[link.unit].position >= 0 && placings_[link.unit].start - link.lag < high.time)
            high = {placings_[link.unit].start - link.lag, link.unit};
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
    failure_.low = placings_[high.asker].start + missing;
    failure_.high = model_.units[high.asker].latest;
}

/// Adds to the unit's spans what the units that hold it say.
void SerialPass::aim_spans(UnitId unit) {
    for (std::int32_t n = model_.units[unit].first_need; n < model_.units[unit].last_need; ++n) {
        const Need& need = model_.needs[n];
        taken_[n].span = need.span;
        taken_[n].span_from = -1;
        for (const Pull& pull : model_.pulls_of(need)) {
            if (placings_[pull.unit].position < 0) continue;
            const Time time = placings_[pull.unit].start + pull.shift;
            if (pull.moves_from) taken_[n].span.from.fixed = std::max(taken_[n].span.from.fixed, time);
            if (pull.moves_to && time > taken_[n].span.to.fixed) {
                taken_[n].span.to.fixed = time;
                taken_[n].span_from = pull.unit;
            }
        }
    }
}

/// The latest start from `high` down at which everything is free and the resources chosen; they are then taken.
/// Below `low` it goes on to say how much is missing, down to `floor`.
Time SerialPass::latest_start(UnitId unit, Time low, Time floor, Time high) {
    const std::int32_t kind = model_.units[unit].kind;
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
            if (fit.blocked_from > -kNever && taken_[need].span_from >= 0) {
                failure_.asker = taken_[need].span_from;
                failure_.shift = taken_[need].span.to.fixed - fit.blocked_from;
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
    for (const ResourceId resource : model_.choices_of(need)) {
        profile::Fit fit{start, -kNever};
        for (bool settled = false; fit.found() && !settled;) {
            const Time before = fit.start;
            fit = profiles_[resource].latest_fit(taken_[n].span, need.amount, before);
            if (fit.found() && need.has_state()) {
                // A visit's rules count from the start of its activity.
                profile::BusySpan span = taken_[n].span;
                span.to.shift -= need.offset;
                const profile::Fit visit =
                    lines_[resource].latest_fit(model_.programme_of(need), span, fit.start + need.offset);
                fit = visit.found() ? profile::Fit{visit.start - need.offset, -kNever} : visit;
            }
            settled = fit.start == before;
        }
        if (fit.found() ? fit.start > best.start : (!best.found() && fit.blocked_from > best.blocked_from)) best = fit;
        if (best.start == start) break;
    }
    if (!best.found() || best.start < start) failure_.resource = model_.choices_of(need).front();
    if (!best.found() || best.start < start)
        failure_.cause = need.has_state() ? Obstacle::Cause::state : Obstacle::Cause::resource;
    return best;
}

/// Takes a resource for this need and all after it, so that they do not get in each other's way.
bool SerialPass::take(UnitId unit, std::int32_t n, Time start) {
    if (n == model_.units[unit].last_need) return true;
    const Need& need = model_.needs[n];
    const Interval busy = taken_[n].span.at(start);
    for (const ResourceId resource : model_.choices_of(need)) {
        if (!profiles_[resource].fits(busy, need.amount)) continue;
        if (need.has_state()) {
            profile::BusySpan span = taken_[n].span;
            span.to.shift -= need.offset;
            if (!lines_[resource].fits(model_.programme_of(need), span, start + need.offset)) continue;
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
    taken_[n].chosen = resource;
    taken_[n].busy = busy;
    profiles_[resource].take(busy, need.amount);
    if (need.has_state()) lines_[resource].add(model_.programme_of(need), start + need.offset, busy);
}

void SerialPass::vacate(std::int32_t n) {
    const Need& need = model_.needs[n];
    profiles_[taken_[n].chosen].give_back(taken_[n].busy, need.amount);
    if (need.has_state()) lines_[taken_[n].chosen].remove(model_.programme_of(need));
}

void SerialPass::commit(UnitId unit, Time start) {
    placings_[unit].position = static_cast<std::int32_t>(placed_.size());
    placed_.push_back(unit);
    change_mark_.push_back(changes_.size());
    placings_[unit].start = start;
    placings_[unit].busy_to = start;
    for (std::int32_t n = model_.units[unit].first_need; n < model_.units[unit].last_need; ++n)
        placings_[unit].busy_to = std::max(placings_[unit].busy_to, taken_[n].busy.to);
}

// ------------------------------------------------------------------------------------------------- windows

void SerialPass::tighten(bool low, UnitId unit, Bound bound) {
    if (placings_[unit].position >= 0) return;
    Bound& current = low ? placings_[unit].low : placings_[unit].high;
    if (low ? bound.time <= current.time : bound.time >= current.time) return;
    changes_.push_back({low, unit, current});
    current = bound;
    if (queued_[unit]) return;
    queued_[unit] = 1;
    queue_.push_back(unit);
}

/// Tells the neighbours of a unit just placed, and through them all that maximum lags tie together.
bool SerialPass::spread(UnitId unit) {
    const Bound here{placings_[unit].start, unit};
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
        const Bound low = placings_[unit].low;
        const Bound high = placings_[unit].high;
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
            Placing& placing = placings_[change.unit];
            (change.low ? placing.low : placing.high) = change.before;
        }
        change_mark_.pop_back();
        placed_.pop_back();
        placings_[unit].position = -1;
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
    const bool standing = placings_[asker].position >= 0;
    const Time earlier = placings_[asker].start - failure_.shift;
    if (earlier < model_.units[asker].earliest) return std::nullopt;
    placings_[asker].cap = earlier;
    if (!standing) return position;
    const auto resumed = static_cast<std::size_t>(placings_[asker].position);
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
    if (placings_[other].start > failure_.high + model_.units[unit].length + project_.reset_after) return false;
    if (placings_[other].busy_to < failure_.low) return false;
    for (const Need& mine : model_.needs_of(unit))
        for (const Need& theirs : model_.needs_of(other))
            for (const ResourceId resource : model_.choices_of(mine))
                if (std::ranges::count(model_.choices_of(theirs), resource) > 0) return true;
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
            const Interval busy = taken_[n].span.at(placings_[unit].start);
            if (!profiles_[taken_[n].chosen].fits(busy, need.amount)) return false;
            profile::BusySpan span = taken_[n].span;
            span.to.shift -= need.offset;
            if (need.has_state() &&
                !lines_[taken_[n].chosen].fits(model_.programme_of(need), span, placings_[unit].start + need.offset))
                return false;
            occupy(n, taken_[n].chosen, placings_[unit].start, busy);
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
        result.start[id] = placings_[model_.unit_of[id]].start + model_.offset[id];
        for (const Demand& demand : project_.activities[id].demands)
            result.chosen[id].push_back(demand.choices.front());
    }
    for (std::size_t n = 0; n < model_.needs.size(); ++n)
        result.chosen[model_.needs[n].activity][model_.index_of(model_.needs[n])] = taken_[n].chosen;
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
            if (taken_[n].chosen == failure_.resource && taken_[n].busy.to > failure_.low &&
                taken_[n].busy.from < failure_.high + model_.units[failure_.unit].length)
                obstacle.holders.push_back(model_.needs[n].activity);
    std::sort(obstacle.holders.begin(), obstacle.holders.end());
    obstacle.holders.erase(std::unique(obstacle.holders.begin(), obstacle.holders.end()), obstacle.holders.end());
    return obstacle;
}

}  // namespace oventide::scheduling
