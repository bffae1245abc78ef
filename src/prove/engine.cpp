#include "prove/engine.hpp"

#include <algorithm>
#include <set>

namespace oventide::prove {

namespace {

constexpr std::int64_t kRestartUnit = 100;  // conflicts
constexpr std::int32_t kClausesKept = 4'000;

/// 1 1 2 1 1 2 4 ... (Luby, Sinclair and Zuckerman 1993)
std::int64_t luby(std::int64_t index) {
    std::int64_t size = 1;
    while (size < index + 1) size = 2 * size + 1;
    while (size - 1 != index) {
        size /= 2;
        index %= size;
    }
    return (size + 1) / 2;
}

}  // namespace

Variable Engine::add_variable(Time least, Time most) {
    const Variable x = trail_.add_variable(least, most);
    clauses_.add_side_pair();
    differences_.add_side_pair();
    listeners_.resize(listeners_.size() + 2);
    analysis_.entry.resize(trail_.sides(), -1);
    analysis_.needed.resize(trail_.sides(), 0);
    order_.add(x);
    if (least > most) dead_ = true;
    return x;
}

void Engine::add_clause(std::vector<Literal> literals, std::int32_t origin) {
    if (std::any_of(literals.begin(), literals.end(), [&](Literal each) { return trail_.holds(each); })) return;
    literals.erase(std::remove_if(literals.begin(), literals.end(), [&](Literal each) { return trail_.fails(each); }),
                   literals.end());
    std::sort(literals.begin(), literals.end(), [](Literal a, Literal b) {
        return a.side != b.side ? a.side < b.side : a.value < b.value;  // the weaker of two on one side says it all
    });
    literals.erase(std::unique(literals.begin(), literals.end(), [](Literal a, Literal b) { return a.side == b.side; }),
                   literals.end());
    if (literals.empty()) {
        dead_ = true;
    } else if (literals.size() == 1) {
        if (!conclude(literals.front(), {})) dead_ = true;
    } else {
        clauses_.add(literals, false, origin);
    }
}

void Engine::add_difference(Term from, Term to, Time weight, std::optional<Literal> when, std::int32_t origin) {
    differences_.add(from, to, weight, when, origin);
    begun_ = false;
}

void Engine::add_propagator(std::unique_ptr<Propagator> propagator, std::vector<Side> sides, std::int32_t origin) {
    const auto id = static_cast<std::int32_t>(propagators_.size());
    propagator->id_ = id;
    propagators_.push_back(std::move(propagator));
    propagator_origin_.push_back(origin);
    queued_.push_back(1);
    queue_.push_back(id);
    std::sort(sides.begin(), sides.end());
    sides.erase(std::unique(sides.begin(), sides.end()), sides.end());
    for (const Side side : sides) listeners_[side].push_back(id);
}

bool Engine::conclude(Literal literal, const Reason& reason) {
    if (trail_.holds(literal)) return true;
    if (!trail_.fails(literal)) {
        trail_.push(literal, reason);
        return true;
    }
    // The weakest form of the literal that still contradicts the opposite bound makes the most general conflict.
    const Literal weakest{literal.side, trail_.upper(literal.side) + 1};
    conflict_.clear();
    explain_reason(weakest, reason, trail_.size(), conflict_);
    conflict_.push_back(~weakest);
    return false;
}

bool Engine::contradict(std::span<const Literal> literals) {
    conflict_.assign(literals.begin(), literals.end());
    return false;
}

void Engine::explain_reason(Literal literal, const Reason& reason, std::int32_t length,
                            std::vector<Literal>& out) const {
    switch (reason.maker) {
        case Reason::Maker::decision:
            break;
        case Reason::Maker::clause:
            for (const Literal each : clauses_.literals(reason.which))
                if (each.side != literal.side) out.push_back(~each);
            break;
        case Reason::Maker::difference:
            differences_.explain(literal, reason, out);
            break;
        case Reason::Maker::propagator:
            propagators_[reason.which]->explain(trail_, literal, reason, length, out);
            break;
    }
}

void Engine::explain(Literal literal, std::int32_t entry, std::vector<Literal>& out) {
    const Reason& reason = trail_[entry].reason;
    if (reason.maker == Reason::Maker::clause) clauses_.bump(reason.which);
    explain_reason(literal, reason, entry, out);
}

// ---------------------------------------------------------------------------------------------- propagation

void Engine::wake(Side side) {
    for (const std::int32_t id : listeners_[side]) {
        if (queued_[id]) continue;
        queued_[id] = 1;
        queue_.push_back(id);
    }
}

void Engine::forget_queue() {
    for (const std::int32_t id : queue_) queued_[id] = 0;
    queue_.clear();
    head_ = trail_.size();
}

bool Engine::propagate_entry(const Trail::Entry& entry) {
    const std::int32_t clause = clauses_.propagate(trail_, entry.side, entry.previous, entry.value);
    if (clause >= 0) {
        clauses_.bump(clause);
        conflict_.clear();
        for (const Literal each : clauses_.literals(clause)) conflict_.push_back(~each);
        return false;
    }
    return differences_.propagate(trail_, entry.side, entry.previous, entry.value,
                                  [&](Literal literal, const Reason& reason) { return conclude(literal, reason); });
}

bool Engine::propagate() {
    std::size_t next = 0;
    const auto fail = [&] {
        forget_queue();
        return false;
    };
    for (;;) {
        while (head_ < trail_.size()) {
            const Trail::Entry entry = trail_[head_++];
            wake(entry.side);
            if (!propagate_entry(entry)) return fail();
        }
        if (next == queue_.size()) break;
        const std::int32_t id = queue_[next++];
        queued_[id] = 0;
        if (!propagators_[id]->propagate(*this)) return fail();
    }
    queue_.clear();
    return true;
}

bool Engine::propagate_root() {
    if (dead_) return false;
    if (!begun_) {
        begun_ = true;
        dead_ = !differences_.propagate_all(
            trail_, [&](Literal literal, const Reason& reason) { return conclude(literal, reason); });
    }
    if (!dead_) dead_ = !propagate();
    return !dead_;
}

Engine::Causes Engine::root_causes() const {
    std::set<std::int32_t> origins;
    std::set<Variable> variables;
    std::set<std::int32_t> entries;
    const auto visit = [&](const std::vector<Literal>& literals, std::int32_t length) {
        for (const Literal literal : literals) {
            const std::int32_t entry = trail_.entry_of(literal, length);
            if (entry >= 0)
                entries.insert(entry);
            else
                variables.insert(variable_of(literal.side));
        }
    };
    visit(conflict_, trail_.size());
    std::vector<Literal> because;
    while (!entries.empty()) {
        const std::int32_t index = *entries.rbegin();
        entries.erase(index);
        const Trail::Entry& entry = trail_[index];
        because.clear();
        explain_reason({entry.side, entry.value}, entry.reason, index, because);
        visit(because, index);
        switch (entry.reason.maker) {
            case Reason::Maker::clause:
                origins.insert(clauses_.origin(entry.reason.which));
                break;
            case Reason::Maker::difference:
                origins.insert(differences_.origin(entry.reason.which));
                break;
            case Reason::Maker::propagator:
                origins.insert(propagator_origin_[entry.reason.which]);
                break;
            case Reason::Maker::decision:
                break;
        }
    }
    return {{origins.begin(), origins.end()}, {variables.begin(), variables.end()}};
}

// --------------------------------------------------------------------------------------------------- search

void Engine::backtrack(std::int32_t level) {
    if (level >= trail_.level()) return;
    trail_.backtrack(level, [&](Side side) { order_.put_back(variable_of(side)); });
    forget_queue();
}

bool Engine::settle() {
    backtrack(0);
    if (!propagate_root()) return false;
    trail_.settle_root();
    head_ = 0;
    if (clauses_.learned() > kClausesKept + static_cast<std::int32_t>(conflicts_ / 8)) clauses_.reduce(trail_);
    return true;
}

std::optional<Literal> Engine::decide(std::optional<Literal> assumption, Guide& guide) {
    if (assumption && trail_.level() == 0) return assumption;
    if (conflicts_ < constructed_until_)
        if (const auto literal = guide.construct(trail_)) return literal;
    while (!order_.empty()) {
        const Variable x = order_.pop();
        if (!trail_.fixed(x)) {
            order_.put_back(x);
            return guide.split(trail_, x);
        }
    }
    return {};
}

Answer Engine::search(std::optional<Literal> assumption, Guide& guide, Budget& budget) {
    std::int64_t run = 0;
    std::int64_t left = luby(run) * kRestartUnit;
    if (!settle()) return Answer::none;
    for (;;) {
        const std::int64_t before = trail_.changes();
        const bool possible = propagate();
        budget.charge_changes(trail_.changes() - before);
        if (!possible) {
            ++conflicts_;
            --left;
            budget.charge_dead_end();
            if (!learn_from_conflict()) return Answer::none;
            continue;
        }
        if (left <= 0) {
            left = luby(++run) * kRestartUnit;
            if (!settle()) return Answer::none;
        }
        if (trail_.level() == 0) {
            if (!settle()) return Answer::none;
            if (assumption && trail_.fails(*assumption)) return Answer::none;
            if (assumption && trail_.holds(*assumption)) assumption.reset();
        }
        const auto decision = decide(assumption, guide);
        if (!decision) return Answer::found;
        if (budget.spent()) {
            backtrack(0);
            return Answer::out_of_budget;
        }
        budget.charge_decision();
        trail_.open_level();
        trail_.push(*decision, {});
    }
}

}  // namespace oventide::prove
