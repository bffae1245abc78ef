#pragma once
/// Which allergens are in what is collected, from what the cook has declared of each ingredient. What is not declared
/// is not known: it is told as such, and never taken to be free of anything.

#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "oventide/plan.hpp"

namespace oventide {

/// One that is named by its own name. The groups are numbers from 1 of allergen_groups(); 0: not on that list.
struct Allergen {
    std::string_view name;  ///< as a plan writes it and a report prints it
    int eu = 0;
    int us = 0;
};

/// Every allergen of either list, in the order of the EU's.
std::span<const Allergen> allergens();

/// The names of the groups of a list, in its order: EU 14, US 9. The EU's: Regulation (EU) No 1169/2011, Annex II. The
/// US's: 21 U.S.C. 321(qq) (FALCPA 2004, FASTER Act 2021).
std::span<const std::string_view> allergen_groups(AllergenList list);

/// What the list is, in which document, and how it wants the allergens named.
std::string_view allergen_source(AllergenList list);

/// The number of the allergen's group on the list; 0: it is not on it.
int group_of(AllergenIndex allergen, AllergenList list);

/// The allergen of this name, in the singular or the plural.
std::optional<AllergenIndex> find_allergen(std::string_view name);

/// Kinds of which one has to be named where the cook writes a whole group ("nuts"); empty for any other word.
std::vector<std::string> kinds_of_group(std::string_view word);

/// What is in a component, through everything that goes into it.
struct Contents {
    /// By the weight that goes in, heaviest first; those whose mass is not known behind the others, as written.
    std::vector<IngredientIndex> ingredients;
    bool by_weight = true;                    ///< every mass is known
    std::vector<AllergenIndex> contains;      ///< declared; in the order of allergens()
    std::vector<IngredientIndex> undeclared;  ///< ingredients whose allergens are not stated
    std::vector<ComponentIndex> unsaid;       ///< components of which is not stated what goes into them
};

/// By component. A component is listed as unsaid where its `ingredients` are absent, even if others go into it.
std::vector<Contents> contents_of(const Plan& plan);

}  // namespace oventide
