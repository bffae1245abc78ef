#pragma once
/// The search: propagate, decide, learn from each dead end, restart. It knows bounds, clauses, differences and
/// propagators; nothing of activities.

#include <atomic>
#include <cstdint>
#include <memory>
#include <optional>
#include <span>
#include <vector>

#include "prove/activity_order.hpp"
#include "prove/clauses.hpp"
#include "prove/difference.hpp"
#include "prove/literal.hpp"
#include "prove/trail.hpp"

namespace oventide::prove {

class Engine;

/// A rule too large for clauses and differences.
class Propagator {
public:
    virtual ~Propagator() = default;
    /// Draws conclusions with Engine::conclude and Engine::contradict; false as soon as either says so.
    virtual bool propagate(Engine& engine) = 0;
    /// Literals that held when the trail was `length` long and from which `literal` follows. `reason` is what
    /// was given with the conclusion.
    virtual void explain(const Trail& trail, Literal literal, const Reason& reason, std::int32_t length,
                         std::vector<Literal>& out) const = 0;

protected:
    Reason because(std::int32_t a, std::int32_t b) const { return {Reason::Maker::propagator, id_, a, b}; }

private:
    friend class Engine;
    std::int32_t id_ = -1;
};

/// What to try first.
class Guide {
public:
    virtual ~Guide() = default;
    /// The next decision of a plain construction; nothing where the guide has no more to say.
    virtual std::optional<Literal> construct(const Trail& trail) = 0;
    /// A literal on a variable that is not fixed, neither true nor false.
    virtual Literal split(const Trail& trail, Variable x) = 0;
};

/// How much more may be spent. A dead end costs one node, and so do as many decisions as are cheaper than one; and as
/// many changes of bounds as a long dead end makes, where bounds creep.
struct Budget {
    static constexpr std::int64_t kDecisions = 10;
    static constexpr std::int64_t kChanges = 10'000;

    std::int64_t nodes = 0;
    const std::atomic<bool>* stop = nullptr;
    std::int64_t decisions = 0;  ///< since the last node that they cost
    std::int64_t changes = 0;    ///< likewise

    bool spent() const { return nodes <= 0 || (stop != nullptr && stop->load(std::memory_order_relaxed)); }
    void charge_dead_end() { --nodes; }
    void charge_changes(std::int64_t made) {
        changes += made;
        nodes -= changes / kChanges;
        changes %= kChanges;
    }
    void charge_decision() {
        if (++decisions < kDecisions) return;
        decisions = 0;
        --nodes;
    }
};

enum class Answer { found, none, out_of_budget };

class Engine {
public:
    // -- the model; everything is added at level 0. `origin` comes back in root_causes().
    Variable add_variable(Time least, Time most);
    Variable add_flag() { return add_variable(0, 1); }
    void add_clause(std::vector<Literal> literals, std::int32_t origin = -1);
    void add_difference(Term from, Term to, Time weight, std::optional<Literal> when = {}, std::int32_t origin = -1);
    /// The propagator runs at first and whenever one of `sides` rises.
    void add_propagator(std::unique_ptr<Propagator> propagator, std::vector<Side> sides, std::int32_t origin = -1);

    const Trail& trail() const { return trail_; }

    /// Propagates at the root, keeping the reasons; false: there is nothing left.
    bool propagate_root();
    /// After propagate_root has failed before any search: origins of all that took part, and the variables whose
    /// domains did; sorted.
    struct Causes {
        std::vector<std::int32_t> origins;
        std::vector<Variable> variables;
    };
    Causes root_causes() const;

    /// Looks for values of all variables that keep every rule, with the assumption if there is one. `found` leaves
    /// them on the trail; backtrack() must follow. `none` under an assumption leaves it false at the root.
    Answer search(std::optional<Literal> assumption, Guide& guide, Budget& budget);
    void backtrack(std::int32_t level = 0);
    /// As at first, the guide constructs before activity decides.
    void construct_again() { constructed_until_ = conflicts_ + kConstructions; }
    std::int64_t conflicts() const { return conflicts_; }

    // -- for propagators
    bool conclude(Literal literal, const Reason& reason);
    bool contradict(std::span<const Literal> literals);  ///< these all hold and cannot together; returns false

    /// For the analysis of conflicts.
    void explain(Literal literal, std::int32_t entry, std::vector<Literal>& out);
    void bump(Variable x) { order_.bump(x); }

private:
    bool propagate();
    bool propagate_entry(const Trail::Entry& entry);
    void wake(Side side);
    void forget_queue();
    bool settle();
    bool learn_from_conflict();
    std::optional<Literal> decide(std::optional<Literal> assumption, Guide& guide);
    void explain_reason(Literal literal, const Reason& reason, std::int32_t length, std::vector<Literal>& out) const;

    Trail trail_;
    ClauseStore clauses_;
    DifferenceNetwork differences_;
    std::vector<std::unique_ptr<Propagator>> propagators_;
    std::vector<std::int32_t> propagator_origin_;
    std::vector<std::vector<std::int32_t>> listeners_;  ///< by side
    std::vector<std::int32_t> queue_;
    std::vector<char> queued_;
    std::int32_t head_ = 0;  ///< entries of the trail before this one are propagated
    bool begun_ = false;     ///< every difference has been looked at once
    bool dead_ = false;      ///< a contradiction at the root
    std::vector<Literal> conflict_;
    ActivityOrder order_;
    static constexpr std::int64_t kConstructions = 50;  ///< conflicts
    std::int64_t conflicts_ = 0;
    std::int64_t constructed_until_ = kConstructions;
    std::vector<Literal> scratch_;

    // Conflict analysis, see analysis.cpp.
    struct Analysis {
        std::vector<std::int32_t> entry;  ///< by side: the trail entry that the conflict needs, -1: none
        std::vector<Time> needed;         ///< by side: the bound that the conflict needs
        std::vector<Side> members;
        std::int32_t level = 0;
        std::int32_t open = 0;  ///< members of the conflict's level
        std::vector<Literal> clause;
    } analysis_;
    std::int32_t conflict_level() const;
    void need(Literal literal, std::int32_t length);
    Literal first_unique_implication_point();
    bool redundant(Side side, int depth);
    bool implied(Literal literal, std::int32_t length, int depth);
    std::int32_t build_clause(Literal point);
};

}  // namespace oventide::prove
