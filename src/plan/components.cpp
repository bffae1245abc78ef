#include "plan/components.hpp"

#include <algorithm>
#include <utility>

#include "oventide/plan_file.hpp"
#include "plan/step.hpp"

namespace oventide::plan_file {
namespace {

/// The value of a key in a table that will be read properly later.
const Node* peek(const Node& node, std::string_view key) {
    if (const auto* table = std::get_if<Table>(&node.value))
        for (const Entry& entry : *table)
            if (entry.key == key) return &entry.node;
    return nullptr;
}

/// The name in a table, or an empty one, told when it is missing or unfit.
Name name_of(const Node& node, const std::string& what, std::string_view example, Complaints& complaints) {
    if (!std::holds_alternative<Table>(node.value)) return {{}, node.place};
    const Node* name = peek(node, "name");
    if (!name) {
        complaints.error(node.place, what + " has no 'name'", "write name = \"" + std::string(example) + "\"");
        return {{}, node.place};
    }
    auto text = read_text(*name, "name", "write name = \"" + std::string(example) + "\"", complaints);
    if (!text || !check_name(*text, complaints)) return {{}, name->place};
    return *text;
}

void add_name(NameList& list, const std::string& what, const Name& name, Complaints& complaints) {
    if (name.text.empty())
        list.add_nameless();
    else
        list.add(what, name, complaints);
}

/// Whether other components go into this one.
bool draws_food(const ComponentDraft& draft) {
    return std::any_of(draft.steps.begin(), draft.steps.end(), [](const Node* step) { return peek(*step, "with"); });
}

void read_makes(TableReader& table, const ComponentDraft& draft, const Larder& larder, Component& component) {
    const bool follows = component.ingredients && !component.ingredients->empty() && !draws_food(draft);
    if (!follows) table.require("makes", "makes = \"24 pieces\", or makes = \"1.2 kg\"");
    if (follows && !table.has("makes"))
        component.makes = made_of_ingredients(component, table.what(), larder, table.complaints()).value_or(Amount{});
    else
        component.makes = table.amount("makes").value_or(Amount{});
}

void read_most(TableReader& table, Component& component) {
    const auto most = table.amount("most");
    if (!most || component.makes.count == 0) return;
    if (most->unit == component.makes.unit)
        component.most = most->count;
    else
        table.complaints().error(
            table.key_place("most"),
            "'most' is " + amount_text(*most) + ", but " + table.what() + " makes " + amount_text(component.makes),
            component.makes.unit == Amount::Unit::pieces ? "write it like most = \"48 pieces\""
                                                         : "write it like most = \"3 kg\"");
}

/// Reads everything of a component but its steps.
void read_head(TableReader& table, const ComponentDraft& draft, const Names& names, Larder& larder,
               Component& component) {
    table.find("name");
    table.find("steps");
    component.name = draft.name.text;
    component.place = draft.name.place;
    read_component_ingredients(table, names, larder, component);
    read_makes(table, draft, larder, component);
    component.bowl_weight = table.mass("bowl_weight");
    read_most(table, component);
    if (const auto keeps = table.duration("keeps")) component.keeps = round_down(*keeps);
    component.even = table.yes_no("even").value_or(false);
    if (const auto best = table.duration("best_within")) component.best_within = round_down(*best);
    for (const char* key : {"uses", "with", "needs", "draws", "contains", "filling"})
        table.instead_of(key, "write it at the step that takes it, with = { NAME = AMOUNT }");
    table.finish();
}

/// By step: a bake, or load by load all the way from or to one.
std::vector<char> have_loads(const std::vector<StepReading>& steps, ComponentIndex component) {
    std::vector<char> have;
    for (const StepReading& reading : steps) have.push_back(reading.step.bake.has_value());
    for (bool changed = true; changed;) {
        changed = false;
        for (std::size_t k = 0; k < steps.size(); ++k)
            for (const After& after : steps[k].step.after) {
                const auto before = static_cast<std::size_t>(after.step);
                if (after.component != component || !steps[k].step.by_load || !steps[before].step.by_load) continue;
                if (have[k] == have[before]) continue;
                have[k] = have[before] = changed = true;
            }
    }
    return have;
}

/// Bakes, and what is at once with them inside the component, go load by load; `by` has the last word.
void work_out_loads(std::vector<StepReading>& steps, ComponentIndex component, Complaints& complaints) {
    bool any_bake = false;
    for (StepReading& reading : steps) {
        any_bake = any_bake || reading.step.bake.has_value();
        reading.step.by_load = reading.by == By::load || (reading.step.bake && reading.by != By::batch);
        if (reading.by == By::batch && reading.step.bake)
            complaints.error(reading.by_place, "a bake goes into the oven load by load", "leave 'by' out");
    }
    for (const StepReading& reading : steps)
        if (reading.by == By::load && !any_bake)
            complaints.error(reading.by_place, "no step of this component is a bake, so there are no loads",
                             "leave 'by' out");
    for (bool changed = true; changed;) {
        changed = false;
        for (StepReading& reading : steps) {
            for (const After& after : reading.step.after) {
                if (after.component != component || !after.within || after.within->count() != 0) continue;
                StepReading& before = steps[static_cast<std::size_t>(after.step)];
                for (auto [from, to] : {std::pair(&before, &reading), std::pair(&reading, &before)}) {
                    if (!from->step.by_load || to->step.by_load || to->by == By::batch) continue;
                    to->step.by_load = changed = true;
                }
            }
        }
    }
    const std::vector<char> have = have_loads(steps, component);
    for (std::size_t k = 0; k < steps.size(); ++k)
        if (any_bake && steps[k].by == By::load && !have[k])
            complaints.error(steps[k].by_place,
                             "between this step and the bake there is a step that goes batch by batch, so there are no "
                             "loads here",
                             "write by = \"load\" on every step in between, or leave 'by' out");
}

}  // namespace

std::vector<ComponentDraft> read_component_names(const std::vector<const Node*>& tables, Names& names,
                                                 Complaints& complaints) {
    std::vector<ComponentDraft> drafts;
    std::size_t all_steps = 0;
    for (const Node* node : tables) {
        if (drafts.size() == Limits::components) {
            complaints.error(node->place, "more than " + std::to_string(Limits::components) + " components");
            return drafts;
        }
        ComponentDraft draft;
        draft.node = node;
        draft.name = name_of(*node, "this component", "tart case", complaints);
        add_name(names.components, "components", draft.name, complaints);
        names.steps.emplace_back();
        const Node* steps = peek(*node, "steps");
        const auto* list = steps ? std::get_if<List>(&steps->value) : nullptr;
        const std::string of = draft.name.text.empty() ? "this component" : "the component '" + draft.name.text + "'";
        if (!list && std::holds_alternative<Table>(node->value))
            complaints.error(
                steps ? steps->place : draft.name.place,
                steps ? "'steps' is " + kind_of(*steps) + ", but should be a list" : of + " has no 'steps'",
                "write steps = [ { name = \"mix\", takes = \"12 min\", hands = true } ]");
        if (list && list->empty()) complaints.error(steps->place, of + " has no steps");
        if (list) {
            for (const Node& step : *list) {
                if (all_steps++ == Limits::steps) {
                    complaints.error(step.place, "more than " + std::to_string(Limits::steps) + " steps");
                    drafts.push_back(std::move(draft));
                    return drafts;
                }
                draft.steps.push_back(&step);
                draft.step_names.push_back(name_of(step, "this step", "mix", complaints));
                add_name(names.steps.back(), "steps in " + of, draft.step_names.back(), complaints);
            }
        }
        drafts.push_back(std::move(draft));
    }
    return drafts;
}

ComponentReading read_components(const std::vector<ComponentDraft>& drafts, const Names& names, Larder& larder,
                                 Complaints& complaints) {
    ComponentReading reading;
    reading.components.resize(drafts.size());
    reading.sound.assign(drafts.size(), true);
    for (std::size_t i = 0; i < drafts.size(); ++i) {
        const std::size_t errors = complaints.errors();
        TableReader table(
            *drafts[i].node,
            drafts[i].name.text.empty() ? "this component" : "the component '" + drafts[i].name.text + "'", complaints);
        if (table.is_table()) read_head(table, drafts[i], names, larder, reading.components[i]);
        reading.sound[i] = complaints.errors() == errors;
    }
    for (std::size_t i = 0; i < drafts.size(); ++i) {
        const std::size_t errors = complaints.errors();
        const auto component = static_cast<ComponentIndex>(i);
        std::vector<StepReading> steps;
        for (std::size_t s = 0; s < drafts[i].steps.size(); ++s) {
            const StepContext context{
                names, reading.components, {component, static_cast<StepIndex>(s)}, drafts[i].step_names[s], complaints};
            steps.push_back(read_step(*drafts[i].steps[s], context));
        }
        work_out_loads(steps, component, complaints);
        Component& read = reading.components[i];
        for (StepReading& step : steps) read.steps.push_back(std::move(step.step));
        if (!read.bowl_weight) work_out_bowl(reading.components, names.kitchen, larder, read, complaints);
        if (complaints.errors() != errors || steps.empty()) reading.sound[i] = false;
    }
    return reading;
}

}  // namespace oventide::plan_file
