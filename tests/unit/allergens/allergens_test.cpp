// The lists against the laws, and what is in an item against what was declared.

#include "oventide/allergens.hpp"

#include <doctest/doctest.h>

#include <set>
#include <string>

#include "support/plan_text.hpp"

namespace oventide {
namespace {

std::vector<std::string> groups(AllergenList list) {
    std::vector<std::string> names;
    for (const std::string_view name : allergen_groups(list)) names.emplace_back(name);
    return names;
}

std::set<std::string> members(AllergenList list, int group) {
    std::set<std::string> names;
    for (std::size_t i = 0; i < allergens().size(); ++i)
        if (group_of(static_cast<AllergenIndex>(i), list) == group) names.emplace(allergens()[i].name);
    return names;
}

std::vector<std::string> names_of(const std::vector<AllergenIndex>& found) {
    std::vector<std::string> names;
    for (const AllergenIndex index : found) names.emplace_back(allergens()[static_cast<std::size_t>(index)].name);
    return names;
}

using Texts = std::vector<std::string>;

Texts ingredients(const Plan& plan, const std::vector<IngredientIndex>& found) {
    Texts names;
    for (const IngredientIndex index : found) names.push_back(plan.ingredients[index].name);
    return names;
}

Texts components(const Plan& plan, const std::vector<ComponentIndex>& found) {
    Texts names;
    for (const ComponentIndex index : found) names.push_back(plan.components[index].name);
    return names;
}

const std::string kTart = R"(
[[component]]
name = "case"
makes = 12
ingredients = { flour = "500 g", butter = "250 g", egg = 2 }
steps = [{ name = "mix", takes = "10 min", hands = true }]
[[component]]
name = "custard"
makes = "1 kg"
ingredients = { milk = "800 ml", "egg yolk" = 10, sugar = "150 g" }
steps = [{ name = "cook", takes = "10 min", hands = true }]
[[component]]
name = "glaze"
makes = "100 g"
GLAZE
steps = [{ name = "warm", takes = "10 min", hands = true }]
[[component]]
name = "bun"
makes = 12
ingredients = {}
steps = [{ name = "fill", takes = "10 min", hands = true, with = { case = 1, custard = "40 g", glaze = "5 g" } }]
)";

const std::string kLarder = R"(
[larder]
flour  = { allergens = "wheat" }
butter = { allergens = "milk" }
egg    = { size = "M", allergens = "eggs" }
"egg yolk" = { of = "egg", share = "30 %" }
milk   = { density = "1.03 kg/l", allergens = "milk" }
sugar  = { allergens = "none" }
jam    = {}
)";

Plan tart(const std::string& glaze, const std::string& larder = kLarder, const std::string& top = "") {
    std::string components = kTart;
    components.replace(components.find("GLAZE"), 5, glaze);
    return test::plan_of(top + test::plan_for_buns(components) + larder);
}

}  // namespace

/// Regulation (EU) No 1169/2011, Annex II (read at csa.cz/en/list-of-allergens).
TEST_CASE("the EU's fourteen groups") {
    CHECK(groups(AllergenList::eu) == Texts{"cereals containing gluten", "crustaceans", "eggs", "fish", "peanuts",
                                            "soybeans", "milk", "nuts", "celery", "mustard", "sesame seeds",
                                            "sulphur dioxide and sulphites", "lupin", "molluscs"});
    CHECK(members(AllergenList::eu, 1) ==
          std::set<std::string>{"wheat", "spelt", "khorasan wheat", "rye", "barley", "oats"});
    CHECK(members(AllergenList::eu, 8) == std::set<std::string>{"almonds", "hazelnuts", "walnuts", "cashews",
                                                                "pecan nuts", "Brazil nuts", "pistachio nuts",
                                                                "macadamia nuts"});
    for (int group = 1; group <= 14; ++group) CHECK(members(AllergenList::eu, group).size() >= 1);
}

/// fda.gov, "The FASTER Act: Sesame Is the Ninth Major Food Allergen".
TEST_CASE("the nine of the US, and what only the EU names") {
    CHECK(groups(AllergenList::us) ==
          Texts{"milk", "eggs", "fish", "Crustacean shellfish", "tree nuts", "peanuts", "wheat", "soybeans", "sesame"});
    for (int group = 1; group <= 9; ++group) CHECK(members(AllergenList::us, group).size() >= 1);
    CHECK(members(AllergenList::us, 0) ==
          std::set<std::string>{"celery", "mustard", "lupin", "molluscs", "sulphites", "rye", "barley", "oats"});
}

TEST_CASE("names in the singular and the plural, and groups whose kinds have to be named") {
    CHECK(find_allergen("egg") == find_allergen("eggs"));
    CHECK(find_allergen("Soya") == find_allergen("soybeans"));
    CHECK(find_allergen("almond") == find_allergen("almonds"));
    CHECK(find_allergen("sesame seeds") == find_allergen("sesame"));
    for (const Allergen& allergen : allergens()) CHECK(find_allergen(allergen.name));
    for (const char* group : {"gluten", "nuts", "tree nuts"}) {
        CHECK_FALSE(find_allergen(group));
        CHECK(kinds_of_group(group).size() >= 6);
    }
    CHECK(kinds_of_group("milk").empty());
}

TEST_CASE("what is in an item comes through everything that goes into it, the heaviest first") {
    const Plan plan = tart("ingredients = { sugar = \"100 g\" }");
    const Contents bun = contents_of(plan)[3];
    CHECK(names_of(bun.contains) == Texts{"wheat", "eggs", "milk"});
    CHECK(bun.undeclared.empty());
    CHECK(bun.unsaid.empty());
    CHECK(bun.by_weight);
    // A piece: 41.7 g flour, 33 milk, 20.8 butter, 11 sugar, 8.7 egg, 7 yolk.
    CHECK(ingredients(plan, bun.ingredients) == Texts{"flour", "milk", "butter", "sugar", "egg", "egg yolk"});
    CHECK(names_of(contents_of(plan)[2].contains) == Texts{});
}

TEST_CASE("what is not stated is never free of anything") {
    const Plan jam = tart("ingredients = { jam = \"100 g\" }");
    CHECK(ingredients(jam, contents_of(jam)[3].undeclared) == Texts{"jam"});
    CHECK(contents_of(jam)[3].unsaid.empty());
    CHECK(contents_of(jam)[0].undeclared.empty());

    const Plan silent = tart("");
    CHECK(components(silent, contents_of(silent)[3].unsaid) == Texts{"glaze"});
    CHECK(contents_of(silent)[3].undeclared.empty());

    // Without a larder nothing is declared.
    const Plan bare = tart("ingredients = { jam = \"100 g\" }", "");
    CHECK(contents_of(bare)[3].undeclared.size() == 7);
    CHECK(contents_of(bare)[3].contains.empty());
    CHECK_FALSE(contents_of(bare)[3].by_weight);
}

TEST_CASE("a part has the allergens of its whole, unless it says otherwise") {
    const Plan plan = tart("ingredients = { sugar = \"100 g\" }");
    CHECK(plan.ingredients[3].allergens == plan.ingredients[2].allergens);
    std::string other = kLarder;
    other.replace(other.find("\"30 %\" }"), 8, "\"30 %\", allergens = [\"eggs\", \"soya\"] }");
    const Plan said = tart("ingredients = { sugar = \"100 g\" }", other);
    CHECK(names_of(*said.ingredients[3].allergens) == Texts{"eggs", "soybeans"});
}

TEST_CASE("the plan chooses the list") {
    CHECK(tart("ingredients = {}").allergen_list == AllergenList::eu);
    CHECK(tart("ingredients = {}", kLarder, "allergens = \"US\"\n").allergen_list == AllergenList::us);
}

}  // namespace oventide
