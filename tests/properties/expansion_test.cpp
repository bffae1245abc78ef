/// What must hold of every expansion, whatever the plan: nothing is lost between orders, batches, loads and pieces.

#include <doctest/doctest.h>

#include <algorithm>
#include <map>
#include <string>
#include <tuple>

#include "support/expansion_text.hpp"
#include "support/plan_text.hpp"
#include "support/random_plan.hpp"

namespace oventide::test {
namespace {

constexpr std::int64_t kKilogram = 1'000'000;

bool by_mass(const Component& component) { return component.makes.unit == Amount::Unit::milligrams; }
std::int64_t size_of(const Batch& batch) { return batch.share.to - batch.share.from; }

/// Batches of a component lie end to end, and give away as much as they hold.
void check_batches(const Plan& plan, const Expansion& expansion) {
    std::vector<std::int64_t> given(expansion.batches.size(), 0);
    std::vector<std::int64_t> weight_out(expansion.batches.size(), 0);
    for (const FoodLink& food : expansion.food) {
        CHECK(food.amount > 0);
        given[food.from] += food.amount;
        weight_out[food.from] += food.weight;
    }
    std::map<ComponentIndex, std::int64_t> end;
    std::map<ComponentIndex, std::int32_t> number;
    for (std::size_t i = 0; i < expansion.batches.size(); ++i) {
        const Batch& batch = expansion.batches[i];
        CHECK(batch.share.from == end[batch.component]);
        CHECK(batch.share.to > batch.share.from);
        CHECK(batch.number == ++number[batch.component]);
        end[batch.component] = batch.share.to;
        for (const Batch::Sale& sale : batch.sales) given[i] += sale.amount;
        CHECK(given[i] == size_of(batch));
        const Component& component = plan.components[batch.component];
        if (!by_mass(component)) CHECK(batch.weight == size_of(batch));
        if (by_mass(component) && batch.sales.empty()) CHECK(batch.weight == weight_out[i]);
    }
}

/// Every order gets what it asks for, and every user what its pieces need.
void check_amounts(const Plan& plan, const Expansion& expansion) {
    std::map<std::tuple<std::int32_t, ComponentIndex>, std::int64_t> sold;
    std::map<std::tuple<std::int32_t, StepIndex, ComponentIndex>, std::pair<std::int64_t, std::int64_t>> drawn;
    for (const Batch& batch : expansion.batches)
        for (const Batch::Sale& sale : batch.sales) sold[{sale.order, batch.component}] += sale.amount;
    for (const FoodLink& food : expansion.food) {
        auto& [amount, weight] = drawn[{food.to, food.step, expansion.batches[food.from].component}];
        amount += food.amount;
        weight += food.weight;
    }
    for (std::size_t order = 0; order < plan.orders.size(); ++order)
        for (const Item& item : plan.orders[order].items)
            CHECK(sold[{static_cast<std::int32_t>(order), item.component}] == item.pieces);
    for (std::size_t i = 0; i < expansion.batches.size(); ++i) {
        const Batch& batch = expansion.batches[i];
        const Component& component = plan.components[batch.component];
        for (std::size_t step = 0; step < component.steps.size(); ++step)
            for (const Draw& draw : component.steps[step].draws) {
                const std::int64_t unit = by_mass(component) ? kKilogram : 1;
                const std::int64_t needed = (draw.each.count * size_of(batch) + unit - 1) / unit;
                const auto [amount, weight] =
                    drawn[{static_cast<std::int32_t>(i), static_cast<StepIndex>(step), draw.component}];
                CHECK(amount == needed);
                if (needed > 0) CHECK(weight == batch.weight);
            }
    }
}

/// The activities of one step of one batch lie end to end over the batch, in loads that fit every oven.
void check_loads(const Plan& plan, const Expansion& expansion) {
    std::map<std::pair<std::int32_t, StepIndex>, std::int64_t> end;
    for (std::size_t id = 0; id < expansion.tasks.size(); ++id) {
        const Task& task = expansion.tasks[id];
        const Batch& batch = expansion.batches[task.batch];
        CHECK(task.share.from == (end[{task.batch, task.step}]));
        CHECK(task.share.to > task.share.from);
        end[{task.batch, task.step}] = task.share.to;
        const Step& step = plan.components[batch.component].steps[task.step];
        CHECK((task.load > 0) == step.by_load);
        if (!step.bake) continue;
        for (const EquipmentIndex oven : step.bake->ovens)
            CHECK(task.share.to - task.share.from <= plan.kitchen.equipment[oven].capacity * step.bake->tray.count);
    }
    for (const auto& [key, until] : end) CHECK(until == size_of(expansion.batches[key.first]));
}

/// What waits inside a component and for its pickup adds up to the pieces, step by step.
void check_waiting(const Plan& plan, const Expansion& expansion) {
    std::vector<std::int64_t> sold(expansion.batches.size(), 0);
    for (const WaitLink& link : expansion.project.links) {
        CHECK(link.weight > 0);
        if (link.user < 0) sold[expansion.tasks[link.maker].batch] += link.weight;
    }
    for (std::size_t i = 0; i < expansion.batches.size(); ++i) {
        const Batch& batch = expansion.batches[i];
        if (by_mass(plan.components[batch.component])) continue;
        std::int64_t pieces = 0;
        for (const Batch::Sale& sale : batch.sales) pieces += sale.amount;
        CHECK(sold[i] == pieces);
    }
}

std::vector<std::string> everything(const Expansion& expansion) {
    std::vector<std::string> all = lags_text(expansion);
    for (const std::string& line : tasks_text(expansion, "")) all.push_back(line);
    for (const std::string& line : waiting_text(expansion)) all.push_back(line);
    for (const Activity& activity : expansion.project.activities)
        for (const std::string& line : demands_text(expansion, activity.name)) all.push_back(line);
    return all;
}

TEST_CASE("nothing is lost between orders, batches, loads and pieces") {
    for (std::uint64_t seed = 1; seed <= 150; ++seed) {
        CAPTURE(seed);
        support::RandomPlanOptions options;
        options.goods = 1 + static_cast<int>(seed % 5);
        options.orders = 1 + static_cast<int>(seed % 4);
        options.pieces = 6 + static_cast<int>(seed % 90);
        const Plan plan = plan_of(support::random_plan(seed, options));
        const Expansion expansion = expansion_of(plan);
        check_batches(plan, expansion);
        check_amounts(plan, expansion);
        check_loads(plan, expansion);
        check_waiting(plan, expansion);
        if (seed <= 20) CHECK(everything(expansion) == everything(expansion_of(plan)));
    }
}

}  // namespace
}  // namespace oventide::test
