#include "quantities/batches.hpp"

#include <algorithm>
#include <map>
#include <tuple>
#include <utility>

namespace oventide::quantities {

std::vector<PlannedBatch> planned_batches(const Timetable& timetable) {
    std::map<std::pair<ComponentIndex, std::int32_t>, PlannedBatch> by_number;
    for (const Row& row : timetable.rows) {
        const auto [at, first] = by_number.try_emplace({row.component, row.batch});
        PlannedBatch& batch = at->second;
        if (first) batch = {row.component, row.batch, 0, row.start};
        batch.amount = std::max(batch.amount, row.from + row.amount);
        batch.needed = std::min(batch.needed, row.start);
    }
    std::vector<PlannedBatch> batches;
    for (const auto& [number, batch] : by_number) batches.push_back(batch);
    std::stable_sort(batches.begin(), batches.end(),
                     [](const PlannedBatch& a, const PlannedBatch& b) { return a.needed < b.needed; });
    return batches;
}

measures::Exact formulas_in(const Component& component, std::int64_t amount) { return {amount, component.makes.count}; }

Figure figure(Measure measure, const measures::Exact& value) {
    return {measure, measures::rounded(value, 1'000'000, measures::Round::nearest)};
}

}  // namespace oventide::quantities
