#include "prove/difference.hpp"

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
    const auto id = static_cast<std::int32_t>(arc_info_.size());
    arc_info_.push_back({from, to, weight, when, origin});
    arcs_[from].push_back({to, weight, when, id});
    if (when.side >= 0) enabled_[when.side].push_back({when.value, id});
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
