#include "prove/cumulative.hpp"

#include <algorithm>

namespace oventide::prove {

Cumulative::Cumulative(std::vector<Use> uses, std::vector<CapacityStep> capacity)
    : uses_(std::move(uses)), capacity_(std::move(capacity)) {
    for (const Use& use : uses_) largest_ = std::max(largest_, use.amount);
}

std::vector<Side> Cumulative::sides() const {
    std::vector<Side> sides;
    for (const Use& use : uses_) {
        for (const Term term : {use.from, use.to}) {
            sides.push_back(term.side);
            sides.push_back(opposite(term.side));
        }
        if (use.present) sides.push_back(use.present->side);
    }
    return sides;
}

std::int32_t Cumulative::capacity_at(Time at) const {
    const auto next = std::upper_bound(capacity_.begin(), capacity_.end(), at,
                                       [](Time time, const CapacityStep& step) { return time < step.from; });
    return next == capacity_.begin() ? 0 : std::prev(next)->capacity;
}

void Cumulative::build_profile(const Trail& trail) {
    events_.clear();
    for (const Use& use : uses_) {
        if (!present(trail, use)) continue;
        const Time from = trail.upper(use.from);
        const Time to = trail.lower(use.to);
        if (from >= to) continue;
        events_.push_back({from, use.amount});
        events_.push_back({to, -use.amount});
    }
    std::sort(events_.begin(), events_.end(), [](const Event& a, const Event& b) { return a.at < b.at; });

    profile_.clear();
    std::int64_t load = 0;
    std::int32_t capacity = 0;
    Time at = std::numeric_limits<Time>::min();
    auto event = events_.begin();
    auto step = capacity_.begin();
    while (event != events_.end() || step != capacity_.end()) {
        Time next = kNever;
        if (event != events_.end()) next = event->at;
        if (step != capacity_.end()) next = std::min(next, step->from);
        if (next > at) profile_.push_back({at, next, load, capacity});
        for (; event != events_.end() && event->at == next; ++event) load += event->change;
        for (; step != capacity_.end() && step->from == next; ++step) capacity = step->capacity;
        at = next;
    }
    profile_.push_back({at, kNever, load, capacity});
}

/// Statements that `excess` units beyond the capacity are busy at `at`, the use `without` left out.
void Cumulative::cover(const Trail& trail, Time at, std::int32_t length, std::int32_t without, std::int64_t excess,
                       std::vector<Literal>& out) const {
    std::int64_t needed = capacity_at(at) + excess;
    for (std::int32_t i = 0; i < static_cast<std::int32_t>(uses_.size()) && needed > 0; ++i) {
        const Use& use = uses_[i];
        if (i == without || trail.upper_at(use.from, length) > at || trail.lower_at(use.to, length) <= at) continue;
        if (use.present && trail.lower_at(use.present->side, length) < use.present->value) continue;
        out.push_back(at_most(use.from, at));
        out.push_back(at_least(use.to, at + 1));
        if (use.present) out.push_back(*use.present);
        needed -= use.amount;
    }
}

bool Cumulative::check_profile(Engine& engine) {
    for (const Segment& segment : profile_) {
        if (segment.load <= segment.capacity) continue;
        std::vector<Literal> literals;
        const Time at = segment.from + (segment.to - 1 - segment.from) / 2;
        cover(engine.trail(), at, engine.trail().size(), -1, 1, literals);
        return engine.contradict(literals);
    }
    return true;
}

bool Cumulative::blocked(const Segment& segment, const Use& use, const Interval& own) const {
    const bool counted = own.from <= segment.from && segment.to <= own.to;
    return segment.load + (counted ? 0 : use.amount) > segment.capacity;
}

std::size_t Cumulative::first_segment_after(Time at) const {
    const auto segment = std::upper_bound(profile_.begin(), profile_.end(), at,
                                          [](Time time, const Segment& each) { return time < each.to; });
    return static_cast<std::size_t>(segment - profile_.begin());
}

bool Cumulative::push_from(Engine& engine, std::int32_t which) {
    const Trail& trail = engine.trail();
    const Use& use = uses_[which];
    const Interval own{trail.upper(use.from), trail.lower(use.to)};
    for (std::size_t i = first_segment_after(trail.lower(use.from)); i < profile_.size();) {
        const Segment& segment = profile_[i];
        const Time end = trail.lower(use.to);
        if (segment.from >= end) break;
        if (segment.to <= trail.lower(use.from) || !blocked(segment, use, own)) {
            ++i;
            continue;
        }
        const Time at = std::min(segment.to, end) - 1;
        if (!engine.conclude(at_least(use.from, at + 1), because(at, 2 * which + static_cast<int>(Push::from))))
            return false;
        if (trail.lower(use.from) >= segment.to) ++i;
        if (trail.lower(use.to) == end && trail.lower(use.from) >= end) break;
    }
    return true;
}

bool Cumulative::push_to(Engine& engine, std::int32_t which) {
    const Trail& trail = engine.trail();
    const Use& use = uses_[which];
    const Interval own{trail.upper(use.from), trail.lower(use.to)};
    for (std::size_t i = first_segment_after(trail.upper(use.to) - 1) + 1; i-- > 0;) {
        if (i >= profile_.size()) continue;
        const Segment& segment = profile_[i];
        while (blocked(segment, use, own)) {
            const Time begin = trail.upper(use.from);
            if (segment.from >= trail.upper(use.to) || segment.to <= begin || begin >= trail.upper(use.to)) break;
            const Time at = std::max(segment.from, begin);
            if (!engine.conclude(at_most(use.to, at), because(at, 2 * which + static_cast<int>(Push::to))))
                return false;
        }
        if (segment.to <= trail.upper(use.from)) break;
    }
    return true;
}

bool Cumulative::exclude(Engine& engine, std::int32_t which) {
    const Trail& trail = engine.trail();
    const Use& use = uses_[which];
    const Time from = trail.upper(use.from);
    const Time to = trail.lower(use.to);
    if (from >= to) return true;
    for (std::size_t i = first_segment_after(from); i < profile_.size() && profile_[i].from < to; ++i) {
        if (profile_[i].load + use.amount <= profile_[i].capacity) continue;
        const Time at = std::max(from, profile_[i].from);
        return engine.conclude(~*use.present, because(at, 2 * which));
    }
    return true;
}

bool Cumulative::push(Engine& engine, std::int32_t which) {
    const Trail& trail = engine.trail();
    const Use& use = uses_[which];
    if (absent(trail, use)) return true;
    if (!present(trail, use)) return exclude(engine, which);
    const bool settled = trail.lower(use.from) == trail.upper(use.from) && trail.lower(use.to) == trail.upper(use.to);
    return settled || (push_from(engine, which) && push_to(engine, which));
}

bool Cumulative::propagate(Engine& engine) {
    build_profile(engine.trail());
    if (!check_profile(engine)) return false;
    for (std::int32_t i = 0; i < static_cast<std::int32_t>(uses_.size()); ++i)
        if (!push(engine, i)) return false;
    return true;
}

void Cumulative::explain(const Trail& trail, Literal literal, const Reason& reason, std::int32_t length,
                         std::vector<Literal>& out) const {
    const Time at = reason.a;
    const std::int32_t which = reason.b / 2;
    const Use& use = uses_[which];
    cover(trail, at, length, which, 1 - use.amount, out);
    const bool excluded = use.present && literal.side == opposite(use.present->side);
    if (excluded || reason.b % 2 == static_cast<int>(Push::to)) out.push_back(at_most(use.from, at));
    if (excluded || reason.b % 2 == static_cast<int>(Push::from)) out.push_back(at_least(use.to, at + 1));
    if (!excluded && use.present) out.push_back(*use.present);
}

}  // namespace oventide::prove
