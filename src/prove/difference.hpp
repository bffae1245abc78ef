#pragma once
/// Differences y - x >= d between sides, each always or only where a literal holds, kept bounds consistent: the
/// time lags of a project and the orders that the search chooses between (a precedence of either order, De Reyck
/// and Herroelen 1998).

#include <cstdint>
#include <optional>
#include <span>
#include <vector>

#include "prove/trail.hpp"

namespace oventide::prove {

class DifferenceNetwork {
public:
    void add_side_pair() {
        arcs_.add_side_pair();
        enabled_.add_side_pair();
    }

    /// to >= from + weight, where `when` holds. Both directions of the rule get an arc; returns the first's id.
    std::int32_t add(Term from, Term to, Time weight, std::optional<Literal> when, std::int32_t origin);

    std::int32_t origin(std::int32_t arc) const { return arc_info_[arc].origin; }

    /// Calls set(literal, reason) for what follows from a side's rise from above `previous` to `value`; stops with
    /// false as soon as that does.
    template <class Set>
    bool propagate(const Trail& trail, Side side, Time previous, Time value, const Set& set) const;

    /// Calls set for what all arcs say now: at the beginning, and again before `propagate` once arcs have been added.
    template <class Set>
    bool propagate_all(const Trail& trail, const Set& set);

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

    /// Lists by side in one piece of memory. Sides that come later have empty ones.
    template <class T>
    struct BySide {
        std::vector<std::int32_t> first{0};  ///< by side, and one more
        std::vector<T> items;

        void add_side_pair() { first.resize(first.size() + 2, first.back()); }
        std::span<const T> operator[](Side side) const {
            return {items.data() + first[side], items.data() + first[side + 1]};
        }
    };

    void sort_by_side();

    template <class Set>
    static bool follow(const Trail& trail, Side from, const Arc& arc, const Set& set);

    void add_arc(Side from, Side to, Time weight, Literal when, std::int32_t origin);

    BySide<Arc> arcs_;         ///< by side that they leave
    BySide<Enabled> enabled_;  ///< by side of the literal that enables
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
bool DifferenceNetwork::propagate_all(const Trail& trail, const Set& set) {
    sort_by_side();
    for (Side side = 0; side < trail.sides(); ++side)
        for (const Arc& arc : arcs_[side])
            if (!follow(trail, side, arc, set)) return false;
    return true;
}

}  // namespace oventide::prove
