#pragma once
/// A food-safety rule held against the temperatures of one batch: what is met, what is broken, and by when something
/// must have happened.
///
/// Times are minutes since the end of cooking (or, for food that is held, since watching began). Where the truth lies
/// between two readings it is taken for the worse: a stage is counted from the last reading above its beginning, and
/// food outside a holding limit is outside from the last reading within it to the next.

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "oventide/safety.hpp"
#include "oventide/time.hpp"

namespace oventide {

/// To be shown with every answer of a watch.
inline constexpr std::string_view kWatchCaution = "A caution, no verdict: local rules and a trained person decide.";

struct Measured {
    double minutes = 0;
    double celsius = 0;
};

/// What is expected after the last reading: the difference to `around` falls to a tenth every `tenfold` minutes (f of
/// the handbook's cooling law; see cooling.hpp).
struct Ahead {
    double around = 0;
    double tenfold = 0;
};

/// The temperatures of the warmest part of one batch.
struct Course {
    std::vector<Measured> readings;  ///< by time; without those that are doubted
    std::optional<Ahead> ahead;
    std::optional<double> chill_began;
    double now = 0;
};

enum class Duty { cooling, held_cold, held_hot };

enum class Standing {
    met,         ///< the readings show it
    on_course,   ///< not yet due; the forecast meets it
    open,        ///< not yet due; nothing is forecast
    unrecorded,  ///< due, and no reading shows whether it was met
    will_break,  ///< not yet due; the forecast breaks it
    broken       ///< the readings, or the clock, show it
};

struct LimitWatch {
    enum class Kind { chill_start, stage, holding };
    Kind kind = Kind::stage;
    std::string text;  ///< "57 C to 21 C within 2 h"
    Standing standing = Standing::open;
    std::optional<double> counted_from;  ///< absent: the food is warmer still
    std::optional<double> due;           ///< by when it must have happened
    std::optional<double> happens;       ///< when it did, or is forecast to
};

/// One entry for each limit of the rule that concerns the duty, in the rule's order.
std::vector<LimitWatch> watch(const SafetyRule& rule, Duty duty, const Course& course);

/// The last whole minute that is not after `due`.
Instant clock_time(Instant cooked, double due);

/// When the food first is at or below `celsius`: on the straight line between two readings (a cooling curve lies below
/// it), or by the forecast. Absent: not yet, as far as is known.
std::optional<double> falls_to(const Course& course, double celsius);

}  // namespace oventide
