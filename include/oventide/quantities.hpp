#pragma once
/// What goes into each batch as it is planned, and what has to be bought for all of them.
///
/// Everything is reckoned exactly, in fractions, and rounded once, to the nearest, when it leaves as a Figure.

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "oventide/clock.hpp"
#include "oventide/plan.hpp"
#include "oventide/timetable.hpp"

namespace oventide {

/// Millionths of a gram, a millilitre or a piece; what is beyond all kitchens stays at 4 * 10^18.
struct Figure {
    Measure measure = Measure::mass;
    std::int64_t millionths = 0;
    friend bool operator==(const Figure&, const Figure&) = default;
};

/// "4.25 g", "833.3 g", "1.667 kg", "250 ml", "3.33": rounded to the nearest as kRounding says.
std::string figure_text(const Figure& figure);
/// Of pieces what is taken, for nobody takes 8.4 eggs: "8.4 of 9".
std::string taken_text(const Figure& figure);
/// Pieces alone are rounded, to whole ones.
Figure whole_pieces(const Figure& figure, bool up);
inline constexpr std::string_view kRounding =
    "Figures are rounded to the nearest for print alone: to 0.01 g below 10 g, to 0.1 g below 1 kg, to 1 g from there "
    "on, millilitres alike, pieces to 0.01. All sums are exact before that.";

/// "62.5 %" for 625,000 millionths; below 1 % with two decimals.
std::string percent_text(std::int64_t millionths);

struct WeighLine {
    IngredientIndex ingredient = 0;
    Figure amount;               ///< in the measure of the formula
    std::optional<Figure> mass;  ///< the same as a mass that goes in; empty: not known
    /// Baker's percentage: its mass for 1,000,000 of flour; empty where the component has no flour, or a mass is
    /// missing.
    std::optional<std::int64_t> of_flour;
};

/// Food of another component that goes in.
struct DrawnLine {
    ComponentIndex component = 0;
    std::int32_t batch = 1;
    std::int64_t amount = 0;  ///< in that component's unit
    StepIndex step = 0;
    Instant at{};  ///< that step, or its first load, starts
};

struct WeighedBatch {
    ComponentIndex component = 0;
    std::int32_t batch = 1;
    std::int64_t amount = 0;  ///< of the batch, in the component's unit
    Instant needed;           ///< its first step starts: the ingredients are weighed by then
    std::vector<WeighLine> lines;
    std::vector<DrawnLine> drawn;
    std::optional<Figure> mass;             ///< of all lines; empty: not known, or there are none
    std::optional<std::int64_t> of_flour;   ///< all lines, as in WeighLine
    std::optional<Figure> each;             ///< of a component made by the piece into which nothing else goes
    std::optional<Figure> each_after_loss;  ///< where it loses something
};

/// Every batch into which ingredients or other components go, by the time when it is needed.
std::vector<WeighedBatch> weigh(const Plan& plan, const Timetable& timetable);

struct ShopLine {
    IngredientIndex ingredient = 0;
    Figure needed;               ///< as bought: with what is trimmed off
    Figure have;                 ///< in the larder
    Figure missing;              ///< needed less have, at least 0
    std::optional<Figure> pack;  ///< empty: it is bought by weight, volume or piece
    std::int64_t packs = 0;      ///< rounded up to whole packs
    Figure buy;                  ///< what that makes; pieces are rounded up to whole ones
    Figure over;                 ///< buy less missing
    std::optional<Figure> mass;  ///< of `buy` where that is a loose volume, and its weight is known
};

/// What the batches that begin on one day of the plan's zone need of each, as bought.
struct DayNeed {
    Instant first;  ///< the earliest of those beginnings
    struct Line {
        IngredientIndex ingredient = 0;
        Figure needed;
    };
    std::vector<Line> lines;
};

struct Shopping {
    std::vector<ShopLine> lines;  ///< in the order of Plan::ingredients, those that are needed and bought
    std::vector<DayNeed> days;    ///< by day; of a part, what of it is needed, and what it is a part of only for itself
};

/// Parts of the same piece (the white and the yolk) come from the same pieces: of those so many are needed as the part
/// of which most is needed, and those that go in whole.
Shopping shop(const Plan& plan, const Timetable& timetable, const clock::Zone& zone);

}  // namespace oventide
