#pragma once
/// The chills of a plan: how long each takes, whether the plan gives it that long, and what its food-safety rule says.
///
/// What the cook wrote (`Cools`) is put to the physics of cooling.hpp. Nothing here decides when a step is done: a
/// plan's `takes` does. Durations are rounded up to whole minutes, those of `earliest` down.

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "oventide/cooling.hpp"
#include "oventide/plan.hpp"
#include "oventide/safety.hpp"
#include "oventide/timetable.hpp"

namespace oventide::chill {

/// 90 % between `earliest` and `latest`. Absent: never; `latest` alone absent: perhaps never.
struct Duration {
    std::optional<Minutes> earliest;
    std::optional<Minutes> likely;
    std::optional<Minutes> latest;
};

/// What if it is spread over so many vessels.
struct Line {
    std::int32_t vessels = 1;
    double depth = 0;  ///< m, in each
    Duration takes;
    bool even = false;  ///< stirred or thin: worked out as the same temperature throughout
};

/// Why a time was worked out as it was.
struct Basis {
    cooling::Composition food;
    cooling::Mixture properties;  ///< half way between the two temperatures
    cooling::Surroundings where;  ///< with the cook's own figures where there are such
};

/// A stage of a food-safety rule, in minutes since the end of cooking.
struct Stage {
    std::string text;              ///< "57 C to 21 C within 2 h"
    double to = 0;                 ///< degrees
    std::optional<double> due;     ///< absent: it never gets to where the stage begins
    std::optional<double> likely;  ///< when it is likely there; absent: never
    std::optional<double> latest;  ///< absent: perhaps never
    bool likely_kept = false;      ///< on the likely course
    bool surely_kept = false;      ///< on the slowest of the interval too
};

struct Answer {
    Basis basis;
    std::vector<Line> lines;    ///< as asked first, then one vessel more each
    std::vector<Stage> stages;  ///< of the rule, if it has any: for the first line
};

/// `milligrams`: all of it, or 0 where the depth alone tells. `waits`: from the end of cooking to the chill. `lines`:
/// how many more vessels to look at. Empty where there is no depth and no way to find one.
std::optional<Answer> answer(const Cools& cools, std::int64_t milligrams, const SafetyRule* rule, Minutes waits,
                             int lines);

/// What the cook should know about a chill of the timetable.
struct Remark {
    enum class Kind {
        too_short,  ///< it is likely not there when the plan says so
        too_long,   ///< it is there long before
        never,      ///< what it stands in is not cold enough
        unknown,    ///< there is no depth, and no way to find one
        stage       ///< a stage of the food-safety rule, with its clock time
    };
    Kind kind = Kind::too_short;
    std::size_t row = 0;  ///< of the timetable
    Minutes planned{0};   ///< what the plan gives it, start to ready
    Minutes cold{0};      ///< start to when the first of it is used
    Duration takes;
    double depth = 0;  ///< m
    // stage
    std::string text;
    std::optional<Instant> due;  ///< by when it must have happened; absent: see Stage::due
    std::optional<Instant> likely;
    std::optional<Instant> latest;
    bool likely_kept = false;
    bool surely_kept = false;
};

/// By row, then in the order of the kinds, then of the rule.
std::vector<Remark> remarks(const Plan& plan, const Timetable& timetable);

/// When the food of this row was cooked: the earliest ready of the cooked steps that it comes from without another
/// chill between; empty where there is none.
std::optional<Instant> cooked_at(const Plan& plan, const Timetable& timetable, const Row& row);

/// What is believed of the law of this chill before a probe is read: by its container, else by the time that the plan
/// gives it.
std::optional<cooling::Belief> belief(const Step& step, std::int64_t milligrams);
/// Where it cools, with the cook's own figures where there are such.
cooling::Surroundings surroundings(const Cold& cold);

}  // namespace oventide::chill
