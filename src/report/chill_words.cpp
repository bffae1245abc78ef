#include "report/chill_words.hpp"

#include <fmt/format.h>

#include <cmath>

#include "report/words.hpp"

namespace oventide::report {
namespace {

constexpr std::int64_t kStep = 5;
constexpr Minutes kExactBelow{60};

std::string down_to(Minutes duration) {
    return duration < kExactBelow ? duration_text(duration) : duration_text(duration / kStep * kStep);
}

const char* vessel_name(Vessel vessel) {
    switch (vessel) {
        case Vessel::tray:
            return "tray";
        case Vessel::box:
            return "box";
        case Vessel::pot:
            return "pot";
    }
    return "";
}

}  // namespace

std::string about(Minutes duration) {
    return duration < kExactBelow ? duration_text(duration) : down_to(duration + Minutes{kStep / 2});
}

std::string at_most(Minutes duration) {
    return duration < kExactBelow ? duration_text(duration) : down_to(duration + Minutes{kStep - 1});
}

std::string interval_text(const chill::Duration& takes) {
    if (!takes.likely) return "never";
    const std::string earliest = takes.earliest ? down_to(*takes.earliest) : "0 min";
    if (!takes.latest) return fmt::format("at least {}, perhaps never", earliest);
    return fmt::format("between {} and {}", earliest, at_most(*takes.latest));
}

std::string length_text(double metres) {
    constexpr double kCentimetre = 0.01;
    if (metres < kCentimetre) return fmt::format("{} mm", std::round(metres * 1e4) / 10);
    return fmt::format("{} cm", std::round(metres * 1000) / 10);
}

std::string vessel_text(const Cools& cools, double depth) {
    std::string text = fmt::format("{} deep in {}", length_text(depth),
                                   cools.over == 1 ? "a " + std::string(vessel_name(cools.vessel))
                                                   : fmt::format("{} {}{}", cools.over, vessel_name(cools.vessel),
                                                                 cools.vessel == Vessel::box ? "es" : "s"));
    constexpr double kMetre = 1e6;
    if (cools.across > 0) text += " of " + length_text(static_cast<double>(cools.across) / kMetre);
    if (cools.wide > 0) text += " by " + length_text(static_cast<double>(cools.wide) / kMetre);
    return text;
}

std::string where_text(const Cold& cold) { return (cold.like == "bench" ? "on the " : "in the ") + cold.name; }

std::string food_text(const Cools& cools) { return cools.parts ? "food as written" : cools.food; }

}  // namespace oventide::report
