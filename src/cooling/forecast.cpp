#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>
#include <numeric>
#include <utility>

#include "oventide/cooling.hpp"

// A posterior on a grid that is narrowed to where it matters. Three unknowns: the logarithm of f, the temperature of
// the food at the mean time of the readings (which, unlike j, hardly depends on f), and that of the surroundings.

namespace oventide::cooling {
namespace {

constexpr double kLn10 = std::numbers::ln10;
constexpr double kNinety = 1.645;  // standard deviations on either side that hold 90 %
constexpr double kShortestF = 30;  // seconds
constexpr double kLongestF = 60.0 * 24 * 3600;
constexpr double kMistyped = 0.02;          // chance of it, for each reading, where others could tell
constexpr double kMistypedDensity = 0.005;  // per degree: anything over two hundred degrees

double square(double x) { return x * x; }

/// One combination of the unknowns.
struct Guess {
    double log_f;
    double middle;  // temperature of the food at Problem::reference, on the straight part of the law
    double around;
};

struct Axis {
    double low;
    double high;
    double at(int i, int count) const { return count == 1 ? low : low + (high - low) * i / (count - 1); }
};

struct Box {
    Axis log_f;
    Axis middle;
    Axis around;
};

/// The logarithm of a number that is believed in, and the standard deviation of that.
struct LogNormal {
    LogNormal(double value, double factor) : mean(std::log(value)), deviation(std::log(factor) / kNinety) {}
    double mean;
    double deviation;
    double log_density(double log_value) const { return -square((log_value - mean) / deviation) / 2; }
};

struct Problem {
    const Chill& chill;
    std::optional<LogNormal> f;  ///< none: any is as good
    LogNormal j;
    double reference;  // seconds
    double around_deviation;
    double mistyped = 0;  // chance of it
    double blur =
        0;  // degrees by which neighbours on the grid differ, added to the probe's error while the grid is coarse
};

double celsius_at(const Guess& guess, double reference, double seconds) {
    return guess.around +
           (guess.middle - guess.around) * std::exp(-kLn10 * (seconds - reference) / std::exp(guess.log_f));
}

/// Logarithm of how likely a reading is when it is honest, as a density per degree.
double honest_log_density(const Problem& problem, const Guess& guess, const Reading& reading) {
    double expected = celsius_at(guess, problem.reference, reading.seconds);
    double variance = square(problem.chill.probe_error) + square(problem.blur);
    if (const auto start = problem.chill.start) {
        constexpr double kLagEnds = 0.8;    // of the difference; above it the law is not straight yet
        constexpr double kLagError = 0.05;  // of the difference
        const double difference = *start - guess.around;
        if (expected > guess.around + kLagEnds * difference) variance += square(kLagError * difference);
        expected = std::min(expected, *start);
    }
    return -(square(reading.celsius - expected) / variance + std::log(2 * std::numbers::pi * variance)) / 2;
}

/// How likely it is that the reading was mistyped.
double mistyped_share(const Problem& problem, const Guess& guess, const Reading& reading) {
    const double wrong = problem.mistyped * kMistypedDensity;
    return wrong / (wrong + (1 - problem.mistyped) * std::exp(honest_log_density(problem, guess, reading)));
}

double log_likelihood(const Problem& problem, const Guess& guess, const Reading& reading) {
    const double honest = honest_log_density(problem, guess, reading);
    if (problem.mistyped == 0) return honest;
    return std::log((1 - problem.mistyped) * std::exp(honest) + problem.mistyped * kMistypedDensity);
}

double log_prior(const Problem& problem, const Guess& guess) {
    const Chill& chill = problem.chill;
    double result = 0;
    if (problem.around_deviation > 0) {
        result -= square((guess.around - chill.around.usual) / problem.around_deviation) / 2;
    }
    if (problem.f) result += problem.f->log_density(guess.log_f);
    if (chill.start && *chill.start > guess.around) {
        const double at_zero = celsius_at(guess, problem.reference, 0) - guess.around;
        const double log_j = std::log(at_zero / (*chill.start - guess.around));
        result += problem.j.log_density(log_j);
    }
    return result;
}

double log_posterior(const Problem& problem, const Guess& guess) {
    double result = log_prior(problem, guess);
    for (const Reading& reading : problem.chill.readings) result += log_likelihood(problem, guess, reading);
    return result;
}

// ------------------------------------------------------------------------------------------------------ the grid

struct Point {
    Guess guess;
    double log_weight;
};

std::vector<Point> weigh(const Problem& problem, const Box& box, int count, int around_count) {
    std::vector<Point> points;
    points.reserve(static_cast<std::size_t>(count) * count * around_count);
    for (int a = 0; a < around_count; ++a) {
        const double around = box.around.at(a, around_count);
        for (int m = 0; m < count; ++m) {
            const double middle = box.middle.at(m, count);
            if (middle <= around) continue;
            for (int f = 0; f < count; ++f) {
                const Guess guess{box.log_f.at(f, count), middle, around};
                points.push_back({guess, log_posterior(problem, guess)});
            }
        }
    }
    return points;
}

const Point* best_of(const std::vector<Point>& points) {
    const auto best = std::ranges::max_element(points, {}, &Point::log_weight);
    return best == points.end() ? nullptr : &*best;
}

/// The part of `box` that holds every point of weight, and one step more on each side.
Box narrowed(const Box& box, const std::vector<Point>& points, double best, int count, int around_count) {
    constexpr double kNegligible = 12;  // a factor of 160,000
    Box hull{{box.log_f.high, box.log_f.low}, {box.middle.high, box.middle.low}, {box.around.high, box.around.low}};
    const auto include = [](Axis& axis, double value) {
        axis.low = std::min(axis.low, value);
        axis.high = std::max(axis.high, value);
    };
    for (const Point& point : points) {
        if (point.log_weight < best - kNegligible) continue;
        include(hull.log_f, point.guess.log_f);
        include(hull.middle, point.guess.middle);
        include(hull.around, point.guess.around);
    }
    const auto widen = [](Axis& inner, const Axis& outer, int steps) {
        const double step = steps > 1 ? (outer.high - outer.low) / (steps - 1) : 0;
        inner.low = std::max(outer.low, inner.low - step);
        inner.high = std::min(outer.high, inner.high + step);
    };
    widen(hull.log_f, box.log_f, count);
    widen(hull.middle, box.middle, count);
    widen(hull.around, box.around, around_count);
    return hull;
}

bool much_narrower(const Box& box, const Box& before) {
    constexpr double kMuch = 0.95;
    const auto narrower = [](const Axis& now, const Axis& then) {
        return now.high - now.low < kMuch * (then.high - then.low);
    };
    return narrower(box.log_f, before.log_f) || narrower(box.middle, before.middle) ||
           narrower(box.around, before.around);
}

/// How far apart the temperatures of neighbours on the grid can be: x exp(-x) is at most 0.37.
double blur_of(const Box& box, int count) {
    const double middle = (box.middle.high - box.middle.low) / (count - 1);
    const double log_f = (box.log_f.high - box.log_f.low) / (count - 1);
    return std::hypot(middle, 0.37 * log_f * (box.middle.high - box.around.low)) / 2;
}

/// Everything that could be: the readings, the start with its lag, and five degrees more.
Box whole_box(const Problem& problem) {
    const Chill& chill = problem.chill;
    double low = chill.around.low;
    double high = chill.start ? chill.around.low + 2.5 * (*chill.start - chill.around.low) : chill.around.high;
    for (const Reading& reading : chill.readings) high = std::max(high, reading.celsius + 5);
    return {{std::log(kShortestF), std::log(kLongestF)},
            {low, high},
            {chill.around.usual - 3 * problem.around_deviation, chill.around.usual + 3 * problem.around_deviation}};
}

/// A climb from the best grid point by ever smaller steps along each axis.
Guess climb(const Problem& problem, Guess guess, const Box& box, int count) {
    double best = log_posterior(problem, guess);
    double step = 2.0 / count;
    for (int round = 0; round < 400 && step > 1e-9; ++round) {
        bool better = false;
        for (const auto& [axis, unknown] :
             {std::pair{&Box::log_f, &Guess::log_f}, std::pair{&Box::middle, &Guess::middle},
              std::pair{&Box::around, &Guess::around}}) {
            const double width = (box.*axis).high - (box.*axis).low;
            for (const double sign : {-1.0, 1.0}) {
                Guess next = guess;
                next.*unknown += sign * step * width;
                if (next.middle <= next.around) continue;
                const double value = log_posterior(problem, next);
                if (value > best) {
                    best = value;
                    guess = next;
                    better = true;
                }
            }
        }
        if (!better) step /= 2;
    }
    return guess;
}

// ---------------------------------------------------------------------------------------------------- the answer

/// Seconds since the chill began; infinite where the surroundings are not colder than the target.
double time_to_target(const Problem& problem, const Guess& guess) {
    const double target = problem.chill.target;
    if (guess.around >= target) return std::numeric_limits<double>::infinity();
    const double left = (target - guess.around) / (guess.middle - guess.around);
    return std::max(0.0, problem.reference - std::exp(guess.log_f) * std::log10(left));
}

struct Weighted {
    double value;
    double weight;
};

/// `sorted` by value; the value below which `share` of the weight lies.
double quantile(const std::vector<Weighted>& sorted, double share) {
    const double total = std::accumulate(sorted.begin(), sorted.end(), 0.0,
                                         [](double sum, const Weighted& w) { return sum + w.weight; });
    double sum = 0;
    for (const Weighted& entry : sorted) {
        sum += entry.weight;
        if (sum >= share * total) return entry.value;
    }
    return sorted.back().value;
}

std::optional<double> if_finite(double seconds) {
    if (!std::isfinite(seconds)) return std::nullopt;
    return seconds;
}

/// Readings that are more likely mistyped than not, over all combinations.
std::vector<std::size_t> doubted_readings(const Problem& problem, const std::vector<Point>& points, double best) {
    const std::vector<Reading>& readings = problem.chill.readings;
    if (problem.mistyped == 0) return {};
    std::vector<double> mistyped(readings.size());
    double total = 0;
    for (const Point& point : points) {
        const double weight = std::exp(point.log_weight - best);
        if (weight < 1e-9) continue;
        total += weight;
        for (std::size_t i = 0; i < readings.size(); ++i) {
            mistyped[i] += weight * mistyped_share(problem, point.guess, readings[i]);
        }
    }
    std::vector<std::size_t> doubted;
    for (std::size_t i = 0; i < readings.size(); ++i) {
        if (mistyped[i] > total / 2) doubted.push_back(i);
    }
    return doubted;
}

void add_cautions(const Chill& chill, Forecast& forecast) {
    constexpr double kFreezing = -0.5;
    if (!forecast.likely) forecast.cautions.push_back(Caution::never);
    if (forecast.likely && !forecast.latest) forecast.cautions.push_back(Caution::may_never);
    if (chill.target < kFreezing) forecast.cautions.push_back(Caution::freezes);
    if (forecast.j && (*forecast.j < 0.8 || *forecast.j > 2.2)) forecast.cautions.push_back(Caution::unusual_lag);
    if (!forecast.doubted.empty()) forecast.cautions.push_back(Caution::wrong_reading);
    if (forecast.likely && forecast.earliest && forecast.latest &&
        *forecast.latest - *forecast.earliest > *forecast.likely) {
        forecast.cautions.push_back(Caution::little_known);
    }
}

/// Nothing can be said without a line to extrapolate: two readings, or a belief and somewhere to begin.
bool enough(const Chill& chill) {
    const std::size_t known = chill.readings.size() + (chill.start ? 1 : 0);
    return chill.belief ? known >= 1 : known >= 2 && !chill.readings.empty();
}

bool finite(const Chill& chill) {
    const auto fine = [](const Reading& reading) {
        return std::isfinite(reading.celsius) && std::isfinite(reading.seconds) && reading.seconds >= 0;
    };
    return std::isfinite(chill.target) && std::isfinite(chill.around.low) && std::isfinite(chill.around.high) &&
           std::isfinite(chill.start.value_or(0)) && std::ranges::all_of(chill.readings, fine);
}

std::optional<Forecast> fitted(const Chill& chill) {
    if (!enough(chill) || !finite(chill)) return std::nullopt;
    const Belief j = chill.belief.value_or(Belief{.j = 1.3, .j_factor = 1.6});
    Problem problem{chill, {}, {j.j, j.j_factor}, 0, (chill.around.high - chill.around.low) / (2 * kNinety)};
    if (chill.belief) problem.f.emplace(chill.belief->f, chill.belief->f_factor);
    // Two readings and no belief: a line through either and any other point would do, so both are taken at their word.
    if (chill.belief || chill.readings.size() > 2) problem.mistyped = kMistyped;
    for (const Reading& reading : chill.readings) {
        problem.reference += reading.seconds / static_cast<double>(chill.readings.size());
    }

    constexpr int kCoarse = 25;
    constexpr int kFine = 41;
    constexpr int kRounds = 12;
    constexpr double kSharp = 0.2;  // of the probe's error: no need to look closer
    const int around_count = problem.around_deviation > 0 ? 7 : 1;
    Box box = whole_box(problem);
    for (int round = 0; round < kRounds; ++round) {
        problem.blur = blur_of(box, kCoarse);
        if (problem.blur < kSharp * chill.probe_error) break;
        const std::vector<Point> points = weigh(problem, box, kCoarse, around_count);
        const Point* best = best_of(points);
        if (best == nullptr) return std::nullopt;
        const Box before = std::exchange(box, narrowed(box, points, best->log_weight, kCoarse, around_count));
        if (!much_narrower(box, before)) break;
    }
    problem.blur = 0;
    const std::vector<Point> points = weigh(problem, box, kFine, around_count);
    const Point* top = best_of(points);
    if (top == nullptr) return std::nullopt;
    const Guess best = climb(problem, top->guess, box, kFine);

    std::vector<Weighted> times;
    for (const Point& point : points) {
        times.push_back({time_to_target(problem, point.guess), std::exp(point.log_weight - top->log_weight)});
    }
    std::ranges::sort(times, {}, &Weighted::value);

    Forecast result;
    result.basis = chill.readings.empty()       ? Basis::estimate
                   : chill.readings.size() == 1 ? Basis::corrected
                                                : Basis::fitted;
    const double likely = time_to_target(problem, best);
    result.likely = if_finite(likely);
    result.earliest = if_finite(std::min(likely, quantile(times, 0.05)));
    result.latest = if_finite(std::max(likely, quantile(times, 0.95)));
    result.f = std::exp(best.log_f);
    result.around = best.around;
    result.at_reference = best.middle;
    result.reference = problem.reference;
    if (chill.start && *chill.start > best.around) {
        result.j = (result.celsius(0) - best.around) / (*chill.start - best.around);
    }
    result.doubted = doubted_readings(problem, points, top->log_weight);
    add_cautions(chill, result);
    return result;
}

bool is_doubted(const Forecast& found, std::size_t reading) {
    return std::ranges::find(found.doubted, reading) != found.doubted.end();
}

/// With those readings alone of which `kept` holds; nothing where that is too little to go by.
template <class Kept>
std::optional<Forecast> fitted_to(Chill chill, Kept kept) {
    std::vector<Reading> readings;
    for (std::size_t i = 0; i < chill.readings.size(); ++i)
        if (kept(i)) readings.push_back(chill.readings[i]);
    chill.readings = std::move(readings);
    return enough(chill) ? fitted(chill) : std::nullopt;
}

/// What is doubted has no say in what is expected.
std::optional<Forecast> fitted_without(const Chill& chill, const Forecast& found) {
    auto forecast = fitted_to(chill, [&](std::size_t i) { return !is_doubted(found, i); });
    if (forecast) forecast->doubted = found.doubted;
    return forecast;
}

/// Doubted readings after all others: of two or more it is not they that are wrong. Since then it cools otherwise: the
/// fridge fails, or was opened, or it has been moved. What was read before, and what is believed, says nothing more.
std::optional<Forecast> fitted_anew(const Chill& chill, const Forecast& found) {
    double last_fitting = 0;
    for (std::size_t i = 0; i < chill.readings.size(); ++i)
        if (!is_doubted(found, i)) last_fitting = std::max(last_fitting, chill.readings[i].seconds);
    const auto is_new = [&](std::size_t i) { return is_doubted(found, i) && chill.readings[i].seconds > last_fitting; };
    Chill since = chill;
    since.start.reset();
    since.belief.reset();
    auto forecast = fitted_to(std::move(since), is_new);
    if (!forecast) return std::nullopt;
    forecast->doubted.clear();
    for (std::size_t i = 0; i < chill.readings.size(); ++i)
        if (!is_new(i)) forecast->doubted.push_back(i);
    return forecast;
}

}  // namespace

double Forecast::celsius(double seconds) const {
    return around + (at_reference - around) * std::exp(-kLn10 * (seconds - reference) / f);
}

std::optional<Forecast> forecast(const Chill& chill) {
    auto found = fitted(chill);
    if (!found || found->doubted.empty()) return found;
    auto better = fitted_anew(chill, *found);
    if (!better) better = fitted_without(chill, *found);
    if (!better) return found;
    better->cautions.push_back(Caution::wrong_reading);
    return better;
}

}  // namespace oventide::cooling
