#include <cmath>

#include "oventide/cooling.hpp"

namespace oventide::cooling {
namespace {

/// The law at the centre with one coefficient on every face.
Law law_with(const Body& shape, const Mixture& food, double conductivity, double transfer) {
    Body body = shape;
    for (Direction& direction : body) direction.transfer = transfer;
    return first_term_law(body, {food.density, food.heat_capacity, conductivity}, Where::centre);
}

/// The larger of the two ways in which `usual` may be off, as a logarithm.
double spread_of(double one, double usual, double other) {
    return std::max(std::abs(std::log(one / usual)), std::abs(std::log(other / usual)));
}

}  // namespace

Belief belief(const Body& shape, const Mixture& food, const Range& transfer) {
    const double middle = food.material().conductivity;
    const Law usual = law_with(shape, food, middle, transfer.usual);
    const Law slow = law_with(shape, food, middle, transfer.low);
    const Law quick = law_with(shape, food, middle, transfer.high);
    const Law dull = law_with(shape, food, food.perpendicular, transfer.usual);
    const Law bright = law_with(shape, food, food.parallel, transfer.usual);
    // Depth and shape are never quite as said.
    constexpr double kShape = 0.1;
    const double f = std::hypot(spread_of(slow.f, usual.f, quick.f), spread_of(dull.f, usual.f, bright.f), kShape);
    const double j = std::hypot(spread_of(slow.j, usual.j, quick.j), spread_of(dull.j, usual.j, bright.j), kShape);
    return {usual.f, std::exp(f), usual.j, std::exp(j)};
}

std::optional<Belief> belief(const Range& seconds, double start, double target, double around) {
    if (!(around < target && target < start)) return std::nullopt;
    if (!(0 < seconds.low && seconds.low <= seconds.usual && seconds.usual <= seconds.high)) return std::nullopt;
    Belief result;
    result.f = seconds.usual / std::log10(result.j * (start - around) / (target - around));
    // A figure with no spread is still a guess.
    constexpr double kGuess = 1.25;
    result.f_factor = std::max(kGuess, std::exp(spread_of(seconds.low, seconds.usual, seconds.high)));
    return result;
}

}  // namespace oventide::cooling
