/// What a dead end teaches: the first unique implication point (Marques-Silva and Sakallah, GRASP, 1996; Zhang et
/// al. 2001), over statements on bounds: of two statements on one side only the stronger is kept, and each reason is
/// asked only for as much as is needed.

#include <algorithm>

#include "prove/engine.hpp"

namespace oventide::prove {

namespace {
constexpr int kDepth = 3;  // how far a literal's reasons are followed to find it superfluous
}

std::int32_t Engine::conflict_level() const {
    std::int32_t level = 0;
    for (const Literal literal : conflict_) {
        const std::int32_t entry = trail_.entry_of(literal, trail_.size());
        if (entry >= 0) level = std::max(level, trail_[entry].level);
    }
    return level;
}

void Engine::need(Literal literal, std::int32_t length) {
    auto& [entry, needed, members, level, open, clause] = analysis_;
    const std::int32_t index = trail_.entry_of(literal, length);
    if (index < 0 || trail_[index].level == 0) return;
    const Side side = literal.side;
    if (entry[side] >= 0) {
        if (needed[side] >= literal.value) return;
        if (trail_[entry[side]].level == level) --open;
    } else {
        members.push_back(side);
    }
    entry[side] = index;
    needed[side] = literal.value;
    if (trail_[index].level == level) ++open;
    bump(variable_of(side));
}

Literal Engine::first_unique_implication_point() {
    auto& [entry, needed, members, level, open, clause] = analysis_;
    for (std::int32_t index = trail_.size() - 1;; --index) {
        const Side side = trail_[index].side;
        if (entry[side] != index) continue;
        const Literal literal{side, needed[side]};
        if (open == 1) return literal;
        entry[side] = -1;
        --open;
        scratch_.clear();
        explain(literal, index, scratch_);
        for (const Literal each : scratch_) need(each, index);
    }
}

bool Engine::implied(Literal literal, std::int32_t length, int depth) {
    const std::int32_t index = trail_.entry_of(literal, length);
    if (index < 0 || trail_[index].level == 0) return true;
    // Only what was there before may serve: a later member of the same side may rest on this literal itself.
    const std::int32_t member = analysis_.entry[literal.side];
    if (member >= 0 && member < length && analysis_.needed[literal.side] >= literal.value) return true;
    const Reason& reason = trail_[index].reason;
    if (depth == 0 || reason.maker == Reason::Maker::decision) return false;
    std::vector<Literal> because;
    explain_reason(literal, reason, index, because);
    return std::all_of(because.begin(), because.end(), [&](Literal each) { return implied(each, index, depth - 1); });
}

bool Engine::redundant(Side side, int depth) {
    const std::int32_t index = analysis_.entry[side];
    const Reason& reason = trail_[index].reason;
    if (reason.maker == Reason::Maker::decision) return false;
    std::vector<Literal> because;
    explain_reason({side, analysis_.needed[side]}, reason, index, because);
    return std::all_of(because.begin(), because.end(), [&](Literal each) { return implied(each, index, depth); });
}

std::int32_t Engine::build_clause(Literal point) {
    auto& [entry, needed, members, level, open, clause] = analysis_;
    std::sort(members.begin(), members.end());
    members.erase(std::unique(members.begin(), members.end()), members.end());
    std::erase_if(members, [&](Side side) { return entry[side] < 0; });
    std::vector<Side> kept;
    for (const Side side : members)
        if (side == point.side || !redundant(side, kDepth)) kept.push_back(side);

    clause.assign(1, ~point);
    std::int32_t back = 0;
    for (const Side side : kept) {
        if (side == point.side) continue;
        clause.push_back(~Literal{side, needed[side]});
        const std::int32_t at = trail_[entry[side]].level;
        if (at > back) {
            back = at;
            std::swap(clause[1], clause.back());
        }
    }
    for (const Side side : members) entry[side] = -1;
    members.clear();
    open = 0;
    return back;
}

bool Engine::learn_from_conflict() {
    analysis_.level = conflict_level();
    if (analysis_.level == 0) {
        dead_ = true;
        return false;
    }
    backtrack(analysis_.level);
    const std::vector<Literal> conflict = conflict_;
    for (const Literal literal : conflict) need(literal, trail_.size());
    const std::int32_t level = build_clause(first_unique_implication_point());
    backtrack(level);
    Reason reason;
    if (analysis_.clause.size() > 1) reason = {Reason::Maker::clause, clauses_.add(analysis_.clause, true, -1), 0, 0};
    order_.decay();
    clauses_.decay();
    return conclude(analysis_.clause.front(), reason);
}

}  // namespace oventide::prove
