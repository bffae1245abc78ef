#include "schedule/model.hpp"

#include <algorithm>
#include <map>
#include <set>
#include <tuple>

#include "network/network.hpp"

namespace oventide::scheduling {
namespace {

using network::Edge;

template <class T>
Lists<T> group(std::int32_t units, std::vector<std::pair<UnitId, T>> pairs) {
    Lists<T> lists;
    lists.first.assign(units + 1, 0);
    for (const auto& pair : pairs) ++lists.first[pair.first + 1];
    for (std::int32_t unit = 0; unit < units; ++unit) lists.first[unit + 1] += lists.first[unit];
    lists.items.resize(pairs.size());
    std::vector<std::int32_t> next(lists.first.begin(), lists.first.end() - 1);
    for (const auto& pair : pairs) lists.items[next[pair.first]++] = pair.second;
    return lists;
}

void add_units(Model& model, const network::Windows& windows, std::int32_t count) {
    model.units.assign(count, Unit{0, kNever, 0, 0, 0, -1, false});
    for (ActivityId id = 0; id < static_cast<ActivityId>(model.unit_of.size()); ++id) {
        Unit& unit = model.units[model.unit_of[id]];
        const Time offset = model.offset[id];
        unit.earliest = std::max(unit.earliest, windows.earliest[id] - offset);
        unit.latest = std::min(unit.latest, windows.latest[id] - offset);
        unit.length = std::max(unit.length, offset + model.project->activities[id].duration);
    }
}

/// Between two units only the strongest lag counts.
std::vector<Edge> add_links(Model& model, const std::vector<Lag>& lags) {
    std::map<std::pair<UnitId, UnitId>, Time> strongest;
    for (const Lag& lag : lags) {
        const UnitId from = model.unit_of[lag.from];
        const UnitId to = model.unit_of[lag.to];
        if (from == to) continue;
        const Time between = lag.lag + model.offset[lag.from] - model.offset[lag.to];
        const auto [entry, added] = strongest.try_emplace({from, to}, between);
        if (!added) entry->second = std::max(entry->second, between);
    }
    std::vector<std::pair<UnitId, Link>> out;
    std::vector<std::pair<UnitId, Link>> in;
    std::vector<Edge> edges;
    for (const auto& [ends, lag] : strongest) {
        out.push_back({ends.first, {ends.second, lag}});
        in.push_back({ends.second, {ends.first, lag}});
        edges.push_back({ends.first, ends.second});
        if (lag < 0) edges.push_back({ends.second, ends.first});  // a lone maximum lag ties its ends together, too
    }
    model.out = group(model.count(), std::move(out));
    model.in = group(model.count(), std::move(in));
    return edges;
}

void mark_linked(Model& model, const std::vector<Edge>& edges) {
    const auto component = network::strong_components(model.count(), edges);
    std::vector<std::int32_t> size(model.count(), 0);
    for (const std::int32_t number : component) ++size[number];
    for (UnitId unit = 0; unit < model.count(); ++unit) model.units[unit].linked = size[component[unit]] > 1;
}

/// A unit is placed after those that must not start before it, and after those that decide when it ends.
void add_order(Model& model, const std::vector<Lag>& lags) {
    std::set<std::pair<UnitId, UnitId>> pairs;
    const auto add = [&](ActivityId before, ActivityId after) {
        if (model.unit_of[before] != model.unit_of[after]) pairs.insert({model.unit_of[before], model.unit_of[after]});
    };
    for (const Lag& lag : lags)
        if (lag.lag >= 0) add(lag.from, lag.to);
    for (ActivityId id = 0; id < static_cast<ActivityId>(model.unit_of.size()); ++id) {
        const Activity& activity = model.project->activities[id];
        if (activity.stretchable)
            for (const ActivityId user : activity.users) add(id, user);
        for (const Demand& demand : activity.demands)
            for (const ActivityId user : demand.held_until) add(id, user);
    }
    std::vector<Edge> edges;
    for (const auto& [before, after] : pairs) edges.push_back({before, after});
    const auto component = network::strong_components(model.count(), edges);
    std::vector<std::pair<UnitId, UnitId>> later;
    std::vector<std::pair<UnitId, UnitId>> earlier;
    for (const auto& [before, after] : pairs) {
        if (component[before] == component[after]) {
            model.ends_open = true;  // interlocked units: any order will do, ends are looked at when all are placed
            continue;
        }
        later.push_back({before, after});
        earlier.push_back({after, before});
    }
    model.later = group(model.count(), std::move(later));
    model.earlier = group(model.count(), std::move(earlier));
}

class NeedMaker {
public:
    NeedMaker(const Model& model, ActivityId id)
        : model_(model), id_(id), activity_(model.project->activities[id]), offset_(model.offset[id]) {
        end_ = offset_ + activity_.duration;
        if (!activity_.stretchable) return;
        end_fixed_ = activity_.held_until < 0 ? -kNever : activity_.held_until;
        for (const ActivityId user : activity_.users) {
            if (in_this_unit(user))
                end_ = std::max(end_, model.offset[user]);
            else
                end_pulls_.push_back(user);
        }
    }

    Need make(std::int32_t index) const {
        const Demand& demand = activity_.demands[index];
        Need need;
        need.activity = id_;
        need.demand = &demand;
        need.amount = demand.amount;
        need.offset = offset_;
        need.sealed = demand.sealed;
        need.span = {endpoint(demand.from), endpoint(demand.to)};
        for (const ActivityId user : demand.held_until)
            if (in_this_unit(user)) need.span.to.shift = std::max(need.span.to.shift, model_.offset[user]);
        return need;
    }

    std::vector<Pull> pulls(std::int32_t index) const {
        const Demand& demand = activity_.demands[index];
        std::vector<Pull> result;
        const bool moves_from = demand.from.of == Moment::Of::end;
        const bool moves_to = demand.to.of == Moment::Of::end;
        // An end that moves by different offsets at both ends needs a pull for each.
        for (const ActivityId user : end_pulls_) {
            if (moves_from) result.push_back(pull(user, demand.from.offset, true, false));
            if (moves_to) result.push_back(pull(user, demand.to.offset, false, true));
        }
        for (const ActivityId user : demand.held_until)
            if (!in_this_unit(user)) result.push_back(pull(user, 0, false, true));
        return result;
    }

private:
    profile::Endpoint endpoint(const Moment& moment) const {
        if (moment.of == Moment::Of::start) return {offset_ + moment.offset, -kNever};
        return {end_ + moment.offset, end_fixed_ <= -kNever ? -kNever : end_fixed_ + moment.offset};
    }
    bool in_this_unit(ActivityId user) const { return model_.unit_of[user] == model_.unit_of[id_]; }
    Pull pull(ActivityId user, Time offset, bool from, bool to) const {
        return {model_.unit_of[user], model_.offset[user] + offset, from, to};
    }

    const Model& model_;
    ActivityId id_;
    const Activity& activity_;
    Time offset_;
    Time end_;
    Time end_fixed_ = -kNever;
    std::vector<ActivityId> end_pulls_;
};

template <class T>
Range append(std::vector<T>& all, const std::vector<T>& some) {
    const auto first = static_cast<std::int32_t>(all.size());
    all.insert(all.end(), some.begin(), some.end());
    return {first, static_cast<std::int32_t>(all.size())};
}

/// Nothing for a demand that wants nothing whatever its start.
void add_need(Model& model, Need need, const std::vector<Pull>& pulls) {
    const bool wants = need.span.to.fixed > -kNever || need.span.from.shift < need.span.to.shift;
    if (pulls.empty() && !wants) return;
    need.choices = append(model.choices, need.demand->choices);
    need.stages = append(model.stages, need.demand->stages);
    need.pulls = append(model.pulls, pulls);
    model.needs.push_back(need);
}

void add_needs(Model& model) {
    std::vector<std::vector<ActivityId>> members(model.units.size());
    for (ActivityId id = 0; id < static_cast<ActivityId>(model.unit_of.size()); ++id)
        members[model.unit_of[id]].push_back(id);
    for (UnitId unit = 0; unit < model.count(); ++unit) {
        model.units[unit].first_need = static_cast<std::int32_t>(model.needs.size());
        for (const ActivityId id : members[unit]) {
            const NeedMaker maker(model, id);
            const auto demands = static_cast<std::int32_t>(model.project->activities[id].demands.size());
            for (std::int32_t index = 0; index < demands; ++index)
                add_need(model, maker.make(index), maker.pulls(index));
        }
        model.units[unit].last_need = static_cast<std::int32_t>(model.needs.size());
    }
}

void sort_into_kinds(Model& model) {
    using Want = std::tuple<std::vector<ResourceId>, std::int32_t, Time, Time>;
    std::map<std::vector<Want>, std::int32_t> kinds;
    for (UnitId unit = 0; unit < model.count(); ++unit) {
        std::vector<Want> wants;
        bool alone = true;
        for (const Need& need : model.needs_of(unit)) {
            alone = alone && need.pulls.empty() && !need.has_state() && need.span.to.fixed <= -kNever &&
                    need.span.from.fixed <= -kNever;
            wants.push_back({need.demand->choices, need.demand->amount, need.span.from.shift, need.span.to.shift});
        }
        if (!alone || wants.empty()) continue;
        std::sort(wants.begin(), wants.end());
        model.units[unit].kind =
            kinds.try_emplace(std::move(wants), static_cast<std::int32_t>(kinds.size())).first->second;
    }
    model.kinds = static_cast<std::int32_t>(kinds.size());
}

}  // namespace

Model make_model(const Project& project) {
    Model model;
    model.project = &project;
    const std::vector<Lag> lags = network::all_lags(project);
    const network::Windows windows = network::start_windows(project, lags);
    model.contradiction = windows.contradiction;
    if (!model.contradiction.empty()) return model;
    network::Blocks blocks = network::rigid_blocks(lags, windows.earliest);
    model.unit_of = std::move(blocks.block);
    model.offset = std::move(blocks.offset);
    add_units(model, windows, blocks.count);
    mark_linked(model, add_links(model, lags));
    add_order(model, lags);
    add_needs(model);
    sort_into_kinds(model);
    return model;
}

}  // namespace oventide::scheduling
