#include "schedule/neighbourhood.hpp"

#include <algorithm>
#include <numeric>

namespace oventide::scheduling {

std::vector<Time> unit_starts(const Model& model, const Schedule& schedule) {
    std::vector<Time> start(model.units.size());
    for (std::size_t id = 0; id < schedule.start.size(); ++id)
        start[model.unit_of[id]] = schedule.start[id] - model.offset[id];
    return start;
}

std::vector<UnitId> by_start(const Model& model, const Schedule& schedule) {
    const std::vector<Time> start = unit_starts(model, schedule);
    std::vector<UnitId> order(start.size());
    std::iota(order.begin(), order.end(), 0);
    std::stable_sort(order.begin(), order.end(), [&](UnitId a, UnitId b) { return start[a] < start[b]; });
    return order;
}

std::vector<UnitId> stretch_of(const std::vector<UnitId>& order, std::size_t from, std::size_t count) {
    const auto first = order.begin() + static_cast<std::ptrdiff_t>(from);
    return {first, first + static_cast<std::ptrdiff_t>(std::min(count, order.size() - from))};
}

std::vector<UnitId> relatives_of(const Model& model, UnitId unit, std::size_t count) {
    std::vector<UnitId> found{unit};
    const auto add = [&](std::span<const Link> links) {
        for (const Link& link : links)
            if (found.size() < count && std::find(found.begin(), found.end(), link.unit) == found.end())
                found.push_back(link.unit);
    };
    for (std::size_t k = 0; k < found.size() && found.size() < count; ++k) {
        add(model.out[found[k]]);
        add(model.in[found[k]]);
    }
    return found;
}

Division all_held_but(const Model& model, const Schedule& schedule, const std::vector<UnitId>& units) {
    const Project& project = *model.project;
    std::vector<char> free(model.units.size());
    for (const UnitId unit : units) free[unit] = 1;
    Division division;
    Interval range{kNever, 0};
    for (std::size_t id = 0; id < project.activities.size(); ++id) {
        division.free.push_back(free[model.unit_of[id]]);
        if (!division.free.back()) continue;
        range.from = std::min(range.from, schedule.start[id]);
        range.to = std::max(range.to, schedule.start[id] + project.activities[id].duration);
    }
    const Time more = range.to - range.from;
    division.range = {std::max(0, range.from - more), std::min(project.horizon, range.to + more)};
    return division;
}

}  // namespace oventide::scheduling
