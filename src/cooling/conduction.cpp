#include <algorithm>
#include <array>
#include <boost/math/tools/toms748_solve.hpp>
#include <cmath>
#include <cstdint>
#include <limits>
#include <numbers>
#include <numeric>

#include "oventide/cooling.hpp"

namespace oventide::cooling {
namespace {

using std::numbers::pi;

constexpr double kLn10 = std::numbers::ln10;

constexpr int kMostTerms = 64;

double bessel0(double x) { return std::cyl_bessel_j(0.0, x); }
double bessel1(double x) { return std::cyl_bessel_j(1.0, x); }

/// The root of `function` in (low, high), where it changes its sign exactly once (Alefeld, Potra and Shi 1995).
template <class Function>
double root(const Function& function, double low, double high) {
    constexpr int kBits = 51;
    std::uintmax_t steps = 200;
    const auto [below, above] =
        boost::math::tools::toms748_solve(function, low, high, boost::math::tools::eps_tolerance<double>(kBits), steps);
    return std::midpoint(below, above);
}

/// Zeros 1 to kMostTerms of J0 and J1, from 1 on; entry 0 is 0. Between a zero of J1 and the next of J0 lies exactly
/// one root of the cylinder's equation.
struct Zeros {
    std::array<double, kMostTerms + 1> j0{};
    std::array<double, kMostTerms + 1> j1{};
};

const Zeros& zeros() {
    static const Zeros found = [] {
        Zeros result;
        for (int n = 1; n <= kMostTerms; ++n) {
            result.j0[n] = root(bessel0, (n - 0.5) * pi, n * pi);
            result.j1[n] = root(bessel1, n * pi, (n + 0.5) * pi);
        }
        return result;
    }();
    return found;
}

double eigenvalue_of_infinite(Shape shape, int n) {
    switch (shape) {
        case Shape::slab:
            return (n - 0.5) * pi;
        case Shape::cylinder:
            return zeros().j0[n];
        case Shape::sphere:
            break;
    }
    return n * pi;
}

/// For tiny Bi the equations cancel to nothing in floating point; their expansion does not.
double eigenvalue_of_tiny(Shape shape, double biot) {
    const double dimensions = shape == Shape::slab ? 1 : shape == Shape::cylinder ? 2 : 3;
    return std::sqrt(dimensions * biot * (1 - biot / (dimensions + 2)));
}

double eigenvalue(Shape shape, double biot, int n) {
    constexpr double kTiny = 1e-4;  // the next term of the expansion is below 1e-8 of the root
    if (std::isinf(biot)) return eigenvalue_of_infinite(shape, n);
    if (n == 1 && biot < kTiny) return eigenvalue_of_tiny(shape, biot);
    constexpr double kAboveZero = 1e-3;  // the sphere's equation has a root at 0 that is none of its own
    // Multiplied out, so that nothing is infinite inside the bracket.
    switch (shape) {
        case Shape::slab:
            return root([=](double x) { return x * std::sin(x) - biot * std::cos(x); }, (n - 1) * pi, (n - 0.5) * pi);
        case Shape::cylinder:
            return root([=](double x) { return x * bessel1(x) - biot * bessel0(x); }, zeros().j1[n - 1], zeros().j0[n]);
        case Shape::sphere:
            break;
    }
    return root([=](double x) { return x * std::cos(x) + (biot - 1) * std::sin(x); },
                n == 1 ? kAboveZero : (n - 1) * pi, n * pi);
}

Term slab_term(double x) { return {x, 4 * std::sin(x) / (2 * x + std::sin(2 * x)), std::cos(x), std::sin(x) / x}; }

Term cylinder_term(double x) {
    const double at_zero = bessel0(x);
    const double at_one = bessel1(x);
    return {x, 2 / x * at_one / (at_zero * at_zero + at_one * at_one), at_zero, 2 * at_one / x};
}

/// The textbook form 4 (sin x - x cos x)/(2 x - sin 2x) cancels for small x; with x cos x = (1 - Bi) sin x it does not.
Term sphere_term(double x, double biot) {
    if (std::isinf(biot)) {
        const double sign = std::cos(x) < 0 ? 1 : -1;
        return {x, 2 * sign, 0, 3 * sign / (x * x)};
    }
    const double sine = std::sin(x);
    const double sign = sine < 0 ? -1 : 1;
    const double coefficient =
        sign * 2 * biot * std::sqrt(x * x + (biot - 1) * (biot - 1)) / (x * x + biot * biot - biot);
    return {x, coefficient, sine / x, 3 * biot * sine / (x * x * x)};
}

double factor(const Term& term, Where where) {
    switch (where) {
        case Where::centre:
            return 1;
        case Where::surface:
            return term.surface;
        case Where::mean:
            break;
    }
    return term.mean;
}

double biot_of(const Direction& direction, const Material& material) {
    return direction.transfer * direction.half / material.conductivity;
}

double rate_of(const Direction& direction, const Material& material) {
    return material.diffusivity() / (direction.half * direction.half);
}

/// Surface of a half-space, Carslaw and Jaeger (1959), section 2.7: exp(x^2) erfc(x), x = h sqrt(diffusivity t) / k.
double thick_surface(double x) {
    constexpr double kLarge = 10;  // beyond it exp overflows before erfc vanishes; the expansion is good to 1e-4
    if (x > kLarge) return std::numbers::inv_sqrtpi / x * (1 - 1 / (2 * x * x));
    return std::exp(x * x) * std::erfc(x);
}

}  // namespace

Term series_term(Shape shape, double biot, int n) {
    const double x = eigenvalue(shape, biot, n);
    switch (shape) {
        case Shape::slab:
            return slab_term(x);
        case Shape::cylinder:
            return cylinder_term(x);
        case Shape::sphere:
            break;
    }
    return sphere_term(x, biot);
}

// -------------------------------------------------------------------------------------------------- bodies

Body slab(double thickness, double transfer) { return {{Shape::slab, thickness / 2, transfer}}; }
Body cylinder(double diameter, double transfer) { return {{Shape::cylinder, diameter / 2, transfer}}; }
Body sphere(double diameter, double transfer) { return {{Shape::sphere, diameter / 2, transfer}}; }

Body brick(double length, double width, double height, double transfer) {
    return {
        {Shape::slab, length / 2, transfer}, {Shape::slab, width / 2, transfer}, {Shape::slab, height / 2, transfer}};
}

Body short_cylinder(double diameter, double height, double transfer) {
    return {{Shape::cylinder, diameter / 2, transfer}, {Shape::slab, height / 2, transfer}};
}

double fourier(const Body& body, const Material& material, double seconds) {
    double smallest = std::numeric_limits<double>::infinity();
    for (const Direction& direction : body) smallest = std::min(smallest, rate_of(direction, material) * seconds);
    return smallest;
}

double biot(const Body& body, const Material& material) {
    double largest = 0;
    for (const Direction& direction : body) largest = std::max(largest, biot_of(direction, material));
    return largest;
}

// --------------------------------------------------------------------------------------------- handbook's law

double Law::fraction(double seconds) const { return j * std::exp(-kLn10 * seconds / f); }

double Law::seconds_to(double left) const { return std::max(0.0, f * std::log10(j / left)); }

Law first_term_law(const Body& body, const Material& material, Where where) {
    double decay = 0;  // of the logarithm, per second
    double j = 1;
    for (const Direction& direction : body) {
        const Term term = first_term(direction.shape, biot_of(direction, material));
        decay += term.eigenvalue * term.eigenvalue * rate_of(direction, material);
        j *= term.coefficient * factor(term, where);
    }
    return {kLn10 / decay, j};
}

// ------------------------------------------------------------------------------------------------ whole series

Conduction::Conduction(const Body& body, const Material& material) {
    for (const Direction& direction : body) {
        Series series{{}, biot_of(direction, material), rate_of(direction, material)};
        for (int n = 1; n <= kTerms; ++n) series.terms[n - 1] = series_term(direction.shape, series.biot, n);
        directions_.push_back(series);
    }
}

double Conduction::Series::fraction(double seconds, Where where) const {
    const double number = rate * seconds;
    // Before this the terms left out still count (up to 0.7 % of the mean): the centre has not felt anything yet, and
    // the surface does what that of a very thick body does.
    constexpr double kEarly = 0.003;
    if (number < kEarly && where == Where::centre) return 1;
    if (number < kEarly && where == Where::surface) return thick_surface(biot * std::sqrt(number));
    double sum = 0;
    for (const Term& term : terms) {
        sum += term.coefficient * factor(term, where) * std::exp(-term.eigenvalue * term.eigenvalue * number);
    }
    return std::clamp(sum, 0.0, 1.0);
}

double Conduction::fraction(double seconds, Where where) const {
    double product = 1;
    for (const Series& series : directions_) product *= series.fraction(seconds, where);
    return product;
}

double Conduction::seconds_to(double left, Where where) const {
    double late = 1;
    while (fraction(late, where) > left) late *= 2;
    return root([&](double seconds) { return left - fraction(seconds, where); }, 0.0, late);
}

// -------------------------------------------------------------------------------------------------- lumped

double Lumped::seconds_to(double left) const { return std::max(0.0, -time_constant * std::log(left)); }

Lumped lumped(const Material& material, double volume_over_surface, double transfer) {
    const double number = transfer * volume_over_surface / material.conductivity;
    return {material.density * material.heat_capacity * volume_over_surface / transfer, number, number < kLumpedBiot};
}

}  // namespace oventide::cooling
