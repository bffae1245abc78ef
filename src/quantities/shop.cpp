#include <algorithm>
#include <map>

#include "oventide/measures.hpp"
#include "quantities/batches.hpp"

namespace oventide {
namespace {

using measures::Exact;
using quantities::figure;
using quantities::PlannedBatch;

/// By ingredient; empty where it is not needed.
using Needs = std::vector<std::optional<Exact>>;

void add(std::optional<Exact>& sum, const Exact& more) { sum = sum ? Exact(*sum + more) : more; }

class Shop {
public:
    explicit Shop(const Plan& plan) : plan_(plan) {
        for (std::size_t i = 0; i < plan.ingredients.size(); ++i)
            measures_.push_back(buying_measure(plan.ingredients, plan.components, static_cast<IngredientIndex>(i)));
    }

    Measure measure(IngredientIndex ingredient) const { return measures_[ingredient]; }

    /// What `amount` of a component needs, as bought; of a part, as it is taken out. The plan reader has made sure that
    /// all can be converted.
    void add_needs(ComponentIndex index, std::int64_t amount, Needs& needs) const {
        const Component& component = plan_.components[index];
        if (!component.ingredients) return;
        const Exact formulas = quantities::formulas_in(component, amount);
        for (const IngredientLine& line : *component.ingredients) {
            if (!plan_.ingredients[line.ingredient].bought) continue;
            const auto bought =
                measures::bought(plan_.ingredients, line.ingredient, line.quantity, measure(line.ingredient));
            if (bought) add(needs[line.ingredient], Exact(*bought * formulas));
        }
    }

    /// Parts become what they are parts of.
    Needs with_parts(const Needs& needs) const {
        Needs whole = needs;
        std::map<IngredientIndex, Exact> most;  // pieces, by what the parts are of
        for (std::size_t i = 0; i < needs.size(); ++i) {
            const auto& of = plan_.ingredients[i].of;
            if (!of || !needs[i]) continue;
            whole[i].reset();
            const auto part = static_cast<IngredientIndex>(i);
            const auto pieces = measures::converted(plan_.ingredients, part, *needs[i], measure(part), Measure::pieces);
            if (pieces) most[*of] = std::max(most[*of], *pieces);
        }
        for (const auto& [of, pieces] : most) {
            const auto bought = measures::converted(plan_.ingredients, of, pieces, Measure::pieces, measure(of));
            if (bought) add(whole[of], *bought);
        }
        return whole;
    }

    ShopLine line(IngredientIndex index, const Exact& needed) const {
        const Ingredient& ingredient = plan_.ingredients[index];
        const Measure in = measure(index);
        const auto own = [&](const std::optional<Quantity>& quantity) {
            if (!quantity) return Exact(0);
            return measures::converted(plan_.ingredients, index, measures::exact(*quantity), quantity->measure, in)
                .value_or(Exact(0));
        };
        const Exact have = own(ingredient.have);
        const Exact missing = needed > have ? Exact(needed - have) : Exact(0);
        Exact buy = missing;
        ShopLine line;
        if (ingredient.pack) {
            const Exact pack = own(ingredient.pack);
            line.pack = figure(in, pack);
            line.packs = measures::rounded(Exact(missing / pack), 1, measures::Round::up);
            buy = pack * line.packs;
        } else if (in == Measure::pieces) {
            buy = measures::rounded(missing, 1, measures::Round::up);
        }
        line.ingredient = index;
        line.needed = figure(in, needed);
        line.have = figure(in, have);
        line.missing = figure(in, missing);
        line.buy = figure(in, buy);
        line.over = figure(in, Exact(buy - missing));
        if (in == Measure::volume && !line.pack)
            if (const auto mass = measures::converted(plan_.ingredients, index, buy, in, Measure::mass))
                line.mass = figure(Measure::mass, *mass);
        return line;
    }

    DayNeed day(Instant first, const Needs& needs) const {
        DayNeed day{first, {}};
        for (std::size_t i = 0; i < needs.size(); ++i)
            if (needs[i])
                day.lines.push_back(
                    {static_cast<IngredientIndex>(i), figure(measure(static_cast<IngredientIndex>(i)), *needs[i])});
        return day;
    }

private:
    const Plan& plan_;
    std::vector<Measure> measures_;  ///< by ingredient: in what it is bought
};

bool same_day(const clock::Zone& zone, Instant a, Instant b) {
    const clock::LocalTime first = zone.local(a), second = zone.local(b);
    return first.year == second.year && first.month == second.month && first.day == second.day;
}

}  // namespace

Shopping shop(const Plan& plan, const Timetable& timetable, const clock::Zone& zone) {
    const Shop list(plan);
    const Needs nothing(plan.ingredients.size());
    const auto batches = quantities::planned_batches(timetable);
    Shopping shopping;
    Needs all = nothing;
    for (std::size_t from = 0, to = 0; from < batches.size(); from = to) {
        Needs today = nothing;
        std::vector<std::int64_t> amounts(plan.components.size(), 0);
        for (; to < batches.size() && same_day(zone, batches[from].needed, batches[to].needed); ++to)
            amounts[batches[to].component] += batches[to].amount;
        for (std::size_t c = 0; c < amounts.size(); ++c)
            if (amounts[c] > 0) list.add_needs(static_cast<ComponentIndex>(c), amounts[c], today);
        for (std::size_t i = 0; i < all.size(); ++i)
            if (today[i]) add(all[i], *today[i]);
        DayNeed day = list.day(batches[from].needed, today);
        if (!day.lines.empty()) shopping.days.push_back(std::move(day));
    }
    const Needs whole = list.with_parts(all);
    for (std::size_t i = 0; i < whole.size(); ++i)
        if (whole[i]) shopping.lines.push_back(list.line(static_cast<IngredientIndex>(i), *whole[i]));
    return shopping;
}

}  // namespace oventide
