#include "prove/clauses.hpp"

#include <algorithm>

namespace oventide::prove {

namespace {
constexpr std::int32_t kShort = 3;  // kept for good: they cost little and say much
constexpr std::uint64_t kTooActive = std::uint64_t{1} << 60;
}  // namespace

void ClauseStore::watch(Literal literal, std::int32_t clause, Literal other) {
    const Literal falsifier = ~literal;
    watches_[falsifier.side].push_back({falsifier.value, clause, other});
}

std::int32_t ClauseStore::add(std::span<const Literal> literals, bool learned, std::int32_t origin) {
    const auto id = static_cast<std::int32_t>(clauses_.size());
    clauses_.push_back(
        {static_cast<std::int32_t>(arena_.size()), static_cast<std::int32_t>(literals.size()), origin, learned, step_});
    arena_.insert(arena_.end(), literals.begin(), literals.end());
    watch(literals[0], id, literals[1]);
    watch(literals[1], id, literals[0]);
    if (learned) ++learned_;
    return id;
}

std::int32_t ClauseStore::propagate(Trail& trail, Side side, Time previous, Time value) {
    auto& list = watches_[side];
    auto kept = list.begin();
    for (auto it = list.begin(); it != list.end(); ++it) {
        if (it->threshold <= previous || it->threshold > value || trail.holds(it->other)) {
            *kept++ = *it;
            continue;
        }
        const std::int32_t id = it->clause;
        Literal* const first = arena_.data() + clauses_[id].begin;
        Literal* const last = first + clauses_[id].size;
        if (first[0].side == opposite(side)) std::swap(first[0], first[1]);
        if (trail.holds(first[0])) {
            *kept++ = {it->threshold, id, first[0]};
            continue;
        }
        Literal* const next = std::find_if(first + 2, last, [&](Literal literal) { return !trail.fails(literal); });
        if (next != last) {
            std::swap(first[1], *next);
            watch(first[1], id, first[0]);
            continue;
        }
        *kept++ = *it;
        if (trail.fails(first[0])) {
            kept = std::copy(it + 1, list.end(), kept);
            list.erase(kept, list.end());
            return id;
        }
        trail.push(first[0], {Reason::Maker::clause, id});
    }
    list.erase(kept, list.end());
    return -1;
}

void ClauseStore::bump(std::int32_t clause) {
    if ((clauses_[clause].activity += step_) < kTooActive) return;
    for (Clause& each : clauses_) each.activity >>= 40;
    step_ = std::max<std::uint64_t>(step_ >> 40, 1);
}

void ClauseStore::reduce(const Trail& trail) {
    std::vector<std::uint64_t> activities;
    for (const Clause& clause : clauses_)
        if (clause.learned && clause.size > kShort) activities.push_back(clause.activity);
    const auto middle = activities.begin() + static_cast<std::ptrdiff_t>(activities.size() / 2);
    if (!activities.empty()) std::nth_element(activities.begin(), middle, activities.end());
    const std::uint64_t median = activities.empty() ? 0 : *middle;

    const std::vector<Literal> old_arena = std::move(arena_);
    const std::vector<Clause> old_clauses = std::move(clauses_);
    arena_.clear();
    clauses_.clear();
    learned_ = 0;
    for (auto& list : watches_) list.clear();
    for (const Clause& clause : old_clauses) {
        if (clause.learned && clause.size > kShort && clause.activity < median) continue;
        const std::span<const Literal> literals(old_arena.data() + clause.begin, clause.size);
        if (std::any_of(literals.begin(), literals.end(), [&](Literal each) { return trail.holds(each); })) continue;
        // Settled and neither true nor unit: the two watched literals are not false.
        const std::int32_t id = add(literals, clause.learned, clause.origin);
        clauses_[id].activity = clause.activity;
    }
}

}  // namespace oventide::prove
