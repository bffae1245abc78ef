#include "schedule/priority.hpp"

#include <functional>
#include <queue>
#include <utility>

namespace oventide::scheduling {
namespace {

std::int64_t work(const Model& model, UnitId unit) {
    std::int64_t sum = 0;
    for (const Need& need : model.needs_of(unit))
        sum += std::int64_t{need.demand->amount} * (need.span.to.shift - need.span.from.shift);
    return sum;
}

std::int64_t priority(const Model& model, UnitId unit, Rule rule) {
    const Unit& shape = model.units[unit];
    const std::int64_t latest_finish = std::int64_t{shape.latest} + shape.length;
    switch (rule) {
        case Rule::latest_finish:
            return -latest_finish;
        case Rule::latest_start:
            return -std::int64_t{shape.latest};
        case Rule::earliest_finish:
            return -(std::int64_t{shape.earliest} + shape.length);
        case Rule::earliest_start:
            return -std::int64_t{shape.earliest};
        case Rule::least_slack:
            return std::int64_t{shape.latest} - shape.earliest;
        case Rule::most_work:
            return -(latest_finish + work(model, unit));
    }
    return 0;
}

}  // namespace

std::vector<std::int64_t> priorities(const Model& model, Rule rule) {
    std::vector<std::int64_t> result;
    for (UnitId unit = 0; unit < model.count(); ++unit) result.push_back(priority(model, unit, rule));
    return result;
}

List list_by(const Model& model, const std::vector<std::int64_t>& priority) {
    using Entry = std::pair<std::int64_t, UnitId>;
    std::priority_queue<Entry, std::vector<Entry>, std::greater<>> open;
    std::vector<std::int32_t> missing(model.units.size());
    for (UnitId unit = 0; unit < model.count(); ++unit) {
        missing[unit] = static_cast<std::int32_t>(model.later[unit].size());
        if (missing[unit] == 0) open.push({priority[unit], unit});
    }
    List list;
    list.reserve(model.units.size());
    while (!open.empty()) {
        const UnitId unit = open.top().second;
        open.pop();
        list.push_back(unit);
        for (const UnitId earlier : model.earlier[unit])
            if (--missing[earlier] == 0) open.push({priority[earlier], earlier});
    }
    return list;
}

}  // namespace oventide::scheduling
