#include "prove/cumulative.hpp"

#include <algorithm>

namespace oventide::prove {

Cumulative::Cumulative(std::vector<Use> uses, std::vector<CapacityStep> capacity)
    : uses_(std::move(uses)), capacity_(std::move(capacity)) {
    for (const Use& use : uses_) largest_ = std::max(largest_, use.amount);
    seen_.resize(uses_.size());
    changed_.assign(uses_.size(), 1);
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

Cumulative::Seen Cumulative::look(const Trail& trail, const Use& use) const {
    Seen seen;
    seen.window = {trail.lower(use.from), trail.upper(use.to)};
    seen.present = present(trail, use);
    const Interval part{trail.upper(use.from), trail.lower(use.to)};
    if (part.from < part.to) seen.compulsory = part;
    return seen;
}

bool Cumulative::look_again(const Trail& trail) {
    bool profile_changed = profile_.empty();
    for (std::size_t i = 0; i < uses_.size(); ++i) {
        const Seen seen = look(trail, uses_[i]);
        if (seen == seen_[i]) continue;
        profile_changed |= seen.present != seen_[i].present || seen.compulsory != seen_[i].compulsory;
        seen_[i] = seen;
        changed_[i] = 1;
    }
    return profile_changed;
}

void Cumulative::build_profile() {
    events_.clear();
    for (std::size_t i = 0; i < uses_.size(); ++i) {
        const Interval part = seen_[i].compulsory;
        if (!seen_[i].present || part.from == part.to) continue;
        events_.push_back({part.from, uses_[i].amount});
        events_.push_back({part.to, -uses_[i].amount});
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
    tight_.clear();
    for (std::size_t i = 0; i < profile_.size(); ++i)
        if (profile_[i].load + largest_ > profile_[i].capacity) tight_.push_back(static_cast<std::int32_t>(i));
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

std::size_t Cumulative::first_tight_after(Time at) const {
    const auto segment = std::upper_bound(tight_.begin(), tight_.end(), at,
                                          [&](Time time, std::int32_t each) { return time < profile_[each].to; });
    return static_cast<std::size_t>(segment - tight_.begin());
}

bool Cumulative::push_from(Engine& engine, std::int32_t which) {
    const Trail& trail = engine.trail();
    const Use& use = uses_[which];
    const Interval own{trail.upper(use.from), trail.lower(use.to)};
    for (std::size_t i = first_tight_after(trail.lower(use.from)); i < tight_.size();) {
        const Segment& segment = profile_[tight_[i]];
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
    for (std::size_t i = first_tight_after(trail.upper(use.to) - 1) + 1; i-- > 0;) {
        if (i >= tight_.size()) continue;
        const Segment& segment = profile_[tight_[i]];
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
    for (std::size_t i = first_tight_after(from); i < tight_.size() && profile_[tight_[i]].from < to; ++i) {
        const Segment& segment = profile_[tight_[i]];
        if (segment.load + use.amount <= segment.capacity) continue;
        const Time at = std::max(from, segment.from);
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
    if (look_again(engine.trail())) {
        build_profile();
        changed_.assign(uses_.size(), 1);
        if (!check_profile(engine)) {
            profile_.clear();
            return false;
        }
    }
    for (std::int32_t i = 0; i < static_cast<std::int32_t>(uses_.size()); ++i) {
        if (!changed_[i]) continue;
        const std::int32_t length = engine.trail().size();
        if (!push(engine, i)) return false;
        changed_[i] = engine.trail().size() > length;  // what was concluded may be taken back
    }
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
