#pragma once
/// A project made ready for passes: at-once blocks are one unit each, lags lie between units, ids are dense.

#include <algorithm>
#include <cstdint>
#include <span>
#include <vector>

#include "oventide/project.hpp"
#include "oventide/schedule.hpp"
#include "profile/busy_span.hpp"

namespace oventide::scheduling {

using UnitId = std::int32_t;

/// Lists by unit in one piece of memory.
template <class T>
struct Lists {
    std::vector<std::int32_t> first;  ///< by unit, and one more
    std::vector<T> items;
    std::span<const T> operator[](UnitId unit) const {
        return {items.data() + first[unit], items.data() + first[unit + 1]};
    }
};

/// The start of `unit` plus `shift` pushes an end of a demand (an activity that holds it starts there).
struct Pull {
    UnitId unit = 0;
    Time shift = 0;
    bool moves_from = false;
    bool moves_to = false;
};

/// One demand of a unit. `span` holds all but the pulls of other units.
struct Need {
    ActivityId activity = 0;
    std::int32_t index = 0;  ///< of the demand in its activity
    const Demand* demand = nullptr;
    // What every pass reads of the demand stands here too: in large projects fetching it from there takes longest.
    std::int32_t first_choice = 0;  ///< in Model::choices
    std::int32_t last_choice = 0;   ///< one past
    std::int32_t amount = 0;
    profile::BusySpan span;  ///< counted from the unit's start
    Time offset = 0;         ///< of the activity in its unit
    std::vector<Pull> pulls;
    bool has_state = false;

    /// Other units push its beginning, too: its start alone does not say when it is busy.
    bool begin_is_open() const {
        return std::any_of(pulls.begin(), pulls.end(), [](const Pull& pull) { return pull.moves_from; });
    }
};

struct Link {
    UnitId unit = 0;
    Time lag = 0;
};

struct Unit {
    Time earliest = 0;  ///< window from lags, releases and dues
    Time latest = 0;
    Time length = 0;  ///< to the latest 'ready' of a member
    std::int32_t first_need = 0;
    std::int32_t last_need = 0;  ///< one past
    std::int32_t kind = -1;      ///< units of one kind (>= 0) want the same of the resources; -1: it depends on others
    bool linked = false;         ///< in a cycle of lags, or at one end of a lone maximum lag
};

struct Model {
    const Project* project = nullptr;
    std::vector<Unit> units;
    std::vector<Need> needs;
    std::vector<ResourceId> choices;  ///< of all needs, one after the other
    std::vector<UnitId> unit_of;      ///< by activity
    std::vector<Time> offset;         ///< by activity, in its unit
    Lists<Link> out;                  ///< start(link.unit) >= start(unit) + lag
    Lists<Link> in;                   ///< start(unit) >= start(link.unit) + lag
    Lists<UnitId> later;              ///< must be placed before this unit is: successors and users
    Lists<UnitId> earlier;            ///< wait until this unit is placed
    std::int32_t kinds = 0;
    bool ends_open = false;  ///< some users could not be ordered after what they use: ends must be looked at again
    std::vector<Lag> contradiction;  ///< the windows alone are impossible: nothing else is filled in

    std::int32_t count() const { return static_cast<std::int32_t>(units.size()); }
    std::span<const Need> needs_of(UnitId unit) const {
        return {needs.data() + units[unit].first_need, needs.data() + units[unit].last_need};
    }
    std::span<const ResourceId> choices_of(const Need& need) const {
        return {choices.data() + need.first_choice, choices.data() + need.last_choice};
    }
};

Model make_model(const Project& project);

}  // namespace oventide::scheduling
