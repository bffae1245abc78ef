#pragma once
/// The bounds of all variables, every change to them in order, and why each was made.

#include <cstdint>
#include <vector>

#include "prove/literal.hpp"

namespace oventide::prove {

/// Where a change came from; what `a` and `b` mean is known to the maker.
struct Reason {
    enum class Maker : std::int32_t { decision, clause, difference, propagator };
    Maker maker = Maker::decision;
    std::int32_t which = 0;  ///< clause, difference or propagator
    std::int32_t a = 0;
    std::int32_t b = 0;
};

class Trail {
public:
    struct Entry {
        Side side;
        Time value;
        Time previous;        ///< the bound before
        std::int32_t before;  ///< the entry that set it, -1: the root
        std::int32_t jump;    ///< one further back, -1: the root
        std::int32_t depth;   ///< how many there are before it on its side
        std::int32_t level;
        Reason reason;
    };

    Variable add_variable(Time least, Time most);
    std::int32_t sides() const { return static_cast<std::int32_t>(bound_.size()); }

    Time lower(Side side) const { return bound_[side]; }
    Time upper(Side side) const { return -bound_[opposite(side)]; }
    Time lower(Term term) const { return lower(term.side) + term.offset; }
    Time upper(Term term) const { return upper(term.side) + term.offset; }
    bool fixed(Variable x) const { return lower(rising(x)) == upper(rising(x)); }
    bool holds(Literal literal) const { return bound_[literal.side] >= literal.value; }
    bool fails(Literal literal) const { return -bound_[opposite(literal.side)] < literal.value; }

    /// The bound as it was when the trail was `length` entries long.
    Time lower_at(Side side, std::int32_t length) const;
    Time lower_at(Term term, std::int32_t length) const { return lower_at(term.side, length) + term.offset; }
    Time upper_at(Term term, std::int32_t length) const { return term.offset - lower_at(opposite(term.side), length); }

    /// The entry that made a literal true that held when the trail was `length` long; -1: true from the root.
    std::int32_t entry_of(Literal literal, std::int32_t length) const;
    const Entry& operator[](std::int32_t index) const { return entries_[index]; }
    std::int32_t size() const { return static_cast<std::int32_t>(entries_.size()); }
    std::int32_t level() const { return static_cast<std::int32_t>(levels_.size()); }

    /// How often a bound has changed so far, taken back or not.
    std::int64_t changes() const { return changes_; }
    /// Pre: the literal neither holds nor fails.
    void push(Literal literal, Reason reason);
    void open_level() { levels_.push_back(size()); }
    /// Calls released(side) for each change that is taken back, the latest first.
    template <class Released>
    void backtrack(std::int32_t to_level, const Released& released);
    /// Makes all that is known at level 0 part of the variables' domains.
    void settle_root();

private:
    /// The last entry of a side among the first `length`, -1: none.
    std::int32_t last_before(Side side, std::int32_t length) const;
    std::int32_t jump_over(std::int32_t before) const;

    std::vector<Time> bound_;
    std::vector<Time> root_;          ///< by side: the bound before all entries
    std::vector<std::int32_t> last_;  ///< by side: latest entry, -1 for none
    std::vector<Entry> entries_;
    std::vector<std::int32_t> levels_;  ///< where each level begins
    std::int64_t changes_ = 0;
};

template <class Released>
void Trail::backtrack(std::int32_t to_level, const Released& released) {
    if (to_level >= level()) return;
    const std::int32_t length = levels_[to_level];
    while (size() > length) {
        const Entry& entry = entries_.back();
        bound_[entry.side] = entry.previous;
        last_[entry.side] = entry.before;
        released(entry.side);
        entries_.pop_back();
    }
    levels_.resize(to_level);
}

}  // namespace oventide::prove
