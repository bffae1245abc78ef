#include "prove/rules.hpp"

#include <algorithm>

namespace oventide::prove {

// ------------------------------------------------------------------------------------------------- maximum

namespace {
constexpr std::int32_t kResult = -1;
}

std::vector<Side> Maximum::sides() const {
    std::vector<Side> sides{result_.side};
    for (const Term term : terms_) sides.push_back(opposite(term.side));
    return sides;
}

bool Maximum::propagate(Engine& engine) {
    const Trail& trail = engine.trail();
    Time most = trail.upper(terms_.front());
    for (const Term term : terms_) most = std::max(most, trail.upper(term));
    if (!engine.conclude(at_most(result_, most), because(most, kResult))) return false;
    const Time least = trail.lower(result_);
    std::int32_t only = -1;
    for (std::int32_t i = 0; i < static_cast<std::int32_t>(terms_.size()); ++i) {
        if (trail.upper(terms_[i]) < least) continue;
        if (only >= 0) return true;
        only = i;
    }
    return engine.conclude(at_least(terms_[only], least), because(least, only));
}

void Maximum::explain(const Trail&, Literal, const Reason& reason, std::int32_t, std::vector<Literal>& out) const {
    const bool of_result = reason.b == kResult;
    if (!of_result) out.push_back(at_least(result_, reason.a));
    for (std::int32_t i = 0; i < static_cast<std::int32_t>(terms_.size()); ++i)
        if (i != reason.b) out.push_back(at_most(terms_[i], of_result ? reason.a : reason.a - 1));
}

// -------------------------------------------------------------------------------------------- weighted sum

std::vector<Side> WeightedSum::sides() const {
    std::vector<Side> sides;
    for (const Part& part : parts_) sides.push_back(part.term.side);
    return sides;
}

void WeightedSum::add_up(const Trail& trail, std::int32_t length, std::int32_t without, std::int64_t least,
                         std::vector<Literal>& out) const {
    std::int64_t spare = -least;
    for (std::int32_t i = 0; i < static_cast<std::int32_t>(parts_.size()); ++i)
        if (i != without) spare += parts_[i].factor * trail.lower_at(parts_[i].term, length);
    for (std::int32_t i = 0; i < static_cast<std::int32_t>(parts_.size()); ++i) {
        if (i == without) continue;
        // A weaker statement serves as well where the sum has something to spare.
        const Time value = trail.lower_at(parts_[i].term, length);
        const Time root = trail.lower_at(parts_[i].term, 0);
        const std::int64_t less = std::min<std::int64_t>(spare / parts_[i].factor, std::int64_t{value} - root);
        spare -= less * parts_[i].factor;
        out.push_back(at_least(parts_[i].term, value - static_cast<Time>(less)));
    }
}

bool WeightedSum::propagate(Engine& engine) {
    const Trail& trail = engine.trail();
    std::int64_t least = 0;
    for (const Part& part : parts_) least += part.factor * trail.lower(part.term);
    if (least > most_) {
        std::vector<Literal> literals;
        add_up(trail, trail.size(), -1, most_ + 1, literals);
        return engine.contradict(literals);
    }
    for (std::int32_t i = 0; i < static_cast<std::int32_t>(parts_.size()); ++i) {
        const Part& part = parts_[i];
        const std::int64_t room = (most_ - least) / part.factor;
        if (std::int64_t{trail.upper(part.term)} - trail.lower(part.term) <= room) continue;
        const Time most = trail.lower(part.term) + static_cast<Time>(room);
        if (!engine.conclude(at_most(part.term, most), because(i, 0))) return false;
    }
    return true;
}

void WeightedSum::explain(const Trail& trail, Literal literal, const Reason& reason, std::int32_t length,
                          std::vector<Literal>& out) const {
    const Part& part = parts_[reason.a];
    const std::int64_t beyond = std::int64_t{part.term.offset} - literal.value + 1;  // the least value excluded
    add_up(trail, length, reason.a, most_ + 1 - part.factor * beyond, out);
}

// ------------------------------------------------------------------------------------------- step function

Time StepFunction::first_reaching(Time value) const {
    return static_cast<Time>(std::lower_bound(table_->begin(), table_->end(), value) - table_->begin());
}

bool StepFunction::propagate(Engine& engine) {
    const Trail& trail = engine.trail();
    if (trail.fails(when_)) return true;
    const Time least = (*table_)[trail.lower(x_)];
    const Time most_y = trail.upper(y_);
    if (least > most_y) return engine.conclude(~when_, because(least, 0));
    if (!trail.holds(when_)) return true;
    return engine.conclude(at_least(y_, least), because(least, 1)) &&
           engine.conclude(at_most(x_, first_reaching(most_y + 1) - 1), because(most_y, 2));
}

void StepFunction::explain(const Trail&, Literal, const Reason& reason, std::int32_t, std::vector<Literal>& out) const {
    if (reason.b != 2) out.push_back(at_least(x_, first_reaching(reason.a)));
    if (reason.b == 0) out.push_back(at_most(y_, reason.a - 1));
    if (reason.b == 2) out.push_back(at_most(y_, reason.a));
    if (reason.b != 0) out.push_back(when_);
}

}  // namespace oventide::prove
