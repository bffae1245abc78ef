#pragma once
/// Small rules between a few terms: a maximum, a weighted sum, a step function.

#include <cstdint>
#include <memory>
#include <vector>

#include "prove/engine.hpp"

namespace oventide::prove {

/// result <= max(terms). (That it is no less is a matter of differences.)
class Maximum : public Propagator {
public:
    Maximum(Term result, std::vector<Term> terms) : result_(result), terms_(std::move(terms)) {}
    std::vector<Side> sides() const;
    bool propagate(Engine& engine) override;
    void explain(const Trail& trail, Literal literal, const Reason& reason, std::int32_t length,
                 std::vector<Literal>& out) const override;

private:
    Term result_;
    std::vector<Term> terms_;
};

/// Sum of factor * term <= most; factors are positive.
class WeightedSum : public Propagator {
public:
    struct Part {
        std::int64_t factor;
        Term term;
    };
    WeightedSum(std::vector<Part> parts, std::int64_t most) : parts_(std::move(parts)), most_(most) {}
    std::vector<Side> sides() const;
    bool propagate(Engine& engine) override;
    void explain(const Trail& trail, Literal literal, const Reason& reason, std::int32_t length,
                 std::vector<Literal>& out) const override;

private:
    /// Statements from which the parts but `without` add up to `least` or more.
    void add_up(const Trail& trail, std::int32_t length, std::int32_t without, std::int64_t least,
                std::vector<Literal>& out) const;

    std::vector<Part> parts_;
    std::int64_t most_;
};

/// Where `when` holds, y >= table[x]. The table never falls and covers all values of x.
class StepFunction : public Propagator {
public:
    using Table = std::vector<Time>;
    StepFunction(Literal when, Term x, Term y, std::shared_ptr<const Table> table)
        : when_(when), x_(x), y_(y), table_(std::move(table)) {}
    std::vector<Side> sides() const { return {when_.side, x_.side, opposite(y_.side)}; }
    bool propagate(Engine& engine) override;
    void explain(const Trail& trail, Literal literal, const Reason& reason, std::int32_t length,
                 std::vector<Literal>& out) const override;

private:
    Time first_reaching(Time value) const;  ///< the least x at which the table is `value` or more

    Literal when_;
    Term x_;
    Term y_;
    std::shared_ptr<const Table> table_;
};

}  // namespace oventide::prove
