#pragma once
/// The stupid oracle: tries every combination of starts and choices, and asks the checker about each.

#include <cstdint>
#include <optional>

#include "oventide/project.hpp"
#include "oventide/schedule.hpp"

namespace oventide::support {

struct Exhaustive {
    std::optional<Schedule> schedule;  ///< a best one; nothing: there is none
    Value value{};                     ///< of the best, as the checker counts it
    std::int64_t tried = 0;            ///< combinations that kept windows and lags, and were checked
    std::int64_t correct = 0;          ///< that the checker had nothing to say against
};

Exhaustive try_everything(const Project& project);

}  // namespace oventide::support
