#include "plan/ingredient_quantities.hpp"

#include <algorithm>
#include <numeric>
#include <string>
#include <vector>

#include "oventide/limits.hpp"
#include "oventide/measures.hpp"
#include "oventide/spelling.hpp"
#include "plan/complaints.hpp"
#include "plan/cursor.hpp"

namespace oventide::plan_file {
namespace {

__extension__ using Wide = __int128;

constexpr std::int64_t kOne = 1'000'000'000'000;  // as Quantity::unit
constexpr std::int64_t kMostDenominator = 1'000;
constexpr const char* kExample = "write one like \"500 g\", \"250 ml\" or 3";

struct Fraction {
    bool found = false;
    std::int64_t numerator = 0;
    std::int64_t denominator = 1;
};

std::optional<std::int64_t> whole(const Number& number) {
    if (!number.found || number.too_large || number.millionths % kMicro != 0) return std::nullopt;
    return number.millionths / kMicro;
}

/// "1.5", "3/4", "1 3/4".
Fraction read_fraction(Cursor& cursor) {
    const Number first = cursor.number();
    if (!first.found || first.too_large) return {};
    const auto denominator = [&]() -> std::int64_t {
        const auto below = cursor.take("/") ? whole(cursor.number()) : std::nullopt;
        return below && *below <= kMostDenominator ? *below : 0;
    };
    const auto most = whole(first);
    if (cursor.peek() == '/' && most) {
        const std::int64_t below = denominator();
        return {below > 0, *most, below > 0 ? below : 1};
    }
    if (is_digit(cursor.peek()) && most) {
        const auto above = whole(cursor.number());
        const std::int64_t below = cursor.peek() == '/' ? denominator() : 0;
        const bool proper = above && below > 0 && *above < below;
        return {proper, proper ? *most * below + *above : 0, proper ? below : 1};
    }
    const std::int64_t divisor = std::gcd(first.millionths, kMicro);
    return {true, first.millionths / divisor, kMicro / divisor};
}

/// Letters and spaces up to the end, without spaces at it.
std::string unit_of(const Cursor& cursor) {
    std::string unit(cursor.rest());
    unit.erase(unit.find_last_not_of(" \t") + 1);
    return unit;
}

std::string lower(std::string text) {
    for (char& c : text)
        if (c >= 'A' && c <= 'Z') c = static_cast<char>(c - 'A' + 'a');
    return text;
}

const NamedUnit* find_unit(const std::string& name) {
    const auto units = named_units();
    const auto at = std::find_if(units.begin(), units.end(), [&](const NamedUnit& unit) {
        return unit.name == name || lower(std::string(unit.name)) == lower(name);
    });
    return at == units.end() ? nullptr : &*at;
}

Parsed<Quantity> unknown_unit(std::string_view text, const std::string& name) {
    for (const AmbiguousUnit& unit : ambiguous_units())
        if (unit.name == lower(name))
            return {{},
                    in_quotes(text) + ": " + in_quotes(name) + " is not the same everywhere",
                    "write " + std::string(unit.choices)};
    std::vector<std::string> known;
    for (const NamedUnit& unit : named_units()) known.emplace_back(unit.name);
    const auto near = name.size() <= 2 ? std::vector<std::string>() : near_misses(name, known);
    return {{},
            in_quotes(text) + ": " + in_quotes(name) + " is not a unit of weight or volume",
            near.empty() ? "units are g, kg, oz, lb, ml, l, US cup, ...: plans/plan-file.md lists them"
                         : did_you_mean(near.front())};
}

/// Grams, millilitres and pieces that a quantity may come to; litres as kilograms.
Wide most_of(Measure measure) { return measure == Measure::pieces ? Limits::pieces : Limits::milligrams / 1000; }

}  // namespace

Parsed<Quantity> parse_quantity(std::string_view text) {
    Cursor cursor(text);
    if (cursor.peek() == '-') return {{}, in_quotes(text) + " is negative; what goes in is not", {}};
    const Fraction number = read_fraction(cursor);
    if (!number.found) return {{}, in_quotes(text) + " is not a quantity", kExample};
    const std::string name = unit_of(cursor);
    const NamedUnit* unit = name.empty() ? nullptr : find_unit(name);
    if (!name.empty() && !unit) return unknown_unit(text, name);
    const Quantity quantity{unit ? unit->measure : Measure::pieces, number.numerator, number.denominator,
                            unit ? unit->size : kOne};
    if (quantity.numerator == 0) return {{}, in_quotes(text) + " is nothing", "leave it out, or write how much"};
    if (Wide{quantity.numerator} * quantity.unit > most_of(quantity.measure) * kOne * quantity.denominator)
        return {{}, in_quotes(text) + " is more than a plan can hold", {}};
    return {quantity, {}, {}};
}

Parsed<Density> parse_density(std::string_view text) {
    const std::string problem = in_quotes(text) + " is not a density";
    const std::string example = "write a weight for a volume: \"1.03 kg/l\", \"120 g / 250 ml\"";
    const std::size_t bar = text.find('/');
    if (bar == std::string_view::npos) return {{}, problem, example};
    std::string below(text.substr(bar + 1));
    below.erase(0, below.find_first_not_of(" \t"));
    if (!below.empty() && !is_digit(below.front())) below.insert(0, "1 ");
    const auto mass = parse_quantity(text.substr(0, bar));
    const auto volume = parse_quantity(below);
    if (!mass.value || !volume.value) {
        const auto& wrong = mass.value ? volume : mass;
        return {{}, problem + ": " + wrong.problem, wrong.suggestion.empty() ? example : wrong.suggestion};
    }
    if (mass.value->measure != Measure::mass || volume.value->measure != Measure::volume) return {{}, problem, example};
    return {Density{*mass.value, *volume.value}, {}, {}};
}

Parsed<Share> parse_share(std::string_view text) {
    const std::string example = "write one like \"8 %\"";
    Cursor cursor(text);
    if (cursor.peek() == '-') return {{}, in_quotes(text) + " is negative", example};
    const Number number = cursor.number();
    if (!number.found || !cursor.take("%")) return {{}, in_quotes(text) + " is not a share", example};
    cursor.skip_space();
    if (!cursor.at_end()) return {{}, in_quotes(text) + " is not a share", example};
    if (number.too_large || number.millionths >= 100 * kMicro)
        return {{}, in_quotes(text) + " leaves nothing", "it has to be less than 100 %"};
    if (number.millionths % 100 != 0) return {{}, in_quotes(text) + " is finer than 0.0001 %", {}};
    return {static_cast<Share>(number.millionths / 100), {}, {}};
}

}  // namespace oventide::plan_file
