#include <algorithm>
#include <array>

#include "oventide/cooling.hpp"

namespace oventide::cooling {
namespace {

/// a + b t + c t^2, t in degrees Celsius.
struct Quadratic {
    double a;
    double b;
    double c;
    double at(double t) const { return a + (b + c * t) * t; }
};

struct Component {
    double Composition::*share;
    Quadratic density;        // kg/m3
    Quadratic heat_capacity;  // kJ/(kg K)
    Quadratic conductivity;   // W/(m K)
};

// Choi and Okos (1986), as printed in the ASHRAE Handbook, Refrigeration (2006), chapter 9, tables 1 and 2; water's
// heat capacity from 0 to 150 C, with the constant that cooling.hpp names.
constexpr std::array<Component, 6> kComponents = {{
    {&Composition::water,
     {997.18, 3.1439e-3, -3.7574e-3},
     {4.1762, -9.0864e-5, 5.4731e-6},
     {0.57109, 1.7625e-3, -6.7036e-6}},
    {&Composition::protein, {1329.9, -0.51840, 0}, {2.0082, 1.2089e-3, -1.3129e-6}, {0.17881, 1.1958e-3, -2.7178e-6}},
    {&Composition::fat, {925.59, -0.41757, 0}, {1.9842, 1.4733e-3, -4.8008e-6}, {0.18071, -2.7604e-4, -1.7749e-7}},
    {&Composition::carbohydrate,
     {1599.1, -0.31046, 0},
     {1.5488, 1.9625e-3, -5.9399e-6},
     {0.20141, 1.3874e-3, -4.3312e-6}},
    {&Composition::fibre, {1311.5, -0.36589, 0}, {1.8459, 1.8306e-3, -4.6509e-6}, {0.18331, 1.2497e-3, -3.1683e-6}},
    {&Composition::ash, {2423.8, -0.28063, 0}, {1.0926, 1.8896e-3, -3.6817e-6}, {0.32962, 1.4011e-3, -2.9069e-6}},
}};

/// Conductivity of a solid with round bubbles of air in it (Maxwell 1873, Eucken 1940; from memory).
double with_bubbles(double solid, double air_share) {
    constexpr double kAir = 0.025;  // W/(m K), near 10 C
    const double difference = solid - kAir;
    return solid * (2 * solid + kAir - 2 * air_share * difference) / (2 * solid + kAir + air_share * difference);
}

// From memory, typical; see cooling.hpp. Water, protein, fat, carbohydrate, fibre, ash, air.
constexpr std::array<Food, 10> kFoods = {{
    {"custard", {0.70, 0.045, 0.07, 0.175, 0, 0.01, 0}},
    {"cream", {0.58, 0.02, 0.37, 0.025, 0, 0.005, 0}},
    {"whipped cream", {0.55, 0.02, 0.34, 0.085, 0, 0.005, 0.5}},
    {"pastry dough", {0.19, 0.06, 0.30, 0.43, 0.015, 0.005, 0}},
    {"fruit puree", {0.85, 0.005, 0.002, 0.123, 0.015, 0.005, 0}},
    {"glaze", {0.35, 0.02, 0.08, 0.545, 0, 0.005, 0}},
    {"sponge", {0.30, 0.075, 0.12, 0.49, 0.007, 0.008, 0.6}},
    {"milk", {0.877, 0.033, 0.036, 0.047, 0, 0.007, 0}},
    {"chocolate cream", {0.33, 0.045, 0.33, 0.27, 0.015, 0.01, 0}},
    {"water", {1, 0, 0, 0, 0, 0, 0}},
}};

}  // namespace

Mixture mixture(const Composition& composition, double celsius) {
    double volume = 0;         // m3/kg
    double heat_capacity = 0;  // kJ/(kg K)
    double parallel = 0;       // W/(m K) m3/kg
    double perpendicular = 0;  // m K/W m3/kg
    for (const Component& component : kComponents) {
        const double share = composition.*component.share;
        const double part = share / component.density.at(celsius);
        const double conductivity = component.conductivity.at(celsius);
        volume += part;
        heat_capacity += share * component.heat_capacity.at(celsius);
        parallel += part * conductivity;
        perpendicular += part / conductivity;
    }
    return {(1 - composition.air) / volume, heat_capacity * 1000, with_bubbles(parallel / volume, composition.air),
            with_bubbles(volume / perpendicular, composition.air)};
}

std::span<const Food> foods() { return kFoods; }

std::optional<Food> find_food(std::string_view key) {
    const auto food = std::ranges::find(kFoods, key, &Food::key);
    if (food == kFoods.end()) return std::nullopt;
    return *food;
}

}  // namespace oventide::cooling
