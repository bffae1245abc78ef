// The weigh sheet, the shopping and the allergens as text.

#include <doctest/doctest.h>

#include <string>

#include "oventide/quantities.hpp"
#include "support/planned.hpp"

using namespace oventide;
using namespace oventide::test;

namespace {

bool has(const std::string& text, const std::string& part) { return text.find(part) != std::string::npos; }

/// Runs of spaces and breaks become one space.
std::string flat(const std::string& text) {
    std::string out;
    for (const char c : text)
        if (c != ' ' && c != '\n')
            out += c;
        else if (!out.empty() && out.back() != ' ')
            out += ' ';
    return out;
}

std::string day_of(const std::string& larder, const std::string& ingredients, const std::string& top = "") {
    return top +
           plan_for_buns("[[component]]\nname = \"bun\"\nmakes = 12\n" + ingredients +
                         "\nsteps = [{ name = \"mix\", takes = \"10 min\", hands = true }]\n") +
           "[larder]\n" + larder;
}

}  // namespace

TEST_CASE("figures are rounded as it is said") {
    const struct {
        Figure figure;
        const char* text;
    } rows[] = {
        {{Measure::mass, 0}, "0 g"},
        {{Measure::mass, 4'994'999}, "4.99 g"},
        {{Measure::mass, 9'994'999}, "9.99 g"},
        {{Measure::mass, 9'995'000}, "10 g"},
        {{Measure::mass, 833'333'333}, "833.3 g"},
        {{Measure::mass, 999'949'999}, "999.9 g"},
        {{Measure::mass, 999'950'000}, "1 kg"},
        {{Measure::mass, 1'666'666'667}, "1.667 kg"},
        {{Measure::mass, 16'000'000'000}, "16 kg"},
        {{Measure::volume, 2'500'000}, "2.5 ml"},
        {{Measure::volume, 1'250'000'000}, "1.25 l"},
        {{Measure::pieces, 3'333'333}, "3.33"},
        {{Measure::pieces, 30'000'000}, "30"},
    };
    for (const auto& row : rows) CHECK(figure_text(row.figure) == row.text);
    CHECK(taken_text({Measure::pieces, 8'400'000}) == "8.4 of 9");
    CHECK(taken_text({Measure::pieces, 9'000'000}) == "9");
    CHECK(taken_text({Measure::pieces, 8'999'999}) == "9");
    CHECK(taken_text({Measure::mass, 8'400'000}) == "8.4 g");
    CHECK(whole_pieces({Measure::pieces, 8'000'001}, true).millionths == 9'000'000);
    CHECK(whole_pieces({Measure::pieces, 8'999'999}, false).millionths == 8'000'000);
    CHECK(whole_pieces({Measure::mass, 8'400'001}, true).millionths == 8'400'001);
    CHECK(percent_text(1'612'000) == "161.2 %");
    CHECK(percent_text(1'000'000) == "100 %");
    CHECK(percent_text(2'000) == "0.2 %");
    CHECK(percent_text(1'250) == "0.13 %");
    CHECK(percent_text(625'400) == "62.5 %");
}

TEST_CASE("the weigh sheet has a line for each ingredient, and says what is not known") {
    const Planned day = planned(day_of("flour = { flour = true }\negg = { size = \"M\" }\nmilk = {}\n",
                                       "ingredients = { flour = \"600 g\", egg = 2, milk = \"60 ml\" }"));
    const std::string text = flat(report::weigh_text(day.subject(), {}));
    CAPTURE(text);
    CHECK(has(text, "bun, for 12 pieces: weighed by Sat 3 Oct 11:35"));
    CHECK(has(text, "[ ] flour 600 g 100 % "));
    CHECK(has(text, "[ ] egg 2 104.4 g 17.4 % "));
    CHECK(has(text, "[ ] milk 60 ml in all not known "));
    CHECK(has(text, "rounded to the nearest for print alone"));
}

TEST_CASE("the shopping says what is rounded up") {
    const Planned day =
        planned(day_of("flour = { pack = \"1 kg\", have = \"100 g\" }\negg = { size = \"M\" }\nsalt = { "
                       "have = \"1 kg\" }\n",
                       "ingredients = { flour = \"1.2 kg\", egg = \"52.2 g\", salt = \"12 g\" }"));
    const std::string text = flat(report::shop_text(day.subject(), {}));
    CAPTURE(text);
    CHECK(has(text, "[ ] flour 1.2 kg 100 g 1.1 kg 2 packs of 1 kg, 900 g over "));
    CHECK(has(text, "[ ] egg 58 g 58 g 58 g "));
    CHECK(has(text, "In the larder needed there salt 12 g 1 kg "));
    CHECK(has(text, "Packs are rounded up to whole packs"));
}

TEST_CASE("eggs are counted, whole ones: taken, bought, and left over") {
    // Of an egg of size M, 58 g, 52.2 g go in: 500 g are 9.58 eggs, of which two are there.
    const Planned day =
        planned(day_of("egg = { size = \"M\", pack = 6, have = 2 }\n", "ingredients = { egg = \"500 g\" }"));
    const std::string text = flat(report::shop_text(day.subject(), {}));
    CAPTURE(text);
    CHECK(has(text, "[ ] egg 10 2 8 2 packs of 6, 4 over "));
}

TEST_CASE("allergens are named and set apart; what is not stated is never left out") {
    const std::string larder =
        "\"plain flour\" = { allergens = \"wheat\" }\nrye = { allergens = \"rye\" }\njam = {}\nsugar = { allergens = "
        "\"none\" }\n";
    const Planned day =
        planned(day_of(larder, "ingredients = { \"plain flour\" = \"600 g\", rye = \"60 g\", jam = \"90 g\" }"));
    const std::string text = flat(report::allergens_text(day.subject(), {}));
    CAPTURE(text);
    CHECK(has(text, "12 bun Contains: WHEAT, RYE "));
    CHECK(has(text, "NOT STATED: allergens of jam. Ask: it is not known to be free of anything. "));
    CHECK(has(text, "Ingredients: plain flour (WHEAT), jam (NOT STATED), rye (RYE) "));
    CHECK(has(text, "(EU) No 1169/2011"));
    CHECK(has(text, "Local rules and a trained person decide"));

    const Planned abroad = planned(
        day_of(larder, "ingredients = { \"plain flour\" = \"600 g\", rye = \"60 g\" }", "allergens = \"US\"\n"));
    const std::string other = flat(report::allergens_text(abroad.subject(), {}));
    CAPTURE(other);
    CHECK(has(other,
              "12 bun Contains: WHEAT Ingredients: plain flour (WHEAT), rye Declared, though not on this list: rye"));
    CHECK_FALSE(has(other, "NOT STATED"));

    const Planned none = planned(day_of(larder, "ingredients = { sugar = \"600 g\" }"));
    CHECK(has(flat(report::allergens_text(none.subject(), {})),
              "Contains: none of the list is declared, and all that goes in is declared"));
    const Planned jams =
        planned(day_of(larder + "jelly = {}\n", "ingredients = { jam = \"600 g\", jelly = \"60 g\" }"));
    CHECK(has(flat(report::allergens_text(jams.subject(), {})), "NOT STATED: allergens of jam, jelly. Ask"));
    const Planned silent = planned(day_of(larder, ""));
    const std::string unknown = flat(report::allergens_text(silent.subject(), {}));
    CHECK(has(unknown, "12 bun NOT STATED: what goes into bun. Ask"));
    CHECK_FALSE(has(unknown, "none of the list"));
}

TEST_CASE("names cannot reach the terminal with control characters, nor break plain ASCII") {
    Planned day = planned(
        day_of("\"crème fraîche\" = { allergens = \"milk\" }\n", "ingredients = { \"crème fraîche\" = \"600 g\" }"));
    report::Style ascii;
    ascii.ascii = true;
    CHECK(has(report::weigh_text(day.subject(), ascii), "creme fraiche"));
    CHECK(has(report::allergens_text(day.subject(), ascii), "creme fraiche (MILK)"));
    day.plan.ingredients[0].name = "a\x1b[31mb\u202ec";
    for (const std::string& text : {report::weigh_text(day.subject(), {}), report::shop_text(day.subject(), {}),
                                    report::allergens_text(day.subject(), {})}) {
        CHECK_FALSE(has(text, "\x1b"));
        CHECK_FALSE(has(text, "\u202e"));
    }
}
