#include "measures/exact.hpp"

#include "oventide/limits.hpp"
#include "oventide/measures.hpp"

namespace oventide {
namespace measures {
namespace {

using Whole = boost::multiprecision::cpp_int;

constexpr std::int64_t kMillion = 1'000'000;

std::optional<Exact> density_of(const Ingredient& ingredient) {
    if (!ingredient.density) return std::nullopt;
    return Exact(exact(ingredient.density->mass) / exact(ingredient.density->volume));
}

}  // namespace

Exact exact(const Quantity& quantity) {
    return Exact(Whole(quantity.numerator) * quantity.unit, Whole(quantity.denominator) * 1'000'000'000'000);
}

Exact left_of(Share lost) { return {kMillion - lost, kMillion}; }

std::optional<Exact> piece_mass(const std::vector<Ingredient>& all, IngredientIndex ingredient) {
    const Ingredient& one = all[ingredient];
    if (one.piece) return exact(*one.piece);
    if (!one.of || !all[*one.of].piece) return std::nullopt;
    return Exact(exact(*all[*one.of].piece) * Exact(one.share, kMillion));
}

std::optional<Exact> converted(const std::vector<Ingredient>& all, IngredientIndex ingredient, const Exact& value,
                               Measure from, Measure to) {
    if (from == to) return value;
    const auto density = density_of(all[ingredient]);
    const auto piece = piece_mass(all, ingredient);
    Exact grams = value;
    if (from == Measure::volume) {
        if (!density) return std::nullopt;
        grams *= *density;
    } else if (from == Measure::pieces) {
        if (!piece) return std::nullopt;
        grams *= *piece;
    }
    if (to == Measure::mass) return grams;
    const auto& divisor = to == Measure::volume ? density : piece;
    if (!divisor) return std::nullopt;
    return Exact(grams / *divisor);
}

std::optional<Exact> mass_in(const std::vector<Ingredient>& all, IngredientIndex ingredient, const Quantity& quantity) {
    const auto grams = converted(all, ingredient, exact(quantity), quantity.measure, Measure::mass);
    if (!grams || quantity.measure != Measure::pieces) return grams;
    return Exact(*grams * left_of(all[ingredient].trim));  // pieces are as bought
}

std::optional<Exact> bought(const std::vector<Ingredient>& all, IngredientIndex ingredient, const Quantity& quantity,
                            Measure to) {
    Exact value = exact(quantity);
    if (quantity.measure != Measure::pieces) value /= left_of(all[ingredient].trim);
    return converted(all, ingredient, value, quantity.measure, to);
}

std::int64_t rounded(const Exact& value, std::int64_t scale, Round round, std::int64_t most) {
    const Exact scaled = value * scale;
    const Whole above = numerator(scaled), below = denominator(scaled);
    Whole whole = above / below;
    const Whole rest = above % below;
    if ((round == Round::up && rest != 0) || (round == Round::nearest && rest * 2 >= below)) ++whole;
    return whole > most ? most : static_cast<std::int64_t>(whole);
}

}  // namespace measures

using namespace measures;

bool can_convert(const std::vector<Ingredient>& all, IngredientIndex ingredient, Measure from, Measure to) {
    return converted(all, ingredient, Exact(1), from, to).has_value();
}

Measure buying_measure(const std::vector<Ingredient>& all, const std::vector<Component>& components,
                       IngredientIndex ingredient) {
    if (all[ingredient].pack) return all[ingredient].pack->measure;
    if (all[ingredient].have) return all[ingredient].have->measure;
    for (const Component& component : components)
        if (component.ingredients)
            for (const IngredientLine& line : *component.ingredients)
                if (line.ingredient == ingredient) return line.quantity.measure;
    return Measure::pieces;
}

std::optional<IngredientIndex> without_mass(const std::vector<Ingredient>& all, const Component& component) {
    if (component.ingredients)
        for (const IngredientLine& line : *component.ingredients)
            if (!can_convert(all, line.ingredient, line.quantity.measure, Measure::mass)) return line.ingredient;
    return std::nullopt;
}

std::optional<std::int64_t> formula_mass(const std::vector<Ingredient>& all, const Component& component, bool less_loss,
                                         Rounding rounding) {
    if (!component.ingredients || component.ingredients->empty()) return std::nullopt;
    Exact grams = 0;
    for (const IngredientLine& line : *component.ingredients) {
        const auto mass = mass_in(all, line.ingredient, line.quantity);
        if (!mass) return std::nullopt;
        grams += *mass;
    }
    if (less_loss) grams *= left_of(component.loss);
    return rounded(grams, 1000, rounding == Rounding::up ? Round::up : Round::down, Limits::milligrams + 1);
}

}  // namespace oventide
