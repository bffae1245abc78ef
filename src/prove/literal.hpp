#pragma once
/// Whole-number variables known by their bounds, and the statements about bounds that the search reasons with.
///
/// Each variable x has two sides, x and -x; everything is said as a lower bound on a side, so that each rule is
/// written once and holds for both directions of time. Truth values are variables from 0 to 1.

#include <cstdint>

#include "oventide/time.hpp"

namespace oventide::prove {

using Variable = std::int32_t;
using Side = std::int32_t;

constexpr Side rising(Variable x) { return 2 * x; }
constexpr Side falling(Variable x) { return 2 * x + 1; }
constexpr Side opposite(Side side) { return side ^ 1; }
constexpr Variable variable_of(Side side) { return side >> 1; }

/// The side is at least `value`.
struct Literal {
    Side side = -1;
    Time value = 0;
    friend bool operator==(const Literal&, const Literal&) = default;
};

constexpr Literal operator~(Literal literal) { return {opposite(literal.side), 1 - literal.value}; }

constexpr Literal is_true(Variable flag) { return {rising(flag), 1}; }
constexpr Literal is_false(Variable flag) { return {falling(flag), 0}; }

/// A side plus a constant.
struct Term {
    Side side = 0;
    Time offset = 0;
    friend bool operator==(const Term&, const Term&) = default;
};

constexpr Term operator-(Term term) { return {opposite(term.side), -term.offset}; }
constexpr Term operator+(Term term, Time more) { return {term.side, term.offset + more}; }

constexpr Literal at_least(Term term, Time value) { return {term.side, value - term.offset}; }
constexpr Literal at_most(Term term, Time value) { return {opposite(term.side), term.offset - value}; }

}  // namespace oventide::prove
