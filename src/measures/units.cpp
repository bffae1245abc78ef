#include <array>

#include "oventide/measures.hpp"

namespace oventide {
namespace {

constexpr std::int64_t kOne = 1'000'000'000'000;  // a gram, a millilitre or a piece

constexpr std::int64_t kPound = 453'592'370'000'000;
constexpr std::int64_t kOunce = kPound / 16;
static_assert(kOunce * 16 == kPound);

constexpr std::int64_t kUsGallon = 3'785'411'784'000'000;
constexpr std::int64_t kUsCup = kUsGallon / 16;
constexpr std::int64_t kUsFluidOunce = kUsGallon / 128;
constexpr std::int64_t kUsTeaspoon = kUsFluidOunce / 6;
static_assert(kUsCup * 16 == kUsGallon && kUsTeaspoon * 768 == kUsGallon);

constexpr std::int64_t kUkGallon = 4'546'090'000'000'000;
constexpr std::int64_t kUkFluidOunce = kUkGallon / 160;
static_assert(kUkFluidOunce * 160 == kUkGallon);

constexpr Measure mass = Measure::mass, volume = Measure::volume, pieces = Measure::pieces;

constexpr std::array kUnits{
    NamedUnit{"mg", mass, kOne / 1000},
    NamedUnit{"g", mass, kOne},
    NamedUnit{"gram", mass, kOne},
    NamedUnit{"grams", mass, kOne},
    NamedUnit{"kg", mass, kOne * 1000},
    NamedUnit{"oz", mass, kOunce},
    NamedUnit{"lb", mass, kPound},
    NamedUnit{"lbs", mass, kPound},
    NamedUnit{"ml", volume, kOne},
    NamedUnit{"cl", volume, kOne * 10},
    NamedUnit{"dl", volume, kOne * 100},
    NamedUnit{"l", volume, kOne * 1000},
    NamedUnit{"litre", volume, kOne * 1000},
    NamedUnit{"litres", volume, kOne * 1000},
    NamedUnit{"US tsp", volume, kUsTeaspoon},
    NamedUnit{"US tbsp", volume, kUsTeaspoon * 3},
    NamedUnit{"US fl oz", volume, kUsFluidOunce},
    NamedUnit{"US cup", volume, kUsCup},
    NamedUnit{"US cups", volume, kUsCup},
    NamedUnit{"US pint", volume, kUsCup * 2},
    NamedUnit{"US quart", volume, kUsCup * 4},
    NamedUnit{"US gallon", volume, kUsGallon},
    NamedUnit{"UK fl oz", volume, kUkFluidOunce},
    NamedUnit{"UK pint", volume, kUkFluidOunce * 20},
    NamedUnit{"UK quart", volume, kUkFluidOunce * 40},
    NamedUnit{"UK gallon", volume, kUkGallon},
    NamedUnit{"metric tsp", volume, kOne * 5},
    NamedUnit{"metric tbsp", volume, kOne * 15},
    NamedUnit{"metric cup", volume, kOne * 250},
    NamedUnit{"metric cups", volume, kOne * 250},
    NamedUnit{"AU tbsp", volume, kOne * 20},
    NamedUnit{"piece", pieces, kOne},
    NamedUnit{"pieces", pieces, kOne},
};

constexpr std::string_view kTeaspoons = "US tsp (4.92892159375 ml) or metric tsp (5 ml)";
constexpr std::string_view kTablespoons = "US tbsp (14.78676478125 ml), metric tbsp (15 ml) or AU tbsp (20 ml)";
constexpr std::string_view kCups = "US cup (236.5882365 ml) or metric cup (250 ml)";
constexpr std::string_view kFluidOunces = "US fl oz (29.5735295625 ml) or UK fl oz (28.4130625 ml)";
constexpr std::string_view kPints = "US pint (473.176473 ml) or UK pint (568.26125 ml)";
constexpr std::string_view kQuarts = "US quart (946.352946 ml) or UK quart (1136.5225 ml)";
constexpr std::string_view kGallons = "US gallon (3785.411784 ml) or UK gallon (4546.09 ml)";

constexpr std::array kAmbiguous{
    AmbiguousUnit{"tsp", kTeaspoons, "metric tsp"},
    AmbiguousUnit{"teaspoon", kTeaspoons, "metric tsp"},
    AmbiguousUnit{"teaspoons", kTeaspoons, "metric tsp"},
    AmbiguousUnit{"tbsp", kTablespoons, "metric tbsp"},
    AmbiguousUnit{"tablespoon", kTablespoons, "metric tbsp"},
    AmbiguousUnit{"tablespoons", kTablespoons, "metric tbsp"},
    AmbiguousUnit{"cup", kCups, "metric cup"},
    AmbiguousUnit{"cups", kCups, "metric cup"},
    AmbiguousUnit{"fl oz", kFluidOunces, "UK fl oz"},
    AmbiguousUnit{"pint", kPints, "UK pint"},
    AmbiguousUnit{"pints", kPints, "UK pint"},
    AmbiguousUnit{"quart", kQuarts, "US quart"},
    AmbiguousUnit{"quarts", kQuarts, "US quart"},
    AmbiguousUnit{"gallon", kGallons, "US gallon"},
    AmbiguousUnit{"gallons", kGallons, "US gallon"},
};

constexpr Quantity grams(std::int64_t count) { return {Measure::mass, count, 1, kOne}; }
/// One of a dozen that weighs so many ounces.
constexpr Quantity of_a_dozen(std::int64_t ounces) { return {Measure::mass, ounces, 12, kOunce}; }

constexpr std::string_view kEu =
    "Commission Delegated Regulation (EU) 2023/2465, classes as in Regulation (EC) 589/2008, Article 4";
constexpr std::string_view kUs = "United States Standards for shell eggs (USDA), least net weight of a dozen";

/// A class with two limits is planned with its middle. The EU's S and XL have but one: they are planned as far from it
/// as M and L are from theirs (common practice, no source). The US classes are planned with their least weight.
constexpr std::array kEggs{
    EggSize{"S", std::nullopt, 53'000, grams(48), kEu},
    EggSize{"M", 53'000, 63'000, grams(58), kEu},
    EggSize{"L", 63'000, 73'000, grams(68), kEu},
    EggSize{"XL", 73'000, std::nullopt, grams(78), kEu},
    EggSize{"US peewee", 35'437, 42'524, of_a_dozen(15), kUs},
    EggSize{"US S", 42'524, 49'612, of_a_dozen(18), kUs},
    EggSize{"US M", 49'612, 56'699, of_a_dozen(21), kUs},
    EggSize{"US L", 56'699, 63'786, of_a_dozen(24), kUs},
    EggSize{"US XL", 63'786, 70'874, of_a_dozen(27), kUs},
    EggSize{"US jumbo", 70'874, std::nullopt, of_a_dozen(30), kUs},
};

}  // namespace

std::span<const NamedUnit> named_units() { return kUnits; }
std::span<const AmbiguousUnit> ambiguous_units() { return kAmbiguous; }
std::span<const EggSize> egg_sizes() { return kEggs; }

}  // namespace oventide
