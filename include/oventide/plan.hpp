#pragma once
/// What the cook wrote: orders, components, steps and the kitchen, each with its place in the file.
///
/// A Plan is checked: every name is resolved to an index, every clock time to an instant, every amount to one
/// unit. It knows nothing of scheduling. plans/plan-file.md documents the text that it is read from.

#include <cstdint>
#include <optional>
#include <string>
#include <variant>
#include <vector>

#include "oventide/diagnostic.hpp"
#include "oventide/time.hpp"

namespace oventide {

// ---------------------------------------------------------------------------------------------- quantities

/// Pieces, or a mass in milligrams; never both in one component.
struct Amount {
    enum class Unit { pieces, milligrams };
    Unit unit = Unit::pieces;
    std::int64_t count = 0;
    friend bool operator==(const Amount&, const Amount&) = default;
};

/// A time with its uncertainty; `shortest <= usual <= longest`. One figure in the file gives three equal ones.
struct Spread {
    Seconds shortest{0};
    Seconds usual{0};
    Seconds longest{0};
};

/// Thousandths of a degree Celsius.
using MilliCelsius = std::int64_t;

/// A figure with its uncertainty; `low <= usual <= high`.
template <class Number>
struct Figures {
    Number low = 0;
    Number usual = 0;
    Number high = 0;
    friend bool operator==(const Figures&, const Figures&) = default;
};

// --------------------------------------------------------------------------------------------- ingredients

/// What a quantity of an ingredient is counted in.
enum class Measure { mass, volume, pieces };

/// As the cook wrote it, exactly: numerator/denominator units of `unit` each.
struct Quantity {
    Measure measure = Measure::mass;
    std::int64_t numerator = 0;
    std::int64_t denominator = 1;
    std::int64_t unit = 1'000'000'000'000;  ///< 10^-12 of a gram, a millilitre or a piece
};

/// So much mass in so much volume.
struct Density {
    Quantity mass;
    Quantity volume;
};

/// Millionths of a whole, at least 0 and less than the whole.
using Share = std::int32_t;

using IngredientIndex = std::int32_t;
using AllergenIndex = std::int32_t;  ///< into allergens() of allergens.hpp

/// What is known of an ingredient. Masses and volumes in formulas are of it as it goes in, pieces as it is bought.
struct Ingredient {
    std::string name;
    std::optional<Density> density;
    std::optional<Quantity> piece;      ///< mass of one piece as bought
    std::optional<IngredientIndex> of;  ///< it is a part of each piece of that one, which is no part itself
    Share share = 0;                    ///< of that piece's mass
    Share trim = 0;                     ///< lost between what is bought and what goes in
    bool flour = false;                 ///< baker's percentages are of this
    std::optional<std::vector<AllergenIndex>> allergens;  ///< absent: not stated, which never means free of any
    std::optional<Quantity> pack;                         ///< it is bought in packs of so much
    std::optional<Quantity> have;                         ///< is in the larder
    bool bought = true;                                   ///< false: it is always there, like water from the tap
    Place place;
};

/// So much of an ingredient goes into one formula.
struct IngredientLine {
    IngredientIndex ingredient = 0;
    Quantity quantity;
    Place place;
};

/// Which allergens the law asks to be named: 14 groups in the European Union, 9 in the United States.
enum class AllergenList { eu, us };

// ------------------------------------------------------------------------------------------------- kitchen

/// A person. Hours are sorted, disjoint, and merged where they touch (at midnight too).
struct Person {
    std::string name;
    std::vector<Span> hours;
    Place place;
};

/// Where food cools. What the cook has not measured is as usual for a place of that kind.
struct Cold {
    std::string name;  ///< in the cook's words: the equipment, or the kind
    std::string like;  ///< a kind of surroundings, as in cooling.hpp; empty: nothing cools in it
    std::optional<Figures<MilliCelsius>> air;
    std::optional<Figures<std::int64_t>> transfer;  ///< thousandths of W/(m2 K)
};

enum class EquipmentKind { oven, mixer, hob, fridge, other };

/// Anything that a step can keep busy. `capacity` counts trays (oven), machines (mixer), rings (hob),
/// shelves (fridge) or pieces of it (other).
struct Equipment {
    std::string name;
    EquipmentKind kind = EquipmentKind::other;
    std::int32_t capacity = 1;
    std::vector<Span> closed;  ///< sorted, disjoint
    // mixer
    std::optional<std::int64_t> bowl;  ///< milligrams that the bowl takes
    // oven
    MilliCelsius heats = 0;  ///< per minute, > 0 for an oven
    MilliCelsius cools = 0;  ///< per minute, > 0 for an oven
    bool timer = false;      ///< can be switched on by itself
    // anything that food may cool in
    Cold cold;
    Place place;
};

struct Kitchen {
    std::vector<Person> crew;
    std::vector<Equipment> equipment;
    MilliCelsius room = 20'000;
};

// -------------------------------------------------------------------------------------------------- steps

using ComponentIndex = std::int32_t;
using StepIndex = std::int32_t;
using EquipmentIndex = std::int32_t;
using PersonIndex = std::int32_t;

/// This step starts at least `rest` and at most `within` after `step` of `component` is ready.
struct After {
    ComponentIndex component = 0;
    StepIndex step = 0;
    Minutes rest{0};                ///< rounded up to whole minutes
    std::optional<Minutes> within;  ///< rounded down; 0 is 'at once'
    Place place;
};

/// A part of a step: from `from` after its start; to `to`, or to the step's end plus `past_end`.
struct Part {
    Minutes from{0};
    std::optional<Minutes> to;  ///< from the start; absent: to the step's end
    Minutes past_end{0};        ///< only where `to` is absent
};

/// Equipment that a step keeps busy. One of `choices` is used, the same one from beginning to end.
struct Use {
    std::vector<EquipmentIndex> choices;  ///< in the order written; never empty
    std::int32_t amount = 1;
    Part part;
    std::optional<StepIndex> until;  ///< of the same component: held until that later step starts (its last load)
    bool washed = false;             ///< the step's wash keeps it busy too
    Place place;
};

/// Hands: each entry is `people` persons for one part of the step.
struct Hands {
    enum class From { start, end };
    /// Covers [start + from, start + from + lasts) or, counted from the real end, [end + from, end + from + lasts).
    /// `from` may be negative with From::end ("last 2 min" is from = -2, lasts = 2).
    From counted_from = From::start;
    Minutes from{0};
    std::optional<Minutes> lasts;  ///< absent: all that the step takes (start to ready)
    std::int32_t people = 1;
    std::vector<PersonIndex> who;  ///< who may do it; empty: anybody
    Place place;
};

/// One setting of an oven programme, in order. The last may be off.
struct Setting {
    std::optional<MilliCelsius> temperature;  ///< absent: off
    std::optional<Seconds> lasts;             ///< absent in at most one setting: the rest of what the step takes
    bool fahrenheit = false;                  ///< the cook wrote it so
    Place place;
    bool ajar = false;  ///< the door stands ajar meanwhile; of `off` alone
};

struct Bake {
    std::vector<EquipmentIndex> ovens;  ///< any of these; never empty
    std::vector<Setting> programme;     ///< never empty
    Amount tray;                        ///< what one tray holds, in the component's unit
    Minutes door_shut{0};               ///< from the load's start
    Place place;
};

struct Wash {
    Minutes takes{0};
    std::vector<PersonIndex> who;  ///< empty: anybody
    Place place;
};

/// So much of another component goes into each piece (or each kilogram) of this one, at this step.
struct Draw {
    ComponentIndex component = 0;
    Amount each;  ///< in the drawn component's unit; per piece, or per kilogram of a component made by mass
    Minutes rest{0};
    std::optional<Minutes> within;
    Place place;
};

/// What a food is made of: parts by weight, of any total.
struct FoodParts {
    double water = 0;
    double protein = 0;
    double fat = 0;
    double carbohydrate = 0;
    double fibre = 0;
    double ash = 0;
    double air = 0;  ///< share of the volume, 0 to below 1
};

/// What food stands in while it cools.
enum class Vessel {
    tray,  ///< much wider than deep; `across` and `wide` need not be known
    box,   ///< straight sides
    pot    ///< round
};

/// How a step's food cools. Lengths are micrometres; 0: not said.
struct Cools {
    MilliCelsius from = 0;
    MilliCelsius to = 0;  ///< of its warmest part, when the step is ready
    Vessel vessel = Vessel::tray;
    std::int32_t over = 1;    ///< so many vessels alike
    std::int64_t depth = 0;   ///< in each
    std::int64_t across = 0;  ///< inside length, or diameter
    std::int64_t wide = 0;
    bool underneath = true;  ///< the cold reaches the bottom too
    bool stirred = false;
    std::string food;                ///< a food of cooling.hpp; or the cook's word for `parts`
    std::optional<FoodParts> parts;  ///< absent: as that food's
    Cold where;
    Place place;
};

struct Step {
    std::string name;
    Spread takes;                  ///< the base, for a batch or load of any size
    Seconds each{0};               ///< more for every piece, or for every kilogram
    std::optional<Minutes> keeps;  ///< may be stretched: lasts on until it is used, at most so long after ready
    std::vector<After> after;      ///< complete: 'the step before' is spelt out here by the reader
    std::vector<Hands> hands;
    std::vector<Use> uses;
    std::optional<Wash> wash;
    std::optional<Bake> bake;
    std::vector<Draw> draws;
    bool by_load = false;  ///< done load by load: bakes, what is at once with them, and what says so
    bool cooked = false;   ///< perishable and hot when ready: the food-safety rule limits its wait for a chill
    bool chill = false;    ///< brings the food into the cold
    std::optional<Cools> cools;
    Place place;
};

struct Component {
    std::string name;
    Amount makes;                                            ///< what the formula makes
    std::optional<std::int64_t> bowl_weight;                 ///< milligrams in the mixer's bowl for one `makes`
    std::optional<std::int64_t> most;                        ///< a batch holds no more, in the unit of `makes`
    std::optional<std::vector<IngredientLine>> ingredients;  ///< of one `makes`; absent: not stated
    Share loss = 0;                      ///< of what goes in, lost before it is what the formula makes
    bool even = false;                   ///< batches alike, rather than full ones and the rest last
    std::vector<Step> steps;             ///< in the order written; the last one written hands the food on
    std::optional<Minutes> keeps;        ///< hard: from ready of the last step to each use and pickup
    std::optional<Minutes> best_within;  ///< soft, likewise
    Place place;
};

// -------------------------------------------------------------------------------------------------- orders

struct Item {
    ComponentIndex component = 0;
    std::int64_t pieces = 0;  ///< of a component made by mass: milligrams
    Place place;
};

struct Order {
    std::string name;
    Instant pickup;
    Minutes margin{15};
    std::vector<Item> items;
    Place place;
};

enum class Aim { freshness, alarm, waiting };
enum class Times { usual, longest };

/// A limit on the time between a cooked perishable step and its chill; see safety.hpp for the table of rules.
struct SafetyChoice {
    std::string rule;  ///< key of the rule set; "none" where the cook has said so
    Place place;
};

struct Plan {
    std::string title;
    std::string timezone;  ///< IANA name
    Instant from;          ///< nothing starts before
    Place from_place;      ///< nowhere where the cook did not write it
    std::vector<Aim> aim{Aim::freshness, Aim::alarm, Aim::waiting};
    Times times = Times::usual;
    SafetyChoice safety;
    AllergenList allergen_list = AllergenList::eu;
    std::vector<Ingredient> ingredients;
    Kitchen kitchen;
    std::vector<Component> components;
    std::vector<Order> orders;
};

}  // namespace oventide
