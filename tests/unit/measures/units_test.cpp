// Units against their definitions, eggs against their classes.

#include <doctest/doctest.h>

#include <string>

#include "measures/exact.hpp"
#include "oventide/measures.hpp"
#include "plan/ingredient_quantities.hpp"
#include "support/plan_text.hpp"

namespace oventide {
namespace {

using measures::Exact;
using plan_file::parse_density;
using plan_file::parse_quantity;
using plan_file::parse_share;

Exact value_of(const std::string& text) {
    const auto parsed = parse_quantity(text);
    INFO(text, ": ", parsed.problem);
    REQUIRE(parsed.value);
    return measures::exact(*parsed.value);
}

}  // namespace

TEST_CASE("units are what their definitions say, to the last figure") {
    const struct {
        const char* text;
        std::int64_t numerator;  ///< of grams or millilitres
        std::int64_t denominator;
        const char* source;
    } rows[] = {
        {"1 lb", 45'359'237, 100'000, "international yard and pound agreement, 1959; NIST Handbook 44, appendix C"},
        {"1 oz", 28'349'523'125, 1'000'000'000, "a sixteenth of it; NIST Handbook 44, appendix C"},
        {"1 US fl oz", 295'735'295'625, 10'000'000'000, "NIST Handbook 44, appendix C"},
        {"1 US cup", 2'365'882'365, 10'000'000, "NIST Handbook 44, appendix C"},
        {"1 US tbsp", 1'478'676'478'125, 100'000'000'000, "NIST Handbook 44, appendix C"},
        {"1 US tsp", 492'892'159'375, 100'000'000'000, "NIST Handbook 44, appendix C"},
        {"1 US gallon", 3'785'411'784, 1'000'000, "231 cubic inches of 16.387064 ml; NIST Handbook 44, appendix C"},
        {"1 UK fl oz", 284'130'625, 10'000'000, "Weights and Measures Act 1985; from memory"},
        {"1 UK pint", 56'826'125, 100'000, "Weights and Measures Act 1985; from memory"},
        {"1 AU tbsp", 20, 1, "Australian practice; from memory"},
        {"1 metric cup", 250, 1, "by its name; from memory"},
        {"1 kg", 1'000, 1, "SI"},
        {"1 mg", 1, 1'000, "SI"},
        {"1 dl", 100, 1, "SI"},
        {"3", 3, 1, "pieces"},
        {"1/3 US cup", 2'365'882'365, 30'000'000, "a third of it"},
        {"1 1/2 oz", 3 * std::int64_t{28'349'523'125}, 2'000'000'000, "one and a half"},
        {"0,5 l", 500, 1, "a decimal comma"},
        {"2.25 Kg", 2'250, 1, "capitals do not matter"},
    };
    for (const auto& row : rows) {
        INFO(row.text, ": ", row.source);
        CHECK(value_of(row.text) == Exact(row.numerator, row.denominator));
    }
    CHECK(value_of("16 oz") == value_of("1 lb"));
    CHECK(value_of("3 US tsp") == value_of("1 US tbsp"));
    CHECK(value_of("16 US cups") == value_of("1 US gallon"));
    CHECK(value_of("8 UK pint") == value_of("1 UK gallon"));
}

TEST_CASE("what is no quantity is told, with what to write instead") {
    const struct {
        const char* text;
        const char* problem;
        const char* suggestion;
    } rows[] = {
        {"1 cup", "'1 cup': 'cup' is not the same everywhere", "write US cup (236.5882365 ml) or metric cup (250 ml)"},
        {"2 tbsp", "'2 tbsp': 'tbsp' is not the same everywhere",
         "write US tbsp (14.78676478125 ml), metric tbsp (15 ml) or AU tbsp (20 ml)"},
        {"2 Pints", "'2 Pints': 'Pints' is not the same everywhere",
         "write US pint (473.176473 ml) or UK pint (568.26125 ml)"},
        {"500 gramms", "'500 gramms': 'gramms' is not a unit of weight or volume", "did you mean 'grams'?"},
        {"500 q", "'500 q': 'q' is not a unit of weight or volume",
         "units are g, kg, oz, lb, ml, l, US cup, ...: plans/plan-file.md lists them"},
        {"a pinch", "'a pinch' is not a quantity", "write one like \"500 g\", \"250 ml\" or 3"},
        {"", "'' is not a quantity", "write one like \"500 g\", \"250 ml\" or 3"},
        {"1/0 l", "'1/0 l' is not a quantity", "write one like \"500 g\", \"250 ml\" or 3"},
        {"1 3/2 l", "'1 3/2 l' is not a quantity", "write one like \"500 g\", \"250 ml\" or 3"},
        {"1 2 l", "'1 2 l' is not a quantity", "write one like \"500 g\", \"250 ml\" or 3"},
        {"0 g", "'0 g' is nothing", "leave it out, or write how much"},
        {"-3 g", "'-3 g' is negative; what goes in is not", ""},
        {"9999999 lb", "'9999999 lb' is more than a plan can hold", ""},
        {"99999999999999999999 g", "'99999999999999999999 g' is not a quantity",
         "write one like \"500 g\", \"250 ml\" or 3"},
        {"1000001", "'1000001' is more than a plan can hold", ""},
    };
    for (const auto& row : rows) {
        const auto parsed = parse_quantity(row.text);
        CHECK_FALSE(parsed.value);
        CHECK(parsed.problem == row.problem);
        CHECK(parsed.suggestion == row.suggestion);
    }
}

TEST_CASE("densities and shares") {
    const auto density = parse_density("1.03 kg/l");
    REQUIRE(density.value);
    CHECK(measures::exact(density.value->mass) == 1030);
    CHECK(measures::exact(density.value->volume) == 1000);
    REQUIRE(parse_density("120 g / 250 ml").value);
    CHECK(measures::exact(parse_density("120 g/US cup").value->volume) == Exact(2'365'882'365, 10'000'000));
    for (const char* wrong : {"1.03", "1 l/kg", "1 kg/", "/l", "1 kg/cup", "kg/l"})
        CHECK_FALSE(parse_density(wrong).value);
    CHECK(parse_share("8 %").value == 80'000);
    CHECK(parse_share("12.5%").value == 125'000);
    CHECK(parse_share("0 %").value == 0);
    for (const char* wrong : {"100 %", "8", "-1 %", "8 % x", "0.00001 %"}) CHECK_FALSE(parse_share(wrong).value);
}

/// Regulation (EC) 589/2008, Article 4, as its successor (EU) 2023/2465 keeps it: XL 73 g and more, L from 63 to less
/// than 73, M from 53 to less than 63, S less than 53. US: a dozen weighs at least 30, 27, 24, 21, 18, 15 oz.
TEST_CASE("eggs are of their classes") {
    const auto size = [](std::string_view name) {
        for (const EggSize& egg : egg_sizes())
            if (egg.name == name) return egg;
        FAIL(name);
        return EggSize{};
    };
    CHECK(size("S").from == std::nullopt);
    CHECK(size("S").to == 53'000);
    CHECK(size("M").from == 53'000);
    CHECK(size("M").to == 63'000);
    CHECK(size("L").from == 63'000);
    CHECK(size("L").to == 73'000);
    CHECK(size("XL").from == 73'000);
    CHECK(size("XL").to == std::nullopt);
    const struct {
        const char* name;
        int ounces;
    } dozens[] = {{"US jumbo", 30}, {"US XL", 27}, {"US L", 24}, {"US M", 21}, {"US S", 18}, {"US peewee", 15}};
    for (const auto& dozen : dozens) {
        CAPTURE(dozen.name);
        CHECK(Exact(measures::exact(size(dozen.name).planned) * 12) == Exact(value_of("1 oz") * dozen.ounces));
    }
    for (const EggSize& egg : egg_sizes()) {
        const Exact grams = measures::exact(egg.planned);
        CAPTURE(egg.name);
        // The US limits are written to the nearest milligram.
        if (egg.from) CHECK(Exact(grams * 1000) >= *egg.from - 1);
        if (egg.to) CHECK(Exact(grams * 1000) < *egg.to);
    }
}

/// Shells: 8.1 to 12.4 % of the egg (jpa.or.jp), 9.5 % (Cotterill and Geiger, 1977).
TEST_CASE("an egg's shell weighs what shells weigh") {
    CHECK(kEggShell >= 81'000);
    CHECK(kEggShell <= 124'000);
}

TEST_CASE("rounding says which way") {
    using measures::Round;
    CHECK(measures::rounded(Exact(5, 2), 1, Round::nearest) == 3);
    CHECK(measures::rounded(Exact(5, 2), 1, Round::down) == 2);
    CHECK(measures::rounded(Exact(7, 3), 1, Round::up) == 3);
    CHECK(measures::rounded(Exact(7, 3), 3, Round::up) == 7);
    CHECK(measures::rounded(Exact(7, 3), 1'000'000, Round::nearest) == 2'333'333);
    CHECK(measures::rounded(Exact(1'000'000), 1'000'000'000'000'000, Round::up) == 4'000'000'000'000'000'000);
}

}  // namespace oventide
