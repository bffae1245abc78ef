#pragma once
/// A chill under way: when it will be cold by what a probe has read so far, and what the food-safety rule says of that.

#include <cstddef>
#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "oventide/cooling.hpp"
#include "oventide/plan.hpp"
#include "oventide/safety.hpp"
#include "oventide/time.hpp"
#include "oventide/watch.hpp"

namespace oventide::chill {

struct Probed {
    Instant at;
    double celsius = 0;
};

/// 90 % between `earliest` and `latest`; whole minutes, `earliest` down, the others up. Absent: never; `latest` alone:
/// perhaps never.
struct Running {
    cooling::Forecast forecast;  ///< seconds since `since`
    Instant since;               ///< the chill began, or the food was spread
    std::optional<Instant> earliest;
    std::optional<Instant> likely;
    std::optional<Instant> latest;
    std::vector<std::size_t> doubted;  ///< of the readings as given: more likely mistyped than not
};

/// `start`: the chill began, or the food was spread as `step` has it now.
/// Two readings or more are fitted. What is believed of the container is corrected by them, and by one alone; where
/// nothing is known of it, one reading corrects the plan's own time. Without a reading that belief alone answers.
/// Readings from before the chill say nothing; one of its first minute is how warm the food went in. Empty where the
/// step does not say how it cools, or nothing can be said.
std::optional<Running> running(const Step& step, std::int64_t milligrams, Instant start,
                               const std::vector<Probed>& readings);

/// A limit of the rule for this food, with its clock times.
struct Limit {
    std::string text;  ///< "57 C to 21 C within 2 h"
    Standing standing = Standing::open;
    std::optional<Instant> due;      ///< by when it must have happened
    std::optional<Instant> happens;  ///< when it did, or is forecast to
};

/// The readings, but for those that are doubted, against every limit on cooling. Readings may lie before the chill;
/// none lies before `cooked`, or it is left out.
std::vector<Limit> limits(const SafetyRule& rule, Instant cooked, Instant start, Instant now,
                          const std::vector<Probed>& readings, const std::optional<Running>& running);

}  // namespace oventide::chill
