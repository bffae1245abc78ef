#pragma once
/// How fast food cools: transient conduction, Newton's law, the handbook's f and j, and forecasts from probe readings.
///
/// Knows nothing of plans. SI units throughout: metres, kilograms, seconds, W/(m2 K); temperatures are degrees
/// Celsius. Cooling only, and no freezing: the heat of freezing is not in any of this.
///
/// A `fraction` is what is left of the temperature difference, (T - surroundings) / (start - surroundings); the
/// handbook calls it the unaccomplished temperature change Y.

#include <array>
#include <cstddef>
#include <cstdint>
#include <optional>
#include <span>
#include <string_view>
#include <vector>

namespace oventide::cooling {

// ------------------------------------------------------------------------------------------------- properties

/// At one temperature.
struct Material {
    double density = 0;        ///< kg/m3
    double heat_capacity = 0;  ///< J/(kg K)
    double conductivity = 0;   ///< W/(m K)
    double diffusivity() const { return conductivity / (density * heat_capacity); }
};

/// Shares of the mass, which should add up to 1, and the share of the volume that is air.
struct Composition {
    double water = 0;
    double protein = 0;
    double fat = 0;
    double carbohydrate = 0;
    double fibre = 0;
    double ash = 0;
    double air = 0;  ///< of the volume, 0 to below 1
};

/// Properties of a mixture. Conductivity lies between the two models, which take the components as lying side by
/// side along the heat's way (`parallel`) or one behind the other (`perpendicular`).
struct Mixture {
    double density = 0;
    double heat_capacity = 0;
    double parallel = 0;
    double perpendicular = 0;
    /// With the mean of the two conductivities.
    Material material() const { return {density, heat_capacity, (parallel + perpendicular) / 2}; }
};

/// Choi and Okos (1986), as in the ASHRAE Handbook, Refrigeration; 0 to 150 C. The constant of water's heat capacity
/// is 4.1762 kJ/(kg K) as other handbooks print it, not 4.1289, which is 1.1 % below the measured value at 20 C.
/// Air bubbles lower density by their share and conductivity by the Maxwell-Eucken formula.
Mixture mixture(const Composition& composition, double celsius);

/// Foods of a pastry kitchen. Their compositions are typical ones, from memory: what a table of foods would give to
/// within a few per cent of mass, which moves a cooling time by less than the surroundings do.
struct Food {
    std::string_view key;
    Composition composition;
};
std::span<const Food> foods();
std::optional<Food> find_food(std::string_view key);

// ------------------------------------------------------------------------------------------------ surroundings

struct Range {
    double low = 0;
    double usual = 0;
    double high = 0;
};

/// Where food cools. The ranges are wide because kitchens are: they make the interval of every forecast.
struct Surroundings {
    std::string_view key;
    Range celsius;
    Range transfer;  ///< surface heat transfer coefficient, radiation included
    std::string_view source;
};
std::span<const Surroundings> surroundings();
std::optional<Surroundings> find_surroundings(std::string_view key);

// ------------------------------------------------------------------------------------------------- conduction

enum class Shape {
    slab,      ///< cooled on two faces, or half of it on one: `half` is the way from the coldest face to the warmest
    cylinder,  ///< long; `half` is the radius
    sphere     ///< `half` is the radius
};

/// One term of the series for a step change of the surroundings: coefficient * exp(-eigenvalue^2 * Fourier number) at
/// the centre, times `surface` at the surface and times `mean` for the mean over the body.
struct Term {
    double eigenvalue = 0;
    double coefficient = 0;
    double surface = 0;
    double mean = 0;
};

/// Term `n` (1 to 64). Slab: l tan l = Bi; cylinder: l J1(l)/J0(l) = Bi; sphere: 1 - l cot l = Bi (Carslaw and Jaeger
/// 1959; Cengel, Heat Transfer, table 4-2). Bi > 0 with half-thickness or radius; infinity is allowed.
Term series_term(Shape shape, double biot, int n);
inline Term first_term(Shape shape, double biot) { return series_term(shape, biot, 1); }

/// One of the directions in which a body loses heat.
struct Direction {
    Shape shape = Shape::slab;
    double half = 0;      ///< m, > 0
    double transfer = 0;  ///< W/(m2 K), > 0; may be infinity
};

/// A brick is three slabs, a short cylinder a cylinder and a slab: the fraction left is the product of theirs.
using Body = std::vector<Direction>;
Body slab(double thickness, double transfer);
Body cylinder(double diameter, double transfer);
Body sphere(double diameter, double transfer);
Body brick(double length, double width, double height, double transfer);
Body short_cylinder(double diameter, double height, double transfer);

/// `surface` of a body with several directions is its coldest point, a corner or an edge.
enum class Where { centre, surface, mean };

/// The handbook's cooling law (ASHRAE Handbook, Refrigeration, 'Cooling and freezing times of foods'): the fraction
/// left is j * 10^(-t / f), once the first lag is over.
struct Law {
    double f = 0;  ///< seconds in which the difference falls to a tenth
    double j = 1;  ///< lag factor
    double fraction(double seconds) const;
    /// 0 where `left` is reached at once; `left` > 0.
    double seconds_to(double left) const;
};

/// The first term of the series. Trust it where the Fourier number exceeds 0.2 in every direction.
Law first_term_law(const Body& body, const Material& material, Where where);

/// Smallest over the directions.
double fourier(const Body& body, const Material& material, double seconds);
/// Largest over the directions, by half-thickness or radius.
double biot(const Body& body, const Material& material);
inline constexpr double kFirstTermFourier = 0.2;
inline constexpr double kLumpedBiot = 0.1;

/// The whole series, good at any time.
class Conduction {
public:
    Conduction(const Body& body, const Material& material);
    double fraction(double seconds, Where where) const;
    /// First time at which no more than `left` is left; 0 < left < 1.
    double seconds_to(double left, Where where) const;

private:
    static constexpr int kTerms = 32;
    struct Series {
        std::array<Term, kTerms> terms;
        double biot;
        double rate;  ///< Fourier number per second
        double fraction(double seconds, Where where) const;
    };
    std::vector<Series> directions_;
};

/// The same temperature throughout (stirred, or thin): the fraction left is exp(-t / time_constant).
struct Lumped {
    double time_constant = 0;  ///< seconds
    double biot = 0;           ///< by volume over surface
    bool trusted = false;      ///< biot < 0.1, or the food is stirred
    double seconds_to(double left) const;
};
Lumped lumped(const Material& material, double volume_over_surface, double transfer);

// -------------------------------------------------------------------------------------------------- forecasts

/// What is believed of a food's cooling law before a probe is read: 90 % within usual / factor to usual * factor.
struct Belief {
    double f = 0;
    double f_factor = 2;
    double j = 1.2;
    double j_factor = 1.3;
};

/// From the container: f and j by conduction, the spread from the ranges of the surroundings and of conductivity.
Belief belief(const Body& shape, const Mixture& food, const Range& transfer);
/// From the plan's own shortest, usual and longest time (seconds, > 0) from `start` to `target`; empty where the
/// target is not between the surroundings and the start.
std::optional<Belief> belief(const Range& seconds, double start, double target, double around);

struct Reading {
    double seconds = 0;  ///< since the chill began
    double celsius = 0;
};

/// What to forecast. The chill begins at time 0.
struct Chill {
    std::optional<double> start;  ///< temperature at time 0; absent: only the readings say
    double target = 0;
    Range around;  ///< temperature of the surroundings
    std::optional<Belief> belief;
    std::vector<Reading> readings;
    double probe_error = 0.5;  ///< standard deviation of an honest reading, degrees
};

enum class Basis {
    estimate,   ///< no reading: depth and shape, or the plan's own time
    corrected,  ///< one reading corrects the estimate
    fitted      ///< two or more readings
};

enum class Caution {
    never,        ///< the surroundings are not colder than the target
    may_never,    ///< they may not be
    freezes,      ///< the target lies below the freezing of the food, whose heat is not counted
    unusual_lag,  ///< j outside 0.8 to 2.2: stirred, or the probe is not in the middle
    wrong_reading,
    little_known  ///< the interval is wider than the time itself
};

/// When the target is reached: 90 % between `earliest` and `latest`, seconds since the chill began.
///
/// How the interval is made: f, the temperature at the middle of the readings, and the temperature of the
/// surroundings are unknown; each combination on a grid is weighed by the belief and by how well it explains the
/// readings (normal error of the probe; with one chance in fifty a reading is mistyped and says nothing, but two
/// readings without a belief are taken at their word; a reading in the first lag, above four fifths of the difference,
/// is explained to 5 % of the difference only). `earliest` and `latest` cut 5 % off each end of the times so weighed;
/// `likely` is the time of the best combination. With few readings, or a target far beyond them, many combinations
/// explain them and the interval is wide.
struct Forecast {
    Basis basis = Basis::estimate;
    std::optional<double> likely;    ///< absent: never
    std::optional<double> earliest;  ///< absent: never
    std::optional<double> latest;    ///< absent: perhaps never
    double f = 0;
    std::optional<double> j;           ///< where the start is known
    double around = 0;                 ///< surroundings of the best combination
    double at_reference = 0;           ///< temperature of the best combination at `reference`
    double reference = 0;              ///< seconds
    std::vector<std::size_t> doubted;  ///< indices of readings that are more likely mistyped than not
    std::vector<Caution> cautions;
    /// Of the best combination, once the first lag is over.
    double celsius(double seconds) const;
};

/// Empty where nothing can be said: neither two readings nor a belief with a start or a reading.
std::optional<Forecast> forecast(const Chill& chill);

// -------------------------------------------------------------------------------------------- the night before

/// What the food stands in. A layer that is much wider than deep may leave length and width out.
struct Vessel {
    enum class Outline { layer, rectangle, round };
    Outline outline = Outline::layer;
    double length = 0;         ///< m; the diameter of a round one
    double width = 0;          ///< m
    bool cooled_below = true;  ///< air or water reaches the bottom too
};

struct Layer {
    Composition food;
    double kilograms = 0;         ///< not needed where `depth` is there
    std::optional<double> depth;  ///< m, in one vessel; absent: from the kilograms and the vessel's floor
    Vessel vessel;
    bool stirred = false;  ///< often enough to be the same temperature throughout
};

/// In one vessel: as said, or from the kilograms and the floor; empty where neither can be had, or is not positive.
std::optional<double> depth_of(const Layer& layer, double density);

/// What is believed of one vessel of it, as for a body; empty where there is no depth.
std::optional<Belief> belief(const Layer& layer, const Surroundings& where, double start, double target);

/// One line of the answer: so thin, so long. Seconds; `latest` is absent where it may never get there.
struct Thickness {
    int vessels = 1;  ///< alike, that the food is spread over
    double depth = 0;
    std::optional<double> earliest;
    std::optional<double> likely;
    std::optional<double> latest;
    bool lumped = false;  ///< worked out as the same temperature throughout
};

/// How long `layer` takes at its warmest point from `start` to `target`, spread over 1 to `lines` vessels alike. Empty
/// where an amount is missing or not positive.
///
/// The interval: each of surroundings' temperature, coefficient and conductivity is moved to either end of its range
/// by itself, and the changes of the logarithm of the time are added as squares. Evaporation and currents in a thin
/// liquid are left out; both make it quicker.
std::vector<Thickness> spread_thinner(const Layer& layer, const Surroundings& where, double start, double target,
                                      int lines);

}  // namespace oventide::cooling
