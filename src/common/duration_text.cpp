#include "common/duration_text.hpp"

#include <fmt/format.h>

namespace oventide {

std::string short_duration(Minutes duration) {
    constexpr std::int64_t kHour = 60, kDay = 24 * kHour;
    const std::int64_t minutes = duration.count();
    if (minutes < 0) return "-" + short_duration(-duration);
    if (minutes == 0) return "0";
    if (minutes < kHour) return fmt::format("{}m", minutes);
    if (minutes < kDay) return fmt::format("{}h{:02}m", minutes / kHour, minutes % kHour);
    return fmt::format("{}d{:02}h", minutes / kDay, minutes % kDay / kHour);
}

}  // namespace oventide
