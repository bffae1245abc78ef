#pragma once
/// Differences y - x >= d between sides, each always or only where a literal holds, kept bounds consistent: the
/// time lags of a project and the orders that the search chooses between (a precedence of either order, De Reyck
/// and Herroelen 1998).

#include <cstdint>
#include <optional>
#include <vector>

#include "prove/trail.hpp"

namespace oventide::prove {

class DifferenceNetwork {
public:
    void add_side_pair() {
        arcs_.resize(arcs_.size() + 2);
        enabled_.resize(enabled_.size() + 2);
    }

    /// to >= from + weight, where `when` holds. Both directions of the rule get an arc; returns the first's id.
    std::int32_t add(Term from, Term to, Time weight, std::optional<Literal> when, std::int32_t origin);

    std::int32_t origin(std::int32_t arc) const { return arc_info_[arc].origin; }

    /// Calls set(literal, reason) for what follows from a side's rise from above `previous` to `value`; stops with
    /// false as soon as that does.
    template <class Set>
    bool propagate(const Trail& trail, Side side, Time previous, Time value, const Set& set) const;

    /// Calls set for what all arcs say now, for the beginning.
    template <class Set>
    bool propagate_all(const Trail& trail, const Set& set) const;

    void explain(Literal literal, const Reason& reason, std::vector<Literal>& out) const;

private:
    struct Arc {
        Side to;
        Time weight;
        Literal when;  ///< side -1: always
        std::int32_t id;
    };
    struct ArcInfo {
        Side from;
        Side to;
        Time weight;
        Literal when;
        std::int32_t origin;
    };
    struct Enabled {
        Time threshold;
        std::int32_t arc;
    };

    template <class Set>
    static bool follow(const Trail& trail, Side from, const Arc& arc, const Set& set);

    void add_arc(Side from, Side to, Time weight, Literal when, std::int32_t origin);

    std::vector<std::vector<Arc>> arcs_;         ///< by side that they leave
    std::vector<std::vector<Enabled>> enabled_;  ///< by side of the literal that enables
    std::vector<ArcInfo> arc_info_;
};

template <class Set>
bool DifferenceNetwork::follow(const Trail& trail, Side from, const Arc& arc, const Set& set) {
    const Time target = trail.lower(from) + arc.weight;
    if (trail.lower(arc.to) >= target) return true;
    const Reason reason{Reason::Maker::difference, arc.id, 0, 0};
    if (arc.when.side < 0 || trail.holds(arc.when)) return set(Literal{arc.to, target}, reason);
    if (trail.upper(arc.to) >= target || trail.fails(arc.when)) return true;
    return set(~arc.when, Reason{Reason::Maker::difference, arc.id, trail.upper(arc.to), 1});
}

template <class Set>
bool DifferenceNetwork::propagate(const Trail& trail, Side side, Time previous, Time value, const Set& set) const {
    if (trail.lower(side) == value)  // otherwise a later rise of the same side does it
        for (const Arc& arc : arcs_[side])
            if (!follow(trail, side, arc, set)) return false;
    for (const Enabled& each : enabled_[side]) {
        if (each.threshold <= previous || each.threshold > value) continue;
        const ArcInfo& info = arc_info_[each.arc];
        if (!follow(trail, info.from, Arc{info.to, info.weight, info.when, each.arc}, set)) return false;
    }
    return true;
}

template <class Set>
bool DifferenceNetwork::propagate_all(const Trail& trail, const Set& set) const {
    for (Side side = 0; side < static_cast<Side>(arcs_.size()); ++side)
        for (const Arc& arc : arcs_[side])
            if (!follow(trail, side, arc, set)) return false;
    return true;
}

}  // namespace oventide::prove
