#pragma once
/// How long a step takes for the real pieces of a batch or load: summed in seconds, rounded up once.

#include <optional>
#include <vector>

#include "oventide/plan.hpp"

namespace oventide::expansion {

/// `amount` in the component's unit. With Plan::times: usual or longest.
Seconds seconds_taken(const Plan& plan, const Component& component, const Step& step, std::int64_t amount);
Time minutes_taken(const Plan& plan, const Component& component, const Step& step, std::int64_t amount);

/// A stretch of an oven programme in whole minutes, never empty.
struct ProgrammeStage {
    std::optional<MilliCelsius> temperature;  ///< absent: off
    MilliCelsius before = 0;                  ///< for off: the temperature from which it falls
    Time lasts = 0;
};

/// The stages of a bake that takes `total`. Each change falls on a minute and the minutes sum to those of the whole.
/// Empty when the settings alone last longer than `total`.
std::vector<ProgrammeStage> programme_stages(const Bake& bake, Seconds total, MilliCelsius room);

}  // namespace oventide::expansion
