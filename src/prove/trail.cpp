#include "prove/trail.hpp"

namespace oventide::prove {

Variable Trail::add_variable(Time least, Time most) {
    const auto x = static_cast<Variable>(bound_.size() / 2);
    bound_.push_back(least);
    bound_.push_back(-most);
    last_.resize(bound_.size(), -1);
    return x;
}

Time Trail::lower_at(Side side, std::int32_t length) const {
    Time value = bound_[side];
    for (std::int32_t index = last_[side]; index >= length; index = entries_[index].before)
        value = entries_[index].previous;
    return value;
}

std::int32_t Trail::entry_of(Literal literal, std::int32_t length) const {
    std::int32_t index = last_[literal.side];
    while (index >= length) index = entries_[index].before;
    while (index >= 0 && entries_[index].previous >= literal.value) index = entries_[index].before;
    return index;
}

void Trail::push(Literal literal, Reason reason) {
    entries_.push_back({literal.side, literal.value, bound_[literal.side], last_[literal.side], level(), reason});
    bound_[literal.side] = literal.value;
    last_[literal.side] = size() - 1;
}

void Trail::settle_root() {
    for (const Entry& entry : entries_) last_[entry.side] = -1;
    entries_.clear();
}

}  // namespace oventide::prove
