#include <algorithm>
#include <cmath>
#include <numbers>
#include <numeric>

#include "oventide/cooling.hpp"

namespace oventide::cooling {
namespace {

/// What one vessel holds, and what cools it.
struct Slice {
    const Vessel& vessel;
    double depth;
    bool stirred;
};

double floor_area(const Vessel& vessel) {
    if (vessel.outline == Vessel::Outline::round) return std::numbers::pi / 4 * vessel.length * vessel.length;
    return vessel.length * vessel.width;
}

/// One vessel's warmest point lies in the middle of its depth, or on its floor where that is not cooled.
Body body_of(const Slice& slice, double transfer) {
    const double height = slice.vessel.cooled_below ? slice.depth : 2 * slice.depth;
    switch (slice.vessel.outline) {
        case Vessel::Outline::rectangle:
            return brick(slice.vessel.length, slice.vessel.width, height, transfer);
        case Vessel::Outline::round:
            return short_cylinder(slice.vessel.length, height, transfer);
        case Vessel::Outline::layer:
            break;
    }
    return slab(height, transfer);
}

double volume_over_surface(const Slice& slice) {
    const Vessel& vessel = slice.vessel;
    const double faces = vessel.cooled_below ? 2 : 1;
    double around_floor = 0;  // girth over floor area
    if (vessel.outline == Vessel::Outline::rectangle) around_floor = 2 / vessel.length + 2 / vessel.width;
    if (vessel.outline == Vessel::Outline::round) around_floor = 4 / vessel.length;
    return 1 / (faces / slice.depth + around_floor);
}

bool is_lumped(const Slice& slice, const Material& material, double transfer) {
    return slice.stirred || lumped(material, volume_over_surface(slice), transfer).trusted;
}

/// `left` in (0, 1).
double seconds_to(const Slice& slice, const Material& material, double transfer, double left) {
    if (is_lumped(slice, material, transfer)) {
        return lumped(material, volume_over_surface(slice), transfer).seconds_to(left);
    }
    return Conduction(body_of(slice, transfer), material).seconds_to(left, Where::centre);
}

double left_at(double start, double target, double around) { return (target - around) / (start - around); }

Thickness thickness_of(const Slice& slice, const Mixture& food, const Surroundings& where, double start,
                       double target) {
    Thickness result;
    result.depth = slice.depth;
    const Material usual = food.material();
    result.lumped = is_lumped(slice, usual, where.transfer.usual);
    if (start <= target) {
        result.earliest = result.likely = result.latest = 0.0;
        return result;
    }
    if (where.celsius.usual >= target) return result;

    const auto seconds = [&](double conductivity, double transfer, double around) {
        return seconds_to(slice, {food.density, food.heat_capacity, conductivity}, transfer,
                          left_at(start, target, around));
    };
    const double likely = seconds(usual.conductivity, where.transfer.usual, where.celsius.usual);
    const auto change = [&](double value) { return std::log(value / likely); };
    const double quicker = std::hypot(change(seconds(food.parallel, where.transfer.usual, where.celsius.usual)),
                                      change(seconds(usual.conductivity, where.transfer.high, where.celsius.usual)),
                                      change(seconds(usual.conductivity, where.transfer.usual, where.celsius.low)));
    result.likely = likely;
    result.earliest = likely * std::exp(-quicker);
    if (where.celsius.high >= target) return result;
    const double slower = std::hypot(change(seconds(food.perpendicular, where.transfer.usual, where.celsius.usual)),
                                     change(seconds(usual.conductivity, where.transfer.low, where.celsius.usual)),
                                     change(seconds(usual.conductivity, where.transfer.usual, where.celsius.high)));
    result.latest = likely * std::exp(slower);
    return result;
}

}  // namespace

std::optional<double> depth_of(const Layer& layer, double density) {
    std::optional<double> depth = layer.depth;
    if (!depth && layer.vessel.outline != Vessel::Outline::layer)
        depth = layer.kilograms / density / floor_area(layer.vessel);
    if (!depth || !std::isfinite(*depth) || *depth <= 0) return std::nullopt;
    return depth;
}

std::optional<Belief> belief(const Layer& layer, const Surroundings& where, double start, double target) {
    const Mixture food = mixture(layer.food, std::midpoint(start, target));
    const std::optional<double> depth = depth_of(layer, food.density);
    if (!depth) return std::nullopt;
    const Slice slice{layer.vessel, *depth, layer.stirred};
    const Material usual = food.material();
    if (!is_lumped(slice, usual, where.transfer.usual)) return belief(body_of(slice, 1), food, where.transfer);
    const double time_constant = lumped(usual, volume_over_surface(slice), where.transfer.usual).time_constant;
    const double factor =
        std::max(where.transfer.usual / where.transfer.low, where.transfer.high / where.transfer.usual);
    constexpr double kShape = 1.1;  // depth and shape are never quite as said
    return Belief{time_constant * std::numbers::ln10, factor * kShape, 1, kShape};
}

std::vector<Thickness> spread_thinner(const Layer& layer, const Surroundings& where, double start, double target,
                                      int lines) {
    const Mixture food = mixture(layer.food, std::midpoint(start, target));
    const std::optional<double> depth = depth_of(layer, food.density);
    if (!depth) return {};
    std::vector<Thickness> result;
    for (int vessels = 1; vessels <= lines; ++vessels) {
        result.push_back(thickness_of({layer.vessel, *depth / vessels, layer.stirred}, food, where, start, target));
        result.back().vessels = vessels;
    }
    return result;
}

}  // namespace oventide::cooling
