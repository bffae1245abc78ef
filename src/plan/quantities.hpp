#pragma once
/// Text to times, temperatures and amounts, exactly: no floating point, no overflow.

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>

#include "oventide/plan.hpp"
#include "oventide/time.hpp"

namespace oventide::plan_file {

/// A value, or what is wrong with the text and what to write instead.
template <class T>
struct Parsed {
    std::optional<T> value;
    std::string problem;
    std::string suggestion;
};

/// "1h30m", "45 min", "40 s", "1 day 6 h". At most Limits::duration_days.
Parsed<Seconds> parse_duration(std::string_view text);
/// "180 C", "356 F".
Parsed<MilliCelsius> parse_temperature(std::string_view text);
/// "12 C/min": thousandths of a degree Celsius a minute, more than 0.
Parsed<MilliCelsius> parse_rate(std::string_view text);
/// "35 g", "1.2 kg", "8 oz", "2 lb": milligrams, more than 0.
Parsed<std::int64_t> parse_mass(std::string_view text);
/// "24 pieces", or a mass.
Parsed<Amount> parse_amount(std::string_view text);

/// "5 cm", "45 mm", "2 in": micrometres, more than 0, at most 10 m.
Parsed<std::int64_t> parse_length(std::string_view text);
/// "16 W/m2K": thousandths of W/(m2 K), 1 to 2000 W/(m2 K).
Parsed<std::int64_t> parse_transfer(std::string_view text);

/// One setting of an oven: "180 C", "200 C 10 min", "off 12 min".
Parsed<Setting> parse_setting(std::string_view text);

Minutes round_up(Seconds seconds);
Minutes round_down(Seconds seconds);

std::string duration_text(Seconds seconds);      ///< "1 h 30 min"
std::string amount_text(const Amount& amount);   ///< "24 pieces", "1.2 kg"
std::string degrees_text(MilliCelsius degrees);  ///< "180 C"

}  // namespace oventide::plan_file
