#pragma once
/// Components and their steps.

#include <vector>

#include "oventide/plan.hpp"
#include "plan/complaints.hpp"
#include "plan/document.hpp"
#include "plan/ingredients.hpp"
#include "plan/names.hpp"

namespace oventide::plan_file {

/// A component whose name and whose steps' names are known; the rest is read once all names are.
struct ComponentDraft {
    const Node* node = nullptr;
    Name name;
    std::vector<const Node*> steps;
    std::vector<Name> step_names;
};

/// The names of the components in these tables; they go into `names` too.
std::vector<ComponentDraft> read_component_names(const std::vector<const Node*>& tables, Names& names,
                                                 Complaints& complaints);

/// What was read, and what of it is sound enough for questions about the whole plan.
struct ComponentReading {
    std::vector<Component> components;
    std::vector<bool> sound;  ///< by component: nothing was wrong with it
};

/// Where the plan has no larder, the ingredients that are named go into `larder`.
ComponentReading read_components(const std::vector<ComponentDraft>& drafts, const Names& names, Larder& larder,
                                 Complaints& complaints);

}  // namespace oventide::plan_file
