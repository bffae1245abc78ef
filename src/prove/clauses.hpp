#pragma once
/// Clauses over bounds, given and learned, each watched by two of its literals (Moskewicz et al., Chaff, 2001). A
/// watch sleeps on the side whose rise makes its literal false, with the value at which it does, so that literals
/// need no variables of their own (Bit-Monnot, Enhancing hybrid CP-SAT search for disjunctive scheduling, 2023).

#include <cstdint>
#include <span>
#include <vector>

#include "prove/trail.hpp"

namespace oventide::prove {

class ClauseStore {
public:
    void add_side_pair() { watches_.resize(watches_.size() + 2); }

    /// Pre: at least two literals, no two on one side, the first two not false unless nothing else is left (after
    /// a conflict: the first is about to be set, the second was the last to become false).
    std::int32_t add(std::span<const Literal> literals, bool learned, std::int32_t origin);

    std::span<const Literal> literals(std::int32_t clause) const {
        return {arena_.data() + clauses_[clause].begin, static_cast<std::size_t>(clauses_[clause].size)};
    }
    std::int32_t origin(std::int32_t clause) const { return clauses_[clause].origin; }

    /// Takes note of a side's rise from above `previous` to `value`. Returns the clause that has become false, or -1.
    std::int32_t propagate(Trail& trail, Side side, Time previous, Time value);

    /// The clause took part in a conflict.
    void bump(std::int32_t clause);
    void decay() { step_ += step_ / 512 + 1; }

    std::int32_t learned() const { return learned_; }
    /// Forgets the less active half of the long learned clauses and all that hold for good. Pre: at level 0, settled.
    void reduce(const Trail& trail);

private:
    struct Clause {
        std::int32_t begin;
        std::int32_t size;
        std::int32_t origin;
        bool learned;
        std::uint64_t activity;
    };
    struct Watch {
        Time threshold;
        std::int32_t clause;
        Literal other;  ///< where this holds the clause needs no look
    };

    void watch(Literal literal, std::int32_t clause, Literal other);

    std::vector<Literal> arena_;
    std::vector<Clause> clauses_;
    std::vector<std::vector<Watch>> watches_;  ///< by side
    std::int32_t learned_ = 0;
    std::uint64_t step_ = 1 << 16;
};

}  // namespace oventide::prove
