#include "prove/trail.hpp"

namespace oventide::prove {

Variable Trail::add_variable(Time least, Time most) {
    const auto x = static_cast<Variable>(bound_.size() / 2);
    bound_.push_back(least);
    bound_.push_back(-most);
    root_.push_back(least);
    root_.push_back(-most);
    last_.resize(bound_.size(), -1);
    return x;
}

/// A bound may have crept up in thousands of steps: entries are skipped by jump pointers (Myers 1983, An applicative
/// random-access stack), of which each next one jumps as far as the two before it together, where those are equal.
std::int32_t Trail::jump_over(std::int32_t before) const {
    if (before < 0) return -1;
    const Entry& last = entries_[before];
    if (last.jump < 0) return before;
    const Entry& one = entries_[last.jump];
    const std::int32_t two = one.jump < 0 ? -1 : entries_[one.jump].depth;
    return last.depth - one.depth == one.depth - two ? one.jump : before;
}

std::int32_t Trail::last_before(Side side, std::int32_t length) const {
    std::int32_t index = last_[side];
    while (index >= length) {
        const Entry& entry = entries_[index];
        index = entry.jump >= length ? entry.jump : entry.before;
    }
    return index;
}

Time Trail::lower_at(Side side, std::int32_t length) const {
    const std::int32_t index = last_before(side, length);
    return index < 0 ? root_[side] : entries_[index].value;
}

std::int32_t Trail::entry_of(Literal literal, std::int32_t length) const {
    std::int32_t index = last_before(literal.side, length);
    while (index >= 0 && entries_[index].previous >= literal.value) {
        const Entry& entry = entries_[index];
        index = entry.jump >= 0 && entries_[entry.jump].value >= literal.value ? entry.jump : entry.before;
    }
    return index;
}

void Trail::push(Literal literal, Reason reason) {
    const std::int32_t before = last_[literal.side];
    const std::int32_t depth = before < 0 ? 0 : entries_[before].depth + 1;
    const Time previous = bound_[literal.side];
    entries_.push_back({literal.side, literal.value, previous, before, jump_over(before), depth, level(), reason});
    bound_[literal.side] = literal.value;
    last_[literal.side] = size() - 1;
    ++changes_;
}

void Trail::settle_root() {
    for (const Entry& entry : entries_) {
        last_[entry.side] = -1;
        root_[entry.side] = bound_[entry.side];
    }
    entries_.clear();
}

}  // namespace oventide::prove
