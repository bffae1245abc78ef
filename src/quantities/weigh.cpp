#include <algorithm>

#include "quantities/batches.hpp"

namespace oventide {
namespace {

using measures::Exact;
using quantities::figure;
using quantities::PlannedBatch;

std::int64_t of_flour(const Exact& grams, const Exact& flour) {
    return measures::rounded(Exact(grams / flour), 1'000'000, measures::Round::nearest);
}

/// Grams of each line of one formula; empty where one is not known.
std::vector<std::optional<Exact>> masses(const Plan& plan, const Component& component) {
    std::vector<std::optional<Exact>> result;
    for (const IngredientLine& line : *component.ingredients)
        result.push_back(measures::mass_in(plan.ingredients, line.ingredient, line.quantity));
    return result;
}

/// Grams of flour in one formula: empty where there is none, or where one is not known.
std::optional<Exact> flour_in(const Plan& plan, const Component& component,
                              const std::vector<std::optional<Exact>>& grams) {
    Exact sum = 0;
    for (std::size_t i = 0; i < grams.size(); ++i) {
        if (!plan.ingredients[(*component.ingredients)[i].ingredient].flour) continue;
        if (!grams[i]) return std::nullopt;
        sum += *grams[i];
    }
    if (sum == 0) return std::nullopt;
    return sum;
}

std::optional<Exact> sum_of(const std::vector<std::optional<Exact>>& grams) {
    Exact sum = 0;
    for (const auto& one : grams) {
        if (!one) return std::nullopt;
        sum += *one;
    }
    return sum;
}

/// When food goes in there.
Instant starts(const Timetable& timetable, const Handover& food) {
    Instant first = Instant::max();
    for (const Row& row : timetable.rows)
        if (row.component == food.to && row.batch == food.to_batch && row.step == food.step)
            first = std::min(first, row.start);
    return first;
}

std::vector<DrawnLine> drawn_by(const Timetable& timetable, const PlannedBatch& batch) {
    std::vector<DrawnLine> lines;
    for (const Handover& food : timetable.handovers)
        if (food.to == batch.component && food.to_batch == batch.batch)
            lines.push_back({food.from, food.from_batch, food.amount, food.step, starts(timetable, food)});
    std::stable_sort(lines.begin(), lines.end(),
                     [](const DrawnLine& a, const DrawnLine& b) { return a.step < b.step; });
    return lines;
}

/// What a piece weighs where nothing of other components goes into it.
void add_each(const Component& component, const std::optional<Exact>& of_formula, WeighedBatch& sheet) {
    if (component.makes.unit != Amount::Unit::pieces || !of_formula || !sheet.drawn.empty()) return;
    const Exact each = *of_formula / component.makes.count;
    sheet.each = figure(Measure::mass, each);
    if (component.loss > 0)
        sheet.each_after_loss = figure(Measure::mass, Exact(each * measures::left_of(component.loss)));
}

WeighedBatch weigh_batch(const Plan& plan, const Timetable& timetable, const PlannedBatch& batch) {
    const Component& component = plan.components[batch.component];
    WeighedBatch sheet{
        batch.component, batch.batch, batch.amount, batch.needed, {}, drawn_by(timetable, batch), {}, {}, {}, {}};
    if (!component.ingredients || component.ingredients->empty()) return sheet;
    const Exact formulas = quantities::formulas_in(component, batch.amount);
    const auto grams = masses(plan, component);
    const auto flour = flour_in(plan, component, grams);
    const auto all = sum_of(grams);

    for (std::size_t i = 0; i < grams.size(); ++i) {
        const IngredientLine& line = (*component.ingredients)[i];
        WeighLine weighed;
        weighed.ingredient = line.ingredient;
        weighed.amount = figure(line.quantity.measure, Exact(measures::exact(line.quantity) * formulas));
        if (grams[i]) weighed.mass = figure(Measure::mass, Exact(*grams[i] * formulas));
        if (grams[i] && flour) weighed.of_flour = of_flour(*grams[i], *flour);
        sheet.lines.push_back(weighed);
    }
    if (all) sheet.mass = figure(Measure::mass, Exact(*all * formulas));
    if (all && flour) sheet.of_flour = of_flour(*all, *flour);
    add_each(component, all, sheet);
    return sheet;
}

}  // namespace

std::vector<WeighedBatch> weigh(const Plan& plan, const Timetable& timetable) {
    std::vector<WeighedBatch> sheets;
    for (const PlannedBatch& batch : quantities::planned_batches(timetable)) {
        WeighedBatch sheet = weigh_batch(plan, timetable, batch);
        if (!sheet.lines.empty() || !sheet.drawn.empty()) sheets.push_back(std::move(sheet));
    }
    return sheets;
}

}  // namespace oventide
