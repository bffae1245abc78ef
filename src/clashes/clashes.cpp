#include "oventide/clashes.hpp"

#include <algorithm>
#include <map>
#include <set>
#include <tuple>

#include "clashes/alone.hpp"

namespace oventide {
namespace {

/// A demand of a component that is planned alone.
struct Want {
    ActivityId activity = 0;
    int demand = 0;
    ComponentIndex component = 0;
    std::int32_t amount = 0;
    Interval when;
};

using Pool = std::vector<ResourceId>;  ///< sorted: resources of which any will do

struct Overlay {
    const Expansion& expansion;
    const Schedule& alone;
    const Schedule& actual;
};

std::map<Pool, std::vector<Want>> wants_by_pool(const Overlay& overlay) {
    std::map<Pool, std::vector<Want>> wants;
    const Project& project = overlay.expansion.project;
    for (ActivityId id = 0; id < static_cast<ActivityId>(project.activities.size()); ++id) {
        const auto& demands = project.activities[id].demands;
        for (int k = 0; k < static_cast<int>(demands.size()); ++k) {
            const Interval when = demand_interval(project, overlay.alone, id, k);
            if (when.from >= when.to) continue;
            Pool pool = demands[k].choices;
            std::sort(pool.begin(), pool.end());
            const ComponentIndex component = overlay.expansion.batches[overlay.expansion.tasks[id].batch].component;
            wants[pool].push_back({id, k, component, demands[k].amount, when});
        }
    }
    return wants;
}

bool within(const Pool& part, const Pool& whole) {
    return std::includes(whole.begin(), whole.end(), part.begin(), part.end());
}

/// Pools that are asked for, and the unions of those that have something in common: where each of two people could
/// be had but not both, only their union shows it. Small ones first.
std::vector<Pool> pools_to_look_at(const std::map<Pool, std::vector<Want>>& wants) {
    std::set<Pool> all;
    for (const auto& [pool, ignored] : wants) all.insert(pool);
    std::vector<Pool> unions;
    for (const Pool& pool : all) {
        Pool merged = pool;
        std::erase_if(unions, [&](const Pool& other) {
            Pool common;
            std::set_intersection(merged.begin(), merged.end(), other.begin(), other.end(), std::back_inserter(common));
            if (common.empty()) return false;
            Pool both;
            std::set_union(merged.begin(), merged.end(), other.begin(), other.end(), std::back_inserter(both));
            merged = both;
            return true;
        });
        unions.push_back(merged);
    }
    all.insert(unions.begin(), unions.end());
    std::vector<Pool> sorted(all.begin(), all.end());
    std::stable_sort(sorted.begin(), sorted.end(), [](const Pool& a, const Pool& b) { return a.size() < b.size(); });
    return sorted;
}

std::int32_t capacity_at(const Project& project, const Pool& pool, Time at) {
    std::int32_t sum = 0;
    for (const ResourceId id : pool) {
        const auto& steps = project.resources[id].capacity;
        const auto after = std::upper_bound(steps.begin(), steps.end(), at,
                                            [](Time time, const CapacityStep& step) { return time < step.from; });
        if (after != steps.begin()) sum += std::prev(after)->capacity;
    }
    return sum;
}

bool several_components(const std::vector<const Want*>& wants) {
    return std::any_of(wants.begin(), wants.end(),
                       [&](const Want* want) { return want->component != wants.front()->component; });
}

// -------------------------------------------------------------------------------------- stretches into clashes

/// A stretch of time in which some wants cannot all be met.
struct Stretch {
    Interval when;
    std::int32_t wanted = 0;
    std::int32_t available = 0;
    std::vector<const Want*> wants;
};

Clash::Claim claim_of(const Overlay& overlay, const Want& want) {
    const ResourceId chosen = overlay.actual.chosen[want.activity][want.demand];
    const Project& project = overlay.expansion.project;
    if (overlay.expansion.demands[want.activity][want.demand].kind == DemandInfo::Kind::wash_hands)
        return {want.activity, want.when.from,
                demand_interval(project, overlay.actual, want.activity, want.demand).from, chosen, true};
    return {want.activity, overlay.alone.start[want.activity], overlay.actual.start[want.activity], chosen, false};
}

Clash clash_of(const Overlay& overlay, Clash::Kind kind, const Pool& pool, const Stretch& stretch) {
    Clash clash{kind, pool, stretch.when, stretch.wanted, stretch.available, 0, {}};
    for (const Want* want : stretch.wants) clash.claims.push_back(claim_of(overlay, *want));
    std::sort(clash.claims.begin(), clash.claims.end(), [](const Clash::Claim& a, const Clash::Claim& b) {
        return std::tie(a.alone, a.activity, a.washing, a.chosen) < std::tie(b.alone, b.activity, b.washing, b.chosen);
    });
    clash.claims.erase(std::unique(clash.claims.begin(), clash.claims.end(),
                                   [](const Clash::Claim& a, const Clash::Claim& b) {
                                       return a.activity == b.activity && a.washing == b.washing;
                                   }),
                       clash.claims.end());
    return clash;
}

/// Stretches that follow each other without a gap are one, as bad as the worst of them.
void add_merged(std::vector<Stretch>& merged, Stretch next) {
    if (merged.empty() || merged.back().when.to != next.when.from) return merged.push_back(std::move(next));
    Stretch& last = merged.back();
    last.when.to = next.when.to;
    if (next.wanted - next.available > last.wanted - last.available) {
        last.wanted = next.wanted;
        last.available = next.available;
    }
    last.wants.insert(last.wants.end(), next.wants.begin(), next.wants.end());
}

/// The times at which something changes for these wants.
std::vector<Time> moments_of(const Project& project, const Pool& pool, const std::vector<const Want*>& wants) {
    std::vector<Time> moments;
    for (const Want* want : wants) {
        moments.push_back(want->when.from);
        moments.push_back(want->when.to);
    }
    if (moments.empty()) return moments;
    const auto [first, last] = std::minmax_element(moments.begin(), moments.end());
    const Interval whole{*first, *last};
    for (const ResourceId id : pool)
        for (const CapacityStep& step : project.resources[id].capacity)
            if (whole.from < step.from && step.from < whole.to) moments.push_back(step.from);
    std::sort(moments.begin(), moments.end());
    moments.erase(std::unique(moments.begin(), moments.end()), moments.end());
    return moments;
}

// ---------------------------------------------------------------------------------------------------- capacity

bool covered(const std::vector<Interval>& by, Interval when) {
    return std::any_of(by.begin(), by.end(),
                       [&](const Interval& one) { return one.from <= when.from && when.to <= one.to; });
}

std::vector<Stretch> too_many(const Overlay& overlay, const Pool& pool, const std::vector<const Want*>& wants) {
    std::vector<Stretch> found;
    const auto moments = moments_of(overlay.expansion.project, pool, wants);
    for (std::size_t k = 0; k + 1 < moments.size(); ++k) {
        Stretch stretch{{moments[k], moments[k + 1]}, 0, 0, {}};
        for (const Want* want : wants) {
            if (want->when.from > moments[k] || want->when.to <= moments[k]) continue;
            stretch.wanted += want->amount;
            stretch.wants.push_back(want);
        }
        stretch.available = capacity_at(overlay.expansion.project, pool, moments[k]);
        if (stretch.wanted > stretch.available && several_components(stretch.wants))
            add_merged(found, std::move(stretch));
    }
    return found;
}

// ------------------------------------------------------------------------------------------- settings and doors

const Demand& demand_of(const Overlay& overlay, const Want& want) {
    return overlay.expansion.project.activities[want.activity].demands[want.demand];
}

/// What a want is set to at a minute; -1 where it is past its stages.
SettingId setting_at(const Overlay& overlay, const Want& want, Time at) {
    Time until = overlay.alone.start[want.activity];
    for (const Stage& stage : demand_of(overlay, want).stages) {
        until += stage.lasts;
        if (at < until) return stage.setting;
    }
    return -1;
}

/// More settings at once than there are state resources; an exclusive one needs a resource for itself.
std::vector<Stretch> too_many_settings(const Overlay& overlay, const Pool& pool,
                                       const std::vector<const Want*>& wants) {
    std::vector<Stretch> found;
    std::vector<Time> moments = moments_of(overlay.expansion.project, pool, wants);
    for (const Want* want : wants) {
        Time at = overlay.alone.start[want->activity];
        for (const Stage& stage : demand_of(overlay, *want).stages) moments.push_back(at += stage.lasts);
    }
    std::sort(moments.begin(), moments.end());
    moments.erase(std::unique(moments.begin(), moments.end()), moments.end());
    for (std::size_t k = 0; k + 1 < moments.size(); ++k) {
        Stretch stretch{{moments[k], moments[k + 1]}, 0, static_cast<std::int32_t>(pool.size()), {}};
        std::set<SettingId> settings;
        for (const Want* want : wants) {
            if (want->when.from > moments[k] || want->when.to <= moments[k]) continue;
            const SettingId setting = setting_at(overlay, *want, moments[k]);
            if (setting < 0) continue;
            stretch.wants.push_back(want);
            if (overlay.expansion.project.settings[setting].exclusive)
                ++stretch.wanted;
            else
                settings.insert(setting);
        }
        stretch.wanted += static_cast<std::int32_t>(settings.size());
        if (stretch.wanted > stretch.available && several_components(stretch.wants))
            add_merged(found, std::move(stretch));
    }
    return found;
}

/// Pairs on a state resource that has no other to stand in for it: the second too soon for the change of setting.
void add_changes(const Overlay& overlay, const Pool& pool, const std::vector<const Want*>& wants,
                 std::vector<Clash>& clashes) {
    const auto& transition = overlay.expansion.project.resources[pool.front()].state.transition;
    for (const Want* before : wants) {
        for (const Want* after : wants) {
            const Time start = overlay.alone.start[after->activity];
            if (before->component == after->component || before->when.to > start) continue;
            Time end = overlay.alone.start[before->activity];
            Stretch stretch{{0, 0}, 2, 1, {before, after}};
            Time too_soon = 0;
            for (const Stage& stage : demand_of(overlay, *before).stages) {
                end += stage.lasts;
                const Time needed = transition[stage.setting][demand_of(overlay, *after).stages.front().setting];
                if (end + needed - start <= too_soon) continue;
                too_soon = end + needed - start;
                stretch.when = {end, end + needed};
            }
            if (too_soon <= 0) continue;
            clashes.push_back(clash_of(overlay, Clash::Kind::setting, pool, stretch));
            clashes.back().too_soon = too_soon;
        }
    }
}

/// One goes in or comes out while the door must stay shut for another.
void add_doors(const Overlay& overlay, const Pool& pool, const std::vector<const Want*>& wants,
               std::vector<Clash>& clashes) {
    for (const Want* shut : wants) {
        const Time start = overlay.alone.start[shut->activity];
        const Interval sealed{start, start + demand_of(overlay, *shut).sealed};
        for (const Want* other : wants) {
            if (other->component == shut->component) continue;
            for (const Time at : {other->when.from, other->when.to}) {
                if (at <= sealed.from || at >= sealed.to) continue;
                clashes.push_back(clash_of(overlay, Clash::Kind::door, pool, {sealed, 2, 1, {shut, other}}));
                break;
            }
        }
    }
}

}  // namespace

std::vector<Clash> find_clashes(const Expansion& expansion, const Schedule& schedule) {
    const Schedule alone = clashes::plan_alone(expansion);
    const Overlay overlay{expansion, alone, schedule};
    const auto by_pool = wants_by_pool(overlay);
    std::vector<Clash> clashes;
    std::vector<std::pair<Pool, std::vector<Interval>>> known;  // what a smaller pool has shown already
    for (const Pool& pool : pools_to_look_at(by_pool)) {
        std::vector<const Want*> wants;
        std::vector<Interval> shown;
        for (const auto& [part, its] : by_pool)
            if (within(part, pool))
                for (const Want& want : its) wants.push_back(&want);
        for (const auto& [part, when] : known)
            if (within(part, pool)) shown.insert(shown.end(), when.begin(), when.end());
        std::vector<Interval> found;
        for (const Stretch& stretch : too_many(overlay, pool, wants)) {
            found.push_back(stretch.when);
            if (!covered(shown, stretch.when))
                clashes.push_back(clash_of(overlay, Clash::Kind::capacity, pool, stretch));
        }
        known.emplace_back(pool, found);
        std::erase_if(wants, [&](const Want* want) { return demand_of(overlay, *want).stages.empty(); });
        if (wants.empty()) continue;
        for (const Stretch& stretch : too_many_settings(overlay, pool, wants))
            clashes.push_back(clash_of(overlay, Clash::Kind::setting, pool, stretch));
        if (pool.size() > 1) continue;
        add_changes(overlay, pool, wants, clashes);
        add_doors(overlay, pool, wants, clashes);
    }
    std::stable_sort(clashes.begin(), clashes.end(), [](const Clash& a, const Clash& b) {
        return std::tie(a.when.from, a.resources, a.kind) < std::tie(b.when.from, b.resources, b.kind);
    });
    return clashes;
}

}  // namespace oventide
