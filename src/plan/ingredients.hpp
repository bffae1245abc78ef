#pragma once
/// The larder, what goes into each component, and what follows from it: what a formula makes, what lies in the bowl.

#include <optional>
#include <string>
#include <vector>

#include "oventide/plan.hpp"
#include "plan/names.hpp"
#include "plan/table_reader.hpp"

namespace oventide::plan_file {

/// Every ingredient that the plan may name.
struct Larder {
    NameList names;
    std::vector<Ingredient> ingredients;
    bool written = false;  ///< the plan has a larder: what is not in it is a slip of the pen
    bool readable = true;  ///< it could be read
};

/// `node`: null where the plan has no larder; or one that could not be read, with `readable` false.
Larder read_larder(const Node* node, bool readable, Complaints& complaints);

/// `ingredients` and `loss` of a component. Where the plan has no larder every name is an ingredient.
void read_component_ingredients(TableReader& table, const Names& names, Larder& larder, Component& component);

/// What one formula makes of its ingredients, where the cook has not said it.
std::optional<Amount> made_of_ingredients(const Component& component, const std::string& what, const Larder& larder,
                                          Complaints& complaints);

/// What goes into the mixer's bowl, where `bowl_weight` is not written: the ingredients; what a mass makes, where they
/// are not known. For a component with its steps. `kitchen` is null where it could not be read.
void work_out_bowl(const std::vector<Component>& all, const Kitchen* kitchen, const Larder& larder,
                   Component& component, Complaints& complaints);

/// Quantities of one ingredient that cannot be added up, larder names that are components too, formulas that make more
/// than goes in.
void check_ingredients(const std::vector<Component>& components, const Names& names, const Larder& larder,
                       Complaints& complaints);

}  // namespace oventide::plan_file
