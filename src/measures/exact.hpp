#pragma once
/// Quantities of ingredients as fractions of any size: sums of thirds of cups over a whole plan stay exact.

#include <boost/multiprecision/cpp_int.hpp>
#include <cstdint>
#include <optional>
#include <vector>

#include "oventide/plan.hpp"

namespace oventide::measures {

using Exact = boost::multiprecision::cpp_rational;

/// In grams, millilitres or pieces.
Exact exact(const Quantity& quantity);

/// What is left of a whole when `lost` of it is gone.
Exact left_of(Share lost);

/// Grams of one piece as it is bought; of a part, as it is taken out.
std::optional<Exact> piece_mass(const std::vector<Ingredient>& all, IngredientIndex ingredient);

/// Grams that go in.
std::optional<Exact> mass_in(const std::vector<Ingredient>& all, IngredientIndex ingredient, const Quantity& quantity);

/// What has to be bought for it, or for a part what has to be taken out, in the measure `to`.
std::optional<Exact> bought(const std::vector<Ingredient>& all, IngredientIndex ingredient, const Quantity& quantity,
                            Measure to);

/// Of something that is measured as bought already (a pack, what is in the larder): the same in the measure `to`.
std::optional<Exact> converted(const std::vector<Ingredient>& all, IngredientIndex ingredient, const Exact& value,
                               Measure from, Measure to);

enum class Round { nearest, down, up };
/// value * scale as a whole number, at most `most`; halves go up. For value >= 0.
std::int64_t rounded(const Exact& value, std::int64_t scale, Round round,
                     std::int64_t most = 4'000'000'000'000'000'000);

}  // namespace oventide::measures
