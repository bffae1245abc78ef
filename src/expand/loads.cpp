#include "expand/loads.hpp"

#include <algorithm>
#include <limits>
#include <numeric>

#include "expand/arithmetic.hpp"

namespace oventide::expansion {
namespace {

constexpr std::int64_t kWholeBatch = std::numeric_limits<std::int64_t>::max();

/// By step: the first step of the at-once block of by-load steps that it belongs to.
class Blocks {
public:
    explicit Blocks(std::size_t steps) : parent_(steps) { std::iota(parent_.begin(), parent_.end(), 0); }
    StepIndex of(StepIndex step) {
        while (parent_[step] != step) step = parent_[step] = parent_[parent_[step]];
        return step;
    }
    void join(StepIndex a, StepIndex b) {
        a = of(a);
        b = of(b);
        parent_[std::max(a, b)] = std::min(a, b);
    }

private:
    std::vector<StepIndex> parent_;
};

struct Link {
    StepIndex before;
    StepIndex after;
};

std::vector<Link> links_by_load(const Plan& plan, const Component& component, bool at_once_only) {
    std::vector<Link> links;
    for (std::size_t step = 0; step < component.steps.size(); ++step) {
        if (!component.steps[step].by_load) continue;
        for (const After& after : component.steps[step].after) {
            if (&plan.components[after.component] != &component || !component.steps[after.step].by_load) continue;
            if (at_once_only && after.within != Minutes{0}) continue;
            links.push_back({after.step, static_cast<StepIndex>(step)});
        }
    }
    return links;
}

std::int64_t smallest_oven_holds(const Plan& plan, const Bake& bake) {
    std::int64_t trays = std::numeric_limits<std::int32_t>::max();
    for (const EquipmentIndex oven : bake.ovens)
        trays = std::min<std::int64_t>(trays, plan.kitchen.equipment[oven].capacity);
    return scaled_down(std::max<std::int64_t>(trays, 1), std::max<std::int64_t>(bake.tray.count, 1), 1);
}

/// A block without a bake takes the cut of its neighbour across the link.
bool take(std::int64_t size, std::int64_t& taken) {
    if (taken != kWholeBatch || size == kWholeBatch) return false;
    taken = size;
    return true;
}

/// Cuts spread in the order of work first, then against it. Each sweep goes the way of the links as they are
/// usually written, so that one is nearly always enough.
void spread(const std::vector<Link>& links, Blocks& blocks, LoadSizes& size_of_block) {
    const auto size = [&](StepIndex step) -> std::int64_t& { return size_of_block[blocks.of(step)]; };
    for (bool changed = true; changed;) {
        changed = false;
        for (auto link = links.begin(); link != links.end(); ++link)
            if (take(size(link->before), size(link->after))) changed = true;
    }
    for (bool changed = true; changed;) {
        changed = false;
        for (auto link = links.rbegin(); link != links.rend(); ++link)
            if (take(size(link->after), size(link->before))) changed = true;
    }
}

}  // namespace

LoadSizes load_sizes(const Plan& plan, const Component& component) {
    const std::size_t count = component.steps.size();
    Blocks blocks(count);
    for (const Link& link : links_by_load(plan, component, true)) blocks.join(link.before, link.after);

    LoadSizes size_of_block(count, kWholeBatch);
    for (std::size_t step = 0; step < count; ++step) {
        if (!component.steps[step].bake) continue;
        std::int64_t& size = size_of_block[blocks.of(static_cast<StepIndex>(step))];
        size = std::min(size, smallest_oven_holds(plan, *component.steps[step].bake));
    }
    spread(links_by_load(plan, component, false), blocks, size_of_block);

    LoadSizes sizes(count, 0);
    for (std::size_t step = 0; step < count; ++step)
        if (component.steps[step].by_load) sizes[step] = size_of_block[blocks.of(static_cast<StepIndex>(step))];
    return sizes;
}

std::int64_t load_count(std::int64_t load_size, std::int64_t batch_size) {
    return load_size == 0 ? 1 : divided_up(batch_size, load_size);
}

Portion load_portion(std::int64_t load_size, std::int64_t batch_size, std::int64_t index) {
    if (load_size == 0) return {0, batch_size};
    const std::int64_t from = index * load_size;
    return {from, batch_size - from < load_size ? batch_size : from + load_size};
}

std::int64_t activity_count(const LoadSizes& sizes, std::int64_t batch_size) {
    std::int64_t count = 0;
    for (const std::int64_t size : sizes) count += load_count(size, batch_size);
    return count;
}

}  // namespace oventide::expansion
