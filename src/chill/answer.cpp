#include <algorithm>
#include <cmath>
#include <functional>
#include <limits>
#include <numeric>
#include <set>

#include "chill/physics.hpp"
#include "oventide/chill.hpp"
#include "oventide/watch.hpp"

namespace oventide::chill {
namespace {

std::optional<Minutes> up(std::optional<double> seconds) {
    if (!seconds) return std::nullopt;
    return Minutes{static_cast<std::int64_t>(std::ceil(*seconds / 60))};
}

std::optional<Minutes> down(std::optional<double> seconds) {
    if (!seconds) return std::nullopt;
    return Minutes{static_cast<std::int64_t>(std::floor(*seconds / 60))};
}

std::vector<Line> lines_of(const Cools& cools, const cooling::Layer& one, const Basis& basis, int more) {
    cooling::Layer all = one;  // as if in one vessel
    all.kilograms *= cools.over;
    if (all.depth) *all.depth *= cools.over;
    const auto thicknesses =
        cooling::spread_thinner(all, basis.where, degrees(cools.from), degrees(cools.to), cools.over + more);
    std::vector<Line> lines;
    for (const cooling::Thickness& each : thicknesses) {
        if (each.vessels < cools.over) continue;
        lines.push_back(
            {each.vessels, each.depth, {down(each.earliest), up(each.likely), up(each.latest)}, each.lumped});
    }
    return lines;
}

// ---------------------------------------------------------------------------------------------------- the rule

enum class Pace { likely, slowest };

/// The course of the food's warmest part, as readings at just the temperatures that the rule speaks of. The slowest
/// course takes the latest time to each: they all depend on the same unknowns, so what is slow to one is slow to all.
Course course_of(const Cools& cools, const cooling::Layer& one, const Basis& basis, const SafetyRule& rule,
                 double waits, Pace pace) {
    std::set<double, std::greater<>> marks;
    for (const CoolingStage& stage : rule.stages) {
        if (stage.from) marks.insert(*stage.from);
        marks.insert(stage.to);
    }
    const double start = degrees(cools.from);
    Course course;
    course.chill_began = waits;
    course.now = std::numeric_limits<double>::infinity();
    course.readings.push_back({waits, start});
    for (const double mark : marks) {
        if (mark >= start) continue;
        const auto line = cooling::spread_thinner(one, basis.where, start, mark, 1);
        const auto seconds = pace == Pace::likely ? line.front().likely : line.front().latest;
        if (!seconds) break;
        course.readings.push_back({waits + *seconds / 60, mark});
    }
    return course;
}

std::vector<Stage> stages_of(const Cools& cools, const cooling::Layer& one, const Basis& basis, const SafetyRule& rule,
                             double waits) {
    const Course likely = course_of(cools, one, basis, rule, waits, Pace::likely);
    const Course slowest = course_of(cools, one, basis, rule, waits, Pace::slowest);
    const auto on_likely = watch(rule, Duty::cooling, likely);
    const auto on_slowest = watch(rule, Duty::cooling, slowest);
    std::vector<Stage> stages;
    for (std::size_t i = 0, k = 0; i < on_likely.size(); ++i) {
        if (on_likely[i].kind != LimitWatch::Kind::stage) continue;
        const double to = rule.stages[k++].to;
        stages.push_back({on_likely[i].text, to, on_likely[i].due, on_likely[i].happens, falls_to(slowest, to),
                          on_likely[i].standing == Standing::met, on_slowest[i].standing == Standing::met});
    }
    return stages;
}

}  // namespace

std::optional<Answer> answer(const Cools& cools, std::int64_t milligrams, const SafetyRule* rule, Minutes waits,
                             int lines) {
    Answer result;
    const cooling::Layer one = layer(cools, milligrams);
    result.basis.food = one.food;
    result.basis.properties = cooling::mixture(one.food, std::midpoint(degrees(cools.from), degrees(cools.to)));
    result.basis.where = surroundings(cools.where);
    result.lines = lines_of(cools, one, result.basis, lines);
    if (result.lines.empty()) return std::nullopt;
    if (rule) result.stages = stages_of(cools, one, result.basis, *rule, static_cast<double>(waits.count()));
    return result;
}

}  // namespace oventide::chill
