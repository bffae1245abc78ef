#pragma once
/// A project in the words of the engine: which variables there are and which rules bind them.

#include <cstdint>
#include <optional>
#include <vector>

#include "oventide/project.hpp"
#include "oventide/schedule.hpp"
#include "prove/distances.hpp"
#include "prove/engine.hpp"

namespace oventide::prove {

/// What a rule of the engine comes from.
struct Origin {
    enum class Of : std::int32_t { lag, resource, activity };
    Of of;
    std::int32_t id;
};

/// A demand of an activity: [from, to) on one of its choices.
struct DemandTerms {
    Term from;
    Term to;
    std::vector<std::optional<Literal>> chosen;  ///< by choice; nothing: there is no other
    Time shortest = 0;                           ///< how long the interval is at least; may be negative
    Time longest = 0;
    std::optional<Literal> nonempty;  ///< where that depends
    bool never_empty() const { return shortest > 0; }
    bool always_empty() const { return longest <= 0; }
};

/// A resource that is switched on at `at`, where `cold` holds.
struct ColdStart {
    ResourceId resource;
    Term at;
    Literal cold;
};

class Model {
public:
    explicit Model(const Project& project);

    Engine& engine() { return engine_; }
    const Engine& engine() const { return engine_; }
    const Project& project() const { return project_; }

    Term start(ActivityId id) const { return start_[id]; }
    const std::vector<DemandTerms>& demands(ActivityId id) const { return demands_[id]; }

    /// What a goal minimises; nothing where its values do not fit in the engine's numbers.
    std::optional<Term> objective(int goal) const { return objectives_[goal]; }

    /// Sums that a goal's objective is made of, the smallest first.
    const std::vector<Term>& partial_sums(int goal) const { return partial_sums_[goal]; }

    /// After Engine::search has found values.
    Schedule read_schedule() const;
    Origin origin(std::int32_t code) const { return {static_cast<Origin::Of>(code % 3), code / 3}; }
    /// The activity whose start a variable is; -1: another variable.
    ActivityId activity_of(Variable x) const { return x <= static_cast<Variable>(start_.size()) ? x - 1 : -1; }

private:
    friend class StateModel;
    friend class GoalModel;

    static std::int32_t code(Origin::Of of, std::int32_t id) { return 3 * id + static_cast<std::int32_t>(of); }

    void add_starts();
    void add_lags();
    void add_ends();
    void add_demands();
    void add_choices(ActivityId id, std::int32_t index, DemandTerms& terms);
    void add_capacities();
    void add_capacity(ResourceId id);
    void add_pooled_capacities();
    void add_orders();

    Term moment(ActivityId id, const Moment& moment) const;
    Term add_maximum(std::vector<Term> terms, std::int32_t origin);
    Literal add_literal() { return is_true(engine_.add_flag()); }
    template <class Rule>
    void add_rule(std::unique_ptr<Rule> rule, std::int32_t origin);

    /// True: later >= earlier whatever is decided.
    bool always_in_order(Term earlier, Term later) const;
    bool never_in_order(Term earlier, Term later) const;

    /// A use of a resource by a demand, where that choice is taken.
    struct Claim {
        ActivityId activity;
        std::int32_t demand;
        std::optional<Literal> chosen;
    };
    std::vector<Claim> claims_on(ResourceId id) const;
    /// What must hold for the claim to take anything.
    std::vector<Literal> conditions(const Claim& claim) const;
    const DemandTerms& terms(const Claim& claim) const { return demands_[claim.activity][claim.demand]; }

    /// Where all of `when` holds: y - x <= low or y - x >= high. Gathered first, so that what follows from the lags
    /// alone needs no decision.
    struct Gap {
        Term x;
        Term y;
        Time low;
        Time high;
        std::vector<Literal> when;
        std::int32_t origin;
    };
    /// later >= earlier
    struct InOrder {
        Term earlier;
        Term later;
    };
    /// Where all of `when` holds, one of these orders does.
    void add_alternatives(const std::vector<Literal>& when, const std::vector<InOrder>& orders, std::int32_t origin);
    void forbid_between(Term x, Term y, Time low, Time high, std::vector<Literal> when, std::int32_t origin);
    void drop_contained_gaps();
    void decide_gaps();
    bool decide_gap(const Gap& gap);
    void settle_gap(const Gap& gap, bool above);
    void emit_gap(const Gap& gap);
    /// Longest path from x to y, offsets included; Distances::kNone where it is not known.
    Time distance(Term x, Term y) const;

    const Project& project_;
    Engine engine_;
    Term zero_;
    std::vector<Term> start_;
    std::vector<Term> end_;
    std::vector<std::vector<DemandTerms>> demands_;
    std::optional<Distances> distances_;
    std::vector<Gap> gaps_;
    std::vector<ColdStart> cold_starts_;
    std::vector<std::optional<Term>> objectives_;  ///< by goal
    std::vector<std::vector<Term>> partial_sums_;  ///< by goal
};

template <class Rule>
void Model::add_rule(std::unique_ptr<Rule> rule, std::int32_t origin) {
    auto sides = rule->sides();
    engine_.add_propagator(std::move(rule), std::move(sides), origin);
}

}  // namespace oventide::prove
