#pragma once
/// Units that are exact by definition, egg sizes, and what one formula weighs. All arithmetic is exact; what leaves the
/// room as a whole number says how it was rounded.

#include <cstdint>
#include <optional>
#include <span>
#include <string_view>
#include <vector>

#include "oventide/plan.hpp"

namespace oventide {

/// A unit under the name by which a plan knows it.
struct NamedUnit {
    std::string_view name;
    Measure measure = Measure::mass;
    std::int64_t size = 0;  ///< as Quantity::unit
};

/// Sizes and their sources: the gram and the litre by the SI; the avoirdupois pound of 0.45359237 kg and its sixteenth,
/// the ounce, by the agreement of 1959; the US gallon of 231 cubic inches and its parts (NIST Handbook 44, appendix C);
/// the imperial gallon of 4.54609 l and its parts (Weights and Measures Act 1985); metric cup and spoons, and the
/// Australian tablespoon, by their names.
std::span<const NamedUnit> named_units();

/// Names of volumes that mean different things in different countries, so that none can be taken.
struct AmbiguousUnit {
    std::string_view name;
    std::string_view choices;  ///< "US cup (236.5882365 ml) or metric cup (250 ml)"
    std::string_view example;  ///< one of them
};
std::span<const AmbiguousUnit> ambiguous_units();

/// A class of hens' eggs by weight, shell and all.
struct EggSize {
    std::string_view name;
    std::optional<std::int64_t> from;  ///< milligrams; absent: no lower limit
    std::optional<std::int64_t> to;    ///< milligrams, not included; absent: no upper limit
    Quantity planned;                  ///< what a plan reckons with
    std::string_view source;
};

/// The EU's classes first, then those of the US, whose names begin with "US".
std::span<const EggSize> egg_sizes();

/// What a shell weighs of its egg: 10 %. Published shares lie between 8.1 and 12.4 % (Japan Poultry Association),
/// 9.5 % (Cotterill and Geiger, 1977) among them.
inline constexpr Share kEggShell = 100'000;

/// Whether a quantity of the ingredient in one measure can be told in another, of those in `all`.
bool can_convert(const std::vector<Ingredient>& all, IngredientIndex ingredient, Measure from, Measure to);

/// In what an ingredient is bought: as its pack is measured, or else what there is in the larder, or else as the first
/// formula that names it has it. What has only parts that are named is bought by the piece.
Measure buying_measure(const std::vector<Ingredient>& all, const std::vector<Component>& components,
                       IngredientIndex ingredient);

/// The first ingredient of the component whose mass is not known; empty: all are.
std::optional<IngredientIndex> without_mass(const std::vector<Ingredient>& all, const Component& component);

enum class Rounding { down, up };
/// Milligrams that go into one formula of the component, its loss taken off where `less_loss`; empty where a mass is
/// not known or nothing is said. At most Limits::milligrams + 1.
std::optional<std::int64_t> formula_mass(const std::vector<Ingredient>& all, const Component& component, bool less_loss,
                                         Rounding rounding);

}  // namespace oventide
