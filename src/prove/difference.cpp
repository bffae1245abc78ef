#include "prove/difference.hpp"

#include <algorithm>
#include <numeric>

namespace oventide::prove {

std::int32_t DifferenceNetwork::add(Term from, Term to, Time weight, std::optional<Literal> when, std::int32_t origin) {
    const auto first = static_cast<std::int32_t>(arc_info_.size());
    const Time bare = from.offset + weight - to.offset;
    const Literal condition = when.value_or(Literal{});
    add_arc(from.side, to.side, bare, condition, origin);
    add_arc(opposite(to.side), opposite(from.side), bare, condition, origin);
    return first;
}

void DifferenceNetwork::add_arc(Side from, Side to, Time weight, Literal when, std::int32_t origin) {
    arc_info_.push_back({from, to, weight, when, origin});
}

/// By counting, so that of one side the first added stays the first.
void DifferenceNetwork::sort_by_side() {
    std::ranges::fill(arcs_.first, 0);
    std::ranges::fill(enabled_.first, 0);
    for (const ArcInfo& arc : arc_info_) {
        ++arcs_.first[arc.from + 1];
        if (arc.when.side >= 0) ++enabled_.first[arc.when.side + 1];
    }
    std::partial_sum(arcs_.first.begin(), arcs_.first.end(), arcs_.first.begin());
    std::partial_sum(enabled_.first.begin(), enabled_.first.end(), enabled_.first.begin());
    arcs_.items.resize(arcs_.first.back());
    enabled_.items.resize(enabled_.first.back());
    std::vector<std::int32_t> next_arc = arcs_.first;
    std::vector<std::int32_t> next_enabled = enabled_.first;
    for (std::int32_t id = 0; id < static_cast<std::int32_t>(arc_info_.size()); ++id) {
        const ArcInfo& arc = arc_info_[id];
        arcs_.items[next_arc[arc.from]++] = {arc.to, arc.weight, arc.when, id};
        if (arc.when.side >= 0) enabled_.items[next_enabled[arc.when.side]++] = {arc.when.value, id};
    }
}

void DifferenceNetwork::explain(Literal literal, const Reason& reason, std::vector<Literal>& out) const {
    const ArcInfo& arc = arc_info_[reason.which];
    const bool disabled = reason.b == 1;
    if (disabled) {
        const Time most = reason.a;
        out.push_back(at_most(Term{arc.to, 0}, most));
        out.push_back({arc.from, most + 1 - arc.weight});
        return;
    }
    out.push_back({arc.from, literal.value - arc.weight});
    if (arc.when.side >= 0) out.push_back(arc.when);
}

}  // namespace oventide::prove
