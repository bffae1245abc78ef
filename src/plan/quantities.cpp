#include "plan/quantities.hpp"

#include <algorithm>
#include <array>

#include "oventide/limits.hpp"
#include "plan/complaints.hpp"
#include "plan/cursor.hpp"

namespace oventide::plan_file {
namespace {

struct Unit {
    std::string_view name;
    std::int64_t size;
};

template <std::size_t N>
std::optional<std::int64_t> size_of(const std::array<Unit, N>& units, std::string_view name) {
    const auto unit = std::find_if(units.begin(), units.end(), [&](const Unit& u) { return u.name == name; });
    if (unit == units.end()) return std::nullopt;
    return unit->size;
}

constexpr std::array<Unit, 22> kTimeUnits{
    {{"s", 1},      {"sec", 1},       {"secs", 1},       {"second", 1},   {"seconds", 1}, {"m", 60},
     {"min", 60},   {"mins", 60},     {"minute", 60},    {"minutes", 60}, {"h", 3600},    {"hr", 3600},
     {"hrs", 3600}, {"hour", 3600},   {"hours", 3600},   {"d", 86400},    {"day", 86400}, {"days", 86400},
     {"w", 604800}, {"week", 604800}, {"weeks", 604800}, {"wk", 604800}}};

/// Micrograms. The pound of 1959 is 0.45359237 kg exactly; an ounce is its sixteenth, to the nearest microgram.
constexpr std::array<Unit, 8> kMassUnits{{{"mg", 1'000},
                                          {"g", 1'000'000},
                                          {"gram", 1'000'000},
                                          {"grams", 1'000'000},
                                          {"kg", 1'000'000'000},
                                          {"oz", 28'349'523},
                                          {"lb", 453'592'370},
                                          {"lbs", 453'592'370}}};

/// Micrometres. An inch is 25.4 mm exactly (1959).
constexpr std::array<Unit, 6> kLengthUnits{
    {{"mm", 1'000}, {"cm", 10'000}, {"m", 1'000'000}, {"in", 25'400}, {"inch", 25'400}, {"inches", 25'400}}};

/// Rounds to the nearest, halves away from zero.
std::int64_t divide_rounded(std::int64_t value, std::int64_t by) {
    return value >= 0 ? (value + by / 2) / by : -((-value + by / 2) / by);
}

bool is_celsius(std::string_view unit) { return unit == "C" || unit == "°C" || unit == "c"; }
bool is_fahrenheit(std::string_view unit) { return unit == "F" || unit == "°F" || unit == "f"; }

std::string with_unit(std::string_view text, const char* usual, const char* others) {
    if (text.size() > 20) return std::string("add a unit: ") + usual + ", " + others;
    return "write \"" + std::string(text) + " " + usual + "\", or with " + others;
}

constexpr MilliCelsius kColdest = -50'000;
constexpr MilliCelsius kHottest = 600'000;

}  // namespace

Parsed<Seconds> parse_duration(std::string_view text) {
    constexpr std::int64_t most = std::int64_t{Limits::duration_days} * 86400;
    Cursor cursor(text);
    if (cursor.peek() == '-')
        return {{}, in_quotes(text) + " is negative; a time is not", "write it without the minus"};
    std::int64_t micros = 0;
    bool any = false;
    while (!cursor.at_end()) {
        const auto number = cursor.number();
        if (!number.found)
            return {{}, in_quotes(text) + " is not a time", "write one like \"45 min\", \"1h30m\", \"2 days\""};
        const std::string_view unit = cursor.word();
        if (unit.empty()) return {{}, in_quotes(text) + " has no unit", with_unit(text, "min", "s, h, days")};
        const auto size = size_of(kTimeUnits, unit);
        if (!size)
            return {{}, in_quotes(unit) + " is not a unit of time", "units are s, min, h, days: \"45 min\", \"1h30m\""};
        micros += number.millionths * *size;  // at most 10^13 * 604800, and the sum is looked at each time
        any = true;
        if (micros > most * kMicro)
            return {{},
                    in_quotes(text) + " is more than the " + std::to_string(Limits::duration_days) +
                        " days that a time may last",
                    {}};
    }
    if (!any) return {{}, "this time is empty", "write one like \"45 min\", \"1h30m\", \"2 days\""};
    if (micros % kMicro != 0) return {{}, in_quotes(text) + " is finer than a second", "write whole seconds"};
    return {Seconds{micros / kMicro}, {}, {}};
}

Parsed<MilliCelsius> parse_temperature(std::string_view text) {
    Cursor cursor(text);
    const bool negative = cursor.take("-");
    const auto number = cursor.number();
    if (!number.found) return {{}, in_quotes(text) + " is not a temperature", "write one like \"180 C\" or \"356 F\""};
    const std::string_view unit = cursor.word();
    if (unit.empty()) return {{}, in_quotes(text) + " has no unit", "write \"" + std::string(text) + " C\", or with F"};
    if (!cursor.at_end() || !(is_celsius(unit) || is_fahrenheit(unit)))
        return {{}, in_quotes(text) + " is not a temperature", "write one like \"180 C\" or \"356 F\""};
    const std::int64_t signed_number = negative ? -number.millionths : number.millionths;
    const MilliCelsius degrees = is_celsius(unit) ? divide_rounded(signed_number, 1000)
                                                  : divide_rounded((signed_number - 32 * kMicro) * 5, 9'000);
    if (degrees < kColdest || degrees > kHottest)
        return {{}, in_quotes(text) + " is beyond what a kitchen knows", "temperatures lie between -50 C and 600 C"};
    return {degrees, {}, {}};
}

Parsed<MilliCelsius> parse_rate(std::string_view text) {
    const std::string example = "write one like \"12 C/min\"";
    Cursor cursor(text);
    const auto number = cursor.number();
    if (!number.found) return {{}, in_quotes(text) + " is not a rate", example};
    const std::string_view unit = cursor.word();
    if (!(is_celsius(unit) || is_fahrenheit(unit)) || !cursor.take("/"))
        return {{}, in_quotes(text) + " is not a rate", example};
    cursor.skip_space();
    const auto per = size_of(kTimeUnits, cursor.word());
    if (!per || !cursor.at_end()) return {{}, in_quotes(text) + " is not a rate", example};
    // Millionths of a degree in `per` seconds; at most 10^13 * 60 * 5.
    const std::int64_t numerator = number.millionths * 60 * (is_celsius(unit) ? 9 : 5);
    const MilliCelsius rate = divide_rounded(numerator, 9 * 1000 * *per);
    if (rate < 100 || rate > 1'000'000)
        return {{}, in_quotes(text) + " is no oven's rate", "rates lie between 0.1 C/min and 1000 C/min"};
    return {rate, {}, {}};
}

Parsed<std::int64_t> parse_length(std::string_view text) {
    constexpr std::int64_t most = 10 * kMicro;
    const std::string example = "write one like \"5 cm\" or \"45 mm\"";
    Cursor cursor(text);
    const auto number = cursor.number();
    if (!number.found) return {{}, in_quotes(text) + " is not a length", example};
    const std::string_view unit = cursor.word();
    if (unit.empty()) return {{}, in_quotes(text) + " has no unit", with_unit(text, "cm", "mm, in")};
    const auto size = size_of(kLengthUnits, unit);
    if (!size || !cursor.at_end()) return {{}, in_quotes(text) + " is not a length", example};
    const std::int64_t length = divide_rounded(number.millionths * *size, kMicro);  // at most 10^13 * 10^6
    if (length < 1) return {{}, in_quotes(text) + " is no length at all", example};
    if (number.too_large || length > most) return {{}, in_quotes(text) + " is longer than a kitchen's vessels", {}};
    return {length, {}, {}};
}

Parsed<std::int64_t> parse_transfer(std::string_view text) {
    const std::string example = "write one like \"16 W/m2K\"";
    Cursor cursor(text);
    const auto number = cursor.number();
    if (!number.found) return {{}, in_quotes(text) + " says not how fast heat is taken", example};
    std::string unit(cursor.rest());
    std::erase_if(unit, [](char c) { return c == ' ' || c == '(' || c == ')'; });
    if (unit != "W/m2K" && unit != "W/m²K")
        return {{}, in_quotes(text) + " is not in watts for each square metre and degree", example};
    const std::int64_t transfer = divide_rounded(number.millionths, 1000);
    if (transfer < 1'000 || transfer > 2'000'000)
        return {{}, in_quotes(text) + " is beyond what a kitchen knows", "it lies between 1 W/m2K and 2000 W/m2K"};
    return {transfer, {}, {}};
}

Parsed<std::int64_t> parse_mass(std::string_view text) {
    const std::string example = "write one like \"35 g\" or \"1.2 kg\"";
    Cursor cursor(text);
    if (cursor.peek() == '-') return {{}, in_quotes(text) + " is negative; a weight is not", {}};
    const auto number = cursor.number();
    if (!number.found) return {{}, in_quotes(text) + " is not a weight", example};
    const std::string_view unit = cursor.word();
    if (unit.empty()) return {{}, in_quotes(text) + " has no unit", with_unit(text, "g", "kg")};
    const auto size = size_of(kMassUnits, unit);
    if (!size || !cursor.at_end()) return {{}, in_quotes(text) + " is not a weight", example};
    if (number.too_large) return {{}, in_quotes(text) + " is too large a number", "write the weight in kg"};
    // Whole units and millionths apart, so that neither product passes 10^16.
    const std::int64_t micrograms =
        number.millionths / kMicro * *size + divide_rounded(number.millionths % kMicro * *size, kMicro);
    const std::int64_t milligrams = divide_rounded(micrograms, 1'000);
    if (milligrams > Limits::milligrams)
        return {{}, in_quotes(text) + " is more than the million kg that a weight may be", {}};
    if (milligrams == 0) return {{}, in_quotes(text) + " weighs nothing", example};
    return {milligrams, {}, {}};
}

Parsed<Amount> parse_amount(std::string_view text) {
    Cursor cursor(text);
    const bool negative = cursor.peek() == '-';
    const auto number = cursor.number();
    const std::string_view unit = number.found ? cursor.word() : std::string_view();
    if (unit == "pieces" || unit == "piece" || (number.found && unit.empty() && cursor.at_end())) {
        if (!cursor.at_end() || number.millionths % kMicro != 0)
            return {{}, in_quotes(text) + " is not a whole number of pieces", "write one like \"24 pieces\""};
        const std::int64_t pieces = number.millionths / kMicro;
        if (pieces == 0) return {{}, in_quotes(text) + " is nothing", "write one piece at least"};
        if (pieces > Limits::pieces)
            return {
                {}, in_quotes(text) + " is more than the " + std::to_string(Limits::pieces) + " pieces allowed", {}};
        return {Amount{Amount::Unit::pieces, pieces}, {}, {}};
    }
    if (!number.found && !negative)
        return {{}, in_quotes(text) + " is neither pieces nor a weight", "write one like \"24 pieces\" or \"1.2 kg\""};
    const Parsed<std::int64_t> mass = parse_mass(text);
    if (!mass.value) {
        if (!negative && size_of(kMassUnits, unit)) return {{}, mass.problem, mass.suggestion};
        return {{}, in_quotes(text) + " is neither pieces nor a weight", "write one like \"24 pieces\" or \"1.2 kg\""};
    }
    return {Amount{Amount::Unit::milligrams, *mass.value}, {}, {}};
}

Parsed<Setting> parse_setting(std::string_view text) {
    Setting setting;
    Cursor cursor(text);
    if (cursor.take("off")) {
        cursor.skip_space();
        setting.ajar = cursor.take("ajar");
        cursor.skip_space();
    } else {
        const bool number = cursor.number().found;
        const std::string_view unit = cursor.word();
        if (!number || unit.empty())
            return {{},
                    in_quotes(text) + " is not an oven setting",
                    "write one like \"180 C\", \"200 C 10 min\", \"off 12 min\""};
        const auto temperature = parse_temperature(text.substr(0, text.size() - cursor.rest().size()));
        if (!temperature.value) return {{}, temperature.problem, temperature.suggestion};
        setting.temperature = temperature.value;
        setting.fahrenheit = is_fahrenheit(unit);
    }
    if (cursor.at_end()) return {setting, {}, {}};
    const auto lasts = parse_duration(cursor.rest());
    if (!lasts.value) return {{}, lasts.problem, lasts.suggestion};
    setting.lasts = lasts.value;
    return {setting, {}, {}};
}

Minutes round_up(Seconds seconds) { return std::chrono::ceil<Minutes>(seconds); }
Minutes round_down(Seconds seconds) { return std::chrono::floor<Minutes>(seconds); }

std::string duration_text(Seconds seconds) {
    const std::int64_t count = seconds.count();
    if (count == 0) return "0 min";
    std::string text;
    const auto part = [&](std::int64_t amount, const char* unit) {
        if (amount == 0) return;
        if (!text.empty()) text += ' ';
        text += std::to_string(amount) + ' ' + unit;
    };
    part(count / 86400, count / 86400 == 1 ? "day" : "days");
    part(count / 3600 % 24, "h");
    part(count / 60 % 60, "min");
    part(count % 60, "s");
    return text;
}

namespace {

/// Thousandths with as few decimals as will do.
std::string thousandths_text(std::int64_t value) {
    std::string text = value < 0 ? "-" : "";
    const std::int64_t size = value < 0 ? -value : value;
    text += std::to_string(size / 1000);
    if (size % 1000 == 0) return text;
    std::string decimals = std::to_string(1000 + size % 1000).substr(1);
    decimals.erase(decimals.find_last_not_of('0') + 1);
    return text + '.' + decimals;
}

}  // namespace

std::string amount_text(const Amount& amount) {
    if (amount.unit == Amount::Unit::pieces)
        return std::to_string(amount.count) + (amount.count == 1 ? " piece" : " pieces");
    if (amount.count >= 1'000'000 && amount.count % 1'000 == 0) return thousandths_text(amount.count / 1'000) + " kg";
    return thousandths_text(amount.count) + " g";
}

std::string degrees_text(MilliCelsius degrees) { return thousandths_text(degrees) + " C"; }

}  // namespace oventide::plan_file
