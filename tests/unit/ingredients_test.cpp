// Slips of the pen in larders and ingredients: what the cook is told.

#include <doctest/doctest.h>

#include <string>

#include "support/plan_text.hpp"

namespace oventide {
namespace {

std::string plan(const std::string& ingredients, const std::string& larder, const std::string& steps = "") {
    return test::plan_for_buns(
               "[[component]]\nname = \"custard\"\nmakes = \"1 kg\"\nsteps = [{ name = \"cook\", takes = "
               "\"10 min\" }]\n[[component]]\nname = \"bun\"\nmakes = 12\n" +
               ingredients + "\nsteps = [" +
               (steps.empty() ? "{ name = \"mix\", takes = \"10 min\", hands = true, with = { custard = \"9 g\" } }"
                              : steps) +
               "]\n") +
           (larder.empty() ? "" : "[larder]\n" + larder + "\n");
}

}  // namespace

TEST_CASE("what is wrong with ingredients is told where it stands, with what to write instead") {
    const struct {
        std::string name;
        std::string ingredients;
        std::string larder;
        std::string says;
        std::string advice;
    } rows[] = {
        {"near miss", "ingredients = { flor = \"1 kg\" }", "flour = {}", "no ingredient called 'flor' in the larder",
         "did you mean 'flour'?"},
        {"not in the larder", "ingredients = { cardamom = \"1 g\" }", "flour = {}",
         "no ingredient called 'cardamom' in the larder", "add it to the larder: \"cardamom\" = {}"},
        {"a component", "ingredients = { custard = \"1 kg\" }", "flour = {}",
         "'custard' is a component, not an ingredient",
         "write it in the step that it goes into: with = { \"custard\" = ... }"},
        {"a component without a larder", "ingredients = { custard = \"1 kg\" }", "",
         "'custard' is a component, not an ingredient", "with = { \"custard\" = ... }"},
        {"both in the larder and a component", "", "custard = {}", "'custard' is a component of the plan too",
         "give one of them another name"},
        {"no table", "ingredients = [\"flour\"]", "", "'ingredients' is a list, but should be a table",
         "write ingredients = { flour = \"500 g\", egg = 4 }"},
        {"unknown unit", "ingredients = { flour = \"1 cup\" }", "",
         "'flour': '1 cup': 'cup' is not the same everywhere", "write US cup (236.5882365 ml) or metric cup (250 ml)"},
        {"no pieces", "ingredients = { egg = 0 }", "", "'egg' is 0, but should be 1 to 1000000 pieces", ""},
        {"a fraction without quotes", "ingredients = { egg = 1.5 }", "",
         "'egg' is a number with a decimal point, but should be a quantity", "write \"500 g\", \"250 ml\" or 3"},
        {"all is lost", "loss = \"100 %\"", "", "'loss': '100 %' leaves nothing", "it has to be less than 100 %"},
        {"loss without %", "loss = 8", "", "'loss' is a whole number, but should be a share with a %",
         "write loss = \"8 %\""},
        {"two measures", "ingredients = { egg = 2 }", "egg = { have = \"1 kg\" }",
         "'egg' is measured by the piece here and by weight elsewhere",
         "say in the larder what one weighs: piece = \"60 g\""},
        {"two measures, volume", "ingredients = { milk = \"1 l\" }", "milk = { pack = \"1 kg\" }",
         "'milk' is measured by volume here and by weight elsewhere",
         "say in the larder what it weighs: density = \"1.03 kg/l\""},
        {"misspelt key", "", "flour = { flower = true }", "the ingredient 'flour' has no key 'flower'",
         "did you mean 'flour'?"},
        {"not a table", "", "flour = \"2 kg\"", "the ingredient 'flour' is text, but should be a table", ""},
        {"group of allergens", "", "mix = { allergens = \"nuts\" }",
         "'nuts' is a group: the law asks for the kind to be named", "write which: \"almonds\", \"hazelnuts\""},
        {"misspelt allergen", "", "mix = { allergens = [\"mlik\"] }", "there is no allergen called 'mlik'",
         "did you mean 'milk'?"},
        {"none and some", "", "mix = { allergens = [\"none\", \"milk\"] }", "'none' stands beside allergens",
         "leave out the one or the others"},
        {"empty list of allergens", "", "mix = { allergens = [] }", "'allergens' is an empty list",
         "write allergens = \"none\" where you are sure, or leave it out where you are not"},
        {"size of eggs", "", "egg = { size = \"XXL\" }", "there is no size of eggs called 'XXL'", ""},
        {"size and piece", "", "egg = { size = \"M\", piece = \"50 g\" }",
         "the ingredient 'egg' has both 'size' and 'piece'", "leave one out"},
        {"piece in millilitres", "", "egg = { piece = \"50 ml\" }", "'piece' is what one piece weighs",
         "write piece = \"60 g\""},
        {"density", "", "milk = { density = \"1.03\" }", "'density': '1.03' is not a density",
         "write a weight for a volume: \"1.03 kg/l\", \"120 g / 250 ml\""},
        {"part of nothing", "", "yolk = { share = \"30 %\" }", "the ingredient 'yolk' has a 'share', but not of what",
         "write of = \"egg\""},
        {"no share", "", "egg = { size = \"M\" }\nyolk = { of = \"egg\" }", "the ingredient 'yolk' has no 'share'",
         "write share = \"30 %\""},
        {"part of an unknown", "", "egg = { size = \"M\" }\nyolk = { of = \"eg\", share = \"30 %\" }",
         "no ingredient called 'eg' in the larder", "did you mean 'egg'?"},
        {"part of itself", "", "yolk = { of = \"yolk\", share = \"30 %\" }", "'yolk' is a part itself",
         "name what is bought"},
        {"part of what has no weight", "", "egg = {}\nyolk = { of = \"egg\", share = \"30 %\" }",
         "'egg' has no weight of a piece to take a share of", "write its 'piece', or its 'size' where it is an egg"},
        {"part with a pack", "", "egg = { size = \"M\" }\nyolk = { of = \"egg\", share = \"30 %\", pack = 6 }",
         "the ingredient 'yolk' is a part of 'egg' and has no 'pack' of its own", "write it for 'egg'"},
        {"pack of what is not bought", "", "water = { bought = false, pack = \"1 l\" }",
         "the ingredient 'water' is not bought, so it has no 'pack'", "leave one out"},
    };
    for (const auto& row : rows) {
        SUBCASE(row.name.c_str()) {
            const std::string told = test::diagnostics_of(plan(row.ingredients, row.larder));
            CAPTURE(told);
            CHECK(told.find("error: " + row.says + "\n") != std::string::npos);
            CHECK(told.find(row.advice) != std::string::npos);
            CHECK(told.find("error: ") == told.rfind("error: "));
        }
    }
}

TEST_CASE("parts of each other are told at both") {
    const std::string told =
        test::diagnostics_of(plan("", "a = { of = \"b\", share = \"30 %\" }\nb = { of = \"a\", share = \"30 %\" }"));
    CHECK(told.find("'b' is a part itself") != std::string::npos);
    CHECK(told.find("'a' is a part itself") != std::string::npos);
}

TEST_CASE("the larder is a table or a file") {
    const std::string with = "larder = \"larder.toml\"\n" + plan("ingredients = { flour = \"1 kg\" }", "");
    CHECK(test::diagnostics_of(with, {{"larder.toml", "flour = { allergens = \"wheat\" }\n"}}) == "");
    const std::string missing = test::diagnostics_of(with);
    CHECK(missing.find("the larder 'larder.toml' cannot be read: there is no such file") != std::string::npos);
    CHECK(missing.find("no ingredient") == std::string::npos);
    const std::string number = test::diagnostics_of("larder = 3\n" + plan("ingredients = { flour = \"1 kg\" }", ""));
    CHECK(number.find("'larder' is a whole number, but should be a table or a file's path") != std::string::npos);
    const std::string slip = test::diagnostics_of(with, {{"larder.toml", "flour = { pack = \"1 kilo\" }\n"}});
    CHECK(slip.find("larder.toml:1:18: error: 'pack': '1 kilo': 'kilo' is not a unit of weight or volume") !=
          std::string::npos);
    CHECK(
        test::diagnostics_of("allergens = \"UK\"\n" + plan("", "")).find("there is no list of allergens called 'UK'") !=
        std::string::npos);
}

TEST_CASE("what does not add up is a caution") {
    const auto custard = [](const std::string& head, const std::string& bowl = "") {
        std::string text = test::plan_for_buns("[[component]]\nname = \"custard\"\n" + head +
                                               "\nsteps = [{ name = \"cook\", takes = \"10 min\", hands = true, uses = "
                                               "\"mixer\" }]\n[[component]]\nname = "
                                               "\"bun\"\nmakes = 12\nsteps = [{ name = \"mix\", takes = \"10 min\", "
                                               "hands = true, with = { custard = \"9 g\" } }]\n");
        if (!bowl.empty())
            text.replace(text.find("[[kitchen.mixer]]"), 17, "[[kitchen.mixer]]\nbowl = \"" + bowl + "\"");
        return test::diagnostics_of(text);
    };
    CHECK(custard("makes = \"1 kg\"\ningredients = { milk = \"1 kg\" }") == "");
    CHECK(custard("makes = \"1 kg\"\nloss = \"10 %\"\ningredients = { milk = \"1.1 kg\" }")
              .find("caution: 'custard' makes 1 kg, but only 990 g comes of what goes in") != std::string::npos);
    CHECK(custard("makes = \"1 kg\"\ningredients = { milk = \"1 l\" }") == "");  // not known: nothing to say
    CHECK(
        custard("makes = \"1 kg\"\ningredients = { milk = \"1 l\" }", "4 kg")
            .find("caution: what one formula of 'custard' puts into the mixer's bowl is not known: what 'milk' weighs "
                  "is not said") != std::string::npos);
    CHECK(custard("makes = \"1 kg\"\nbowl_weight = \"1 kg\"\ningredients = { milk = \"1 l\" }", "4 kg") == "");
    CHECK(custard("ingredients = { milk = \"1 l\" }")
              .find("the component 'custard' has no 'makes', and it does not follow from the ingredients: what 'milk' "
                    "weighs is not known") != std::string::npos);
    CHECK(custard("ingredients = {}").find("has no 'makes'") != std::string::npos);
}

TEST_CASE("limits hold before the memory is taken") {
    std::string larder, line;
    for (int i = 0; i < 1'001; ++i) larder += "i" + std::to_string(i) + " = {}\n";
    CHECK(test::diagnostics_of(plan("", larder)).find("more than 1000 ingredients") != std::string::npos);
    for (int i = 0; i < 101; ++i) line += (i ? ", i" : "i") + std::to_string(i) + " = 1";
    CHECK(test::diagnostics_of(plan("ingredients = { " + line + " }", "")).find("has more than 100 ingredients") !=
          std::string::npos);
}

}  // namespace oventide
