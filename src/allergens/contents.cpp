#include <algorithm>
#include <numeric>

#include "measures/exact.hpp"
#include "oventide/allergens.hpp"

namespace oventide {
namespace {

using measures::Exact;
__extension__ using Wide = __int128;

constexpr std::int64_t kNanograms = 1'000'000'000;  // of a gram
constexpr std::int64_t kKilogram = 1'000'000;       // milligrams
constexpr std::int64_t kMost = 1'000'000'000'000'000'000;

/// Of one ingredient, what goes into a piece, or into a kilogram, of a component. Nanograms, rounded down at each
/// component on the way: near enough to tell which is the heavier.
struct Helping {
    bool there = false;
    bool weighed = true;
    std::int64_t nanograms = 0;
};

struct Recipe {
    std::vector<Helping> helpings;  ///< by ingredient
    std::vector<bool> unsaid;       ///< by component
};

/// Pieces, or kilograms.
Exact units(const Amount& amount) {
    return amount.unit == Amount::Unit::pieces ? Exact(amount.count) : Exact(amount.count, kKilogram);
}

std::int64_t nanograms(const Exact& grams) {
    return measures::rounded(grams, kNanograms, measures::Round::down, kMost);
}

/// What is in `each` of a component of which a piece or a kilogram has so much.
std::int64_t drawn_of(const Amount& each, std::int64_t of_one) {
    const Wide share = Wide{of_one} * each.count / (each.unit == Amount::Unit::pieces ? 1 : kKilogram);
    return static_cast<std::int64_t>(std::min(share, Wide{kMost}));
}

class Recipes {
public:
    explicit Recipes(const Plan& plan) : plan_(plan), recipes_(plan.components.size()), done_(recipes_.size(), false) {}

    /// The plan reader has made sure that nothing goes into itself.
    const Recipe& of(ComponentIndex index) {
        if (!done_[index]) {
            done_[index] = true;
            recipes_[index] = {std::vector<Helping>(plan_.ingredients.size()),
                               std::vector<bool>(plan_.components.size(), false)};
            add_own(index);
            for (const Step& step : plan_.components[index].steps)
                for (const Draw& draw : step.draws) add_drawn(index, draw);
        }
        return recipes_[index];
    }

private:
    void add(Helping& helping, bool weighed, std::int64_t amount) {
        helping.there = true;
        helping.weighed = helping.weighed && weighed;
        helping.nanograms = std::min(helping.nanograms + amount, kMost);
    }

    void add_own(ComponentIndex index) {
        const Component& component = plan_.components[index];
        Recipe& recipe = recipes_[index];
        if (!component.ingredients) recipe.unsaid[index] = true;
        if (!component.ingredients) return;
        for (const IngredientLine& line : *component.ingredients) {
            const auto mass = measures::mass_in(plan_.ingredients, line.ingredient, line.quantity);
            add(recipe.helpings[line.ingredient], mass.has_value(),
                mass ? nanograms(Exact(*mass / units(component.makes))) : 0);
        }
    }

    void add_drawn(ComponentIndex index, const Draw& draw) {
        const Recipe& drawn = of(draw.component);
        Recipe& recipe = recipes_[index];
        for (std::size_t i = 0; i < drawn.helpings.size(); ++i) {
            const Helping& helping = drawn.helpings[i];
            if (!helping.there) continue;
            add(recipe.helpings[i], helping.weighed, drawn_of(draw.each, helping.nanograms));
        }
        for (std::size_t c = 0; c < drawn.unsaid.size(); ++c)
            if (drawn.unsaid[c]) recipe.unsaid[c] = true;
    }

    const Plan& plan_;
    std::vector<Recipe> recipes_;
    std::vector<bool> done_;
};

Contents contents(const Plan& plan, const Recipe& recipe) {
    Contents result;
    for (std::size_t i = 0; i < recipe.helpings.size(); ++i)
        if (recipe.helpings[i].there) result.ingredients.push_back(static_cast<IngredientIndex>(i));
    std::stable_sort(result.ingredients.begin(), result.ingredients.end(), [&](IngredientIndex a, IngredientIndex b) {
        const Helping &first = recipe.helpings[a], &second = recipe.helpings[b];
        if (first.weighed != second.weighed) return first.weighed;
        return first.weighed && first.nanograms > second.nanograms;
    });
    for (const IngredientIndex i : result.ingredients) {
        const auto& declared = plan.ingredients[i].allergens;
        result.by_weight = result.by_weight && recipe.helpings[i].weighed;
        if (!declared) result.undeclared.push_back(i);
        if (declared) result.contains.insert(result.contains.end(), declared->begin(), declared->end());
    }
    std::sort(result.contains.begin(), result.contains.end());
    result.contains.erase(std::unique(result.contains.begin(), result.contains.end()), result.contains.end());
    for (std::size_t c = 0; c < recipe.unsaid.size(); ++c)
        if (recipe.unsaid[c]) result.unsaid.push_back(static_cast<ComponentIndex>(c));
    return result;
}

}  // namespace

std::vector<Contents> contents_of(const Plan& plan) {
    Recipes recipes(plan);
    std::vector<Contents> result;
    for (std::size_t c = 0; c < plan.components.size(); ++c)
        result.push_back(contents(plan, recipes.of(static_cast<ComponentIndex>(c))));
    return result;
}

}  // namespace oventide
