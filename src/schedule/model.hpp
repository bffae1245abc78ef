#pragma once
/// A project made ready for passes: at-once blocks are one unit each, lags lie between units, ids are dense.

#include <algorithm>
#include <cstdint>
#include <span>
#include <vector>

#include "oventide/project.hpp"
#include "oventide/schedule.hpp"
#include "profile/busy_span.hpp"
#include "profile/programme.hpp"

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

/// Items `first` to `last` - 1 of one of the model's vectors.
struct Range {
    std::int32_t first = 0;
    std::int32_t last = 0;
    bool empty() const { return first == last; }
};

/// One demand of a unit. `span` holds all but the pulls of other units. What every pass reads of the demand stands here
/// too, in no more than a line of the processor's caches: in large projects fetching it takes longest.
struct Need {
    const Demand* demand = nullptr;
    ActivityId activity = 0;
    std::int32_t amount = 0;
    profile::BusySpan span;  ///< counted from the unit's start
    Time offset = 0;         ///< of the activity in its unit
    Time sealed = 0;
    Range choices;  ///< in Model::choices
    Range pulls;    ///< in Model::pulls
    Range stages;   ///< in Model::stages

    bool has_state() const { return !stages.empty(); }
};
static_assert(sizeof(Need) <= 64);

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
    std::vector<Pull> pulls;
    std::vector<Stage> stages;
    std::vector<UnitId> unit_of;  ///< by activity
    std::vector<Time> offset;     ///< by activity, in its unit
    Lists<Link> out;              ///< start(link.unit) >= start(unit) + lag
    Lists<Link> in;               ///< start(unit) >= start(link.unit) + lag
    Lists<UnitId> later;          ///< must be placed before this unit is: successors and users
    Lists<UnitId> earlier;        ///< wait until this unit is placed
    std::int32_t kinds = 0;
    bool ends_open = false;  ///< some users could not be ordered after what they use: ends must be looked at again
    std::vector<Lag> contradiction;  ///< the windows alone are impossible: nothing else is filled in

    std::int32_t count() const { return static_cast<std::int32_t>(units.size()); }
    std::span<const Need> needs_of(UnitId unit) const {
        return {needs.data() + units[unit].first_need, needs.data() + units[unit].last_need};
    }
    std::span<const ResourceId> choices_of(const Need& need) const {
        return {choices.data() + need.choices.first, choices.data() + need.choices.last};
    }
    std::span<const Pull> pulls_of(const Need& need) const {
        return {pulls.data() + need.pulls.first, pulls.data() + need.pulls.last};
    }
    profile::Programme programme_of(const Need& need) const {
        return {{stages.data() + need.stages.first, stages.data() + need.stages.last}, need.sealed};
    }

    /// Other units push its beginning, too: its start alone does not say when it is busy.
    bool begin_is_open(const Need& need) const {
        return std::ranges::any_of(pulls_of(need), [](const Pull& pull) { return pull.moves_from; });
    }
    /// Of the need's demand in its activity.
    std::size_t index_of(const Need& need) const {
        return static_cast<std::size_t>(need.demand - project->activities[need.activity].demands.data());
    }
};

Model make_model(const Project& project);

}  // namespace oventide::scheduling
