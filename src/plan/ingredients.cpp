#include "plan/ingredients.hpp"

#include <algorithm>
#include <utility>

#include "oventide/allergens.hpp"
#include "oventide/limits.hpp"
#include "oventide/measures.hpp"
#include "plan/ingredient_quantities.hpp"

namespace oventide::plan_file {
namespace {

__extension__ using Wide = __int128;

constexpr std::int64_t kKilogram = 1'000'000;  // milligrams

const char* measure_name(Measure measure) {
    switch (measure) {
        case Measure::mass:
            return "weight";
        case Measure::volume:
            return "volume";
        default:
            return "the piece";
    }
}

/// A text that is read further by `parse`.
template <class T>
std::optional<T> read_text_value(const Node& node, std::string_view key, Parsed<T> (*parse)(std::string_view),
                                 const std::string& expected, const std::string& example, Complaints& complaints) {
    const auto text = std::get_if<std::string>(&node.value);
    if (!text) {
        complaints.error(node.place, in_quotes(key) + " is " + kind_of(node) + ", but should be " + expected, example);
        return std::nullopt;
    }
    Parsed<T> parsed = parse(*text);
    if (!parsed.value)
        complaints.error(node.place, in_quotes(key) + ": " + parsed.problem, std::move(parsed.suggestion));
    return parsed.value;
}

std::optional<Quantity> read_quantity(const Node& node, std::string_view key, Complaints& complaints) {
    if (const auto* pieces = std::get_if<std::int64_t>(&node.value)) {
        if (*pieces >= 1 && *pieces <= Limits::pieces) return Quantity{Measure::pieces, *pieces};
        complaints.error(node.place, in_quotes(key) + " is " + std::to_string(*pieces) + ", but should be 1 to " +
                                         std::to_string(Limits::pieces) + " pieces");
        return std::nullopt;
    }
    return read_text_value(node, key, parse_quantity, "a quantity", "write \"500 g\", \"250 ml\" or 3", complaints);
}

std::optional<Quantity> quantity(TableReader& table, std::string_view key) {
    const Node* node = table.find(key);
    return node ? read_quantity(*node, key, table.complaints()) : std::nullopt;
}

std::optional<Share> share(TableReader& table, std::string_view key) {
    const Node* node = table.find(key);
    if (!node) return std::nullopt;
    return read_text_value(*node, key, parse_share, "a share with a %", "write " + std::string(key) + " = \"8 %\"",
                           table.complaints());
}

std::string listed(const std::vector<std::string>& names) {
    std::string text;
    for (const std::string& name : names) text += (text.empty() ? "\"" : ", \"") + name + "\"";
    return text;
}

// ------------------------------------------------------------------------------------------------ one ingredient

std::optional<AllergenIndex> read_allergen(const Name& name, Complaints& complaints) {
    if (const auto found = find_allergen(name.text)) return found;
    const auto kinds = kinds_of_group(name.text);
    if (!kinds.empty()) {
        complaints.error(name.place, in_quotes(name.text) + " is a group: the law asks for the kind to be named",
                         "write which: " + listed(kinds));
        return std::nullopt;
    }
    std::vector<std::string> known;
    for (const Allergen& allergen : allergens()) known.emplace_back(allergen.name);
    std::string guess = complaints.did_you_mean(name.text, known);
    complaints.error(name.place, "there is no allergen called " + in_quotes(name.text),
                     guess.empty() ? "allergens are " + listed(known) + "; for none of them \"none\"" : guess);
    return std::nullopt;
}

void read_allergens(TableReader& table, Ingredient& ingredient) {
    const Node* node = table.find("allergens");
    if (!node) return;
    Complaints& complaints = table.complaints();
    const auto names = table.texts("allergens");
    const auto none = std::find_if(names.begin(), names.end(), [](const Name& name) { return name.text == "none"; });
    if (const auto* list = std::get_if<List>(&node->value); list && list->empty())
        complaints.error(node->place, "'allergens' is an empty list",
                         "write allergens = \"none\" where you are sure, or leave it out where you are not");
    if (none != names.end() && names.size() > 1)
        complaints.error(none->place, "'none' stands beside allergens", "leave out the one or the others");
    std::vector<AllergenIndex> declared;
    for (const Name& name : names)
        if (name.text != "none")
            if (const auto allergen = read_allergen(name, complaints)) declared.push_back(*allergen);
    std::sort(declared.begin(), declared.end());
    declared.erase(std::unique(declared.begin(), declared.end()), declared.end());
    ingredient.allergens = std::move(declared);
}

void read_egg_size(TableReader& table, Ingredient& ingredient) {
    const auto size = table.text("size");
    if (!size) return;
    Complaints& complaints = table.complaints();
    if (table.has("piece"))
        complaints.error(table.key_place("size"), table.what() + " has both 'size' and 'piece'",
                         "'size' is an egg's, and says what a piece weighs: leave one out");
    std::vector<std::string> known;
    for (const EggSize& egg : egg_sizes()) {
        known.emplace_back(egg.name);
        if (egg.name != size->text) continue;
        ingredient.piece = egg.planned;
        ingredient.trim = kEggShell;
        return;
    }
    std::string guess = complaints.did_you_mean(size->text, known);
    complaints.error(size->place, "there is no size of eggs called " + in_quotes(size->text),
                     guess.empty() || size->text.size() < 2 ? "sizes are " + listed(known) : guess);
}

void read_piece(TableReader& table, Ingredient& ingredient) {
    const Node* node = table.find("piece");
    if (!node) return;
    const auto piece = read_quantity(*node, "piece", table.complaints());
    if (!piece) return;
    if (piece->measure != Measure::mass)
        table.complaints().error(node->place, "'piece' is what one piece weighs", "write piece = \"60 g\"");
    else
        ingredient.piece = piece;
}

/// Where it is a part of a piece of another ingredient, that one's name.
std::optional<Name> read_part(TableReader& table, Ingredient& ingredient) {
    const auto of = table.text("of");
    const auto of_piece = share(table, "share");
    if (!of) {
        if (table.has("share"))
            table.complaints().error(table.key_place("share"), table.what() + " has a 'share', but not of what",
                                     "write of = \"egg\"");
        return std::nullopt;
    }
    if (!of_piece && !table.has("share"))
        table.complaints().error(table.key_place("of"), table.what() + " has no 'share'",
                                 "write share = \"30 %\": what of a piece's weight it is");
    ingredient.share = of_piece.value_or(0);
    if (of_piece && *of_piece == 0)
        table.complaints().error(table.key_place("share"), "a share of 0 % is nothing", "write share = \"30 %\"");
    for (const char* key : {"piece", "size", "trim", "pack", "have"})
        if (table.has(key))
            table.complaints().error(
                table.key_place(key),
                table.what() + " is a part of " + in_quotes(of->text) + " and has no " + in_quotes(key) + " of its own",
                "write it for " + in_quotes(of->text));
    return of;
}

struct IngredientDraft {
    Ingredient ingredient;
    std::optional<Name> of;
};

IngredientDraft read_ingredient(const Entry& entry, Complaints& complaints) {
    IngredientDraft draft;
    Ingredient& ingredient = draft.ingredient;
    ingredient.name = entry.key;
    ingredient.place = entry.key_place;
    TableReader table(entry.node, "the ingredient " + in_quotes(entry.key), complaints);
    if (!table.is_table()) return draft;
    if (const Node* node = table.find("density"))
        ingredient.density = read_text_value(*node, "density", parse_density, "a weight for a volume",
                                             "write density = \"1.03 kg/l\"", complaints);
    read_piece(table, ingredient);
    read_egg_size(table, ingredient);
    if (const auto trim = share(table, "trim")) ingredient.trim = *trim;
    ingredient.flour = table.yes_no("flour").value_or(false);
    read_allergens(table, ingredient);
    ingredient.pack = quantity(table, "pack");
    ingredient.have = quantity(table, "have");
    ingredient.bought = table.yes_no("bought").value_or(true);
    if (!ingredient.bought)
        for (const char* key : {"pack", "have"})
            if (table.has(key))
                complaints.error(table.key_place(key), table.what() + " is not bought, so it has no " + in_quotes(key),
                                 "leave one out");
    draft.of = read_part(table, ingredient);
    table.finish();
    return draft;
}

/// A part has the allergens of what it is a part of, where it says nothing else.
void find_whole(const Name& of, IngredientIndex part, Larder& larder, Complaints& complaints) {
    const auto whole = larder.names.find(of.text);
    if (!whole) {
        complaints.error(of.place, "no ingredient called " + in_quotes(of.text) + " in the larder",
                         complaints.did_you_mean(of.text, larder.names.all()));
        return;
    }
    const Ingredient& ingredient = larder.ingredients[*whole];
    if (*whole == part || ingredient.of) {
        complaints.error(of.place, in_quotes(of.text) + " is a part itself", "name what is bought");
        return;
    }
    if (!ingredient.piece)
        complaints.error(of.place, in_quotes(of.text) + " has no weight of a piece to take a share of",
                         "write its 'piece', or its 'size' where it is an egg", {{ingredient.place, "it is here"}});
    larder.ingredients[part].of = *whole;
    if (!larder.ingredients[part].allergens) larder.ingredients[part].allergens = ingredient.allergens;
}

// --------------------------------------------------------------------------------------------- of a component

/// The ingredient of this name; where the plan has no larder, a new one.
std::optional<IngredientIndex> find_ingredient(const Name& name, const Names& names, Larder& larder,
                                               Complaints& complaints) {
    if (names.components.find(name.text)) {
        complaints.error(name.place, in_quotes(name.text) + " is a component, not an ingredient",
                         "write it in the step that it goes into: with = { \"" + name.text + "\" = ... }");
        return std::nullopt;
    }
    if (const auto found = larder.names.find(name.text)) return found;
    if (!larder.readable) return std::nullopt;
    if (larder.written) {
        std::vector<std::string> known = larder.names.all();
        std::string guess = complaints.did_you_mean(name.text, known);
        complaints.error(name.place, "no ingredient called " + in_quotes(name.text) + " in the larder",
                         guess.empty() ? "add it to the larder: \"" + name.text + "\" = {}" : guess);
        return std::nullopt;
    }
    if (!check_name(name, complaints)) return std::nullopt;
    if (larder.ingredients.size() == Limits::ingredients) {
        complaints.error(name.place, "more than " + std::to_string(Limits::ingredients) + " ingredients");
        return std::nullopt;
    }
    larder.names.add("ingredients", name, complaints);
    larder.ingredients.push_back({});
    larder.ingredients.back().name = name.text;
    larder.ingredients.back().place = name.place;
    return static_cast<IngredientIndex>(larder.ingredients.size() - 1);
}

const Ingredient* without_known_mass(const Component& component, const Larder& larder) {
    const auto unknown = without_mass(larder.ingredients, component);
    return unknown ? &larder.ingredients[*unknown] : nullptr;
}

const char* const kGiveMass = "give it a 'density' (or a 'piece', for what is counted) in the larder";

/// Milligrams of other components that go into one formula, at steps where `counts` says so; empty: not known, since
/// pieces are among them.
template <class Counts>
std::optional<std::int64_t> drawn_mass(const std::vector<Component>& all, const Component& component, Counts counts) {
    Wide sum = 0;
    for (const Step& step : component.steps) {
        if (!counts(step)) continue;
        for (const Draw& draw : step.draws) {
            if (all[draw.component].makes.unit != Amount::Unit::milligrams) return std::nullopt;
            const std::int64_t unit = component.makes.unit == Amount::Unit::pieces ? 1 : kKilogram;
            sum += (Wide{draw.each.count} * component.makes.count + unit - 1) / unit;
        }
    }
    return static_cast<std::int64_t>(std::min(sum, Wide{Limits::milligrams}));
}

bool uses_bowl(const Kitchen& kitchen, const Step& step) {
    return std::any_of(step.uses.begin(), step.uses.end(), [&](const Use& use) {
        return std::any_of(use.choices.begin(), use.choices.end(),
                           [&](EquipmentIndex choice) { return kitchen.equipment[choice].bowl.has_value(); });
    });
}

void check_yield(const std::vector<Component>& all, const Component& component, const Larder& larder,
                 Complaints& complaints) {
    if (component.makes.unit != Amount::Unit::milligrams) return;
    const auto own = formula_mass(larder.ingredients, component, true, Rounding::up);
    const auto drawn = drawn_mass(all, component, [](const Step&) { return true; });
    if (!own || !drawn) return;
    const std::int64_t left =
        static_cast<std::int64_t>((Wide{*drawn} * (1'000'000 - component.loss) + 999'999) / 1'000'000);
    if (*own + left >= component.makes.count) return;
    complaints.caution(component.place,
                       "'" + component.name + "' makes " + amount_text(component.makes) + ", but only " +
                           amount_text({Amount::Unit::milligrams, *own + left}) + " comes of what goes in",
                       "check 'ingredients', 'loss' and 'makes'");
}

/// Each with what the ingredient is bought in.
void check_conversions(const std::vector<Component>& components, const Larder& larder, Complaints& complaints) {
    const auto& all = larder.ingredients;
    for (std::size_t i = 0; i < all.size(); ++i) {
        const auto index = static_cast<IngredientIndex>(i);
        const Measure to = buying_measure(all, components, index);
        const auto check = [&](const Quantity& quantity, const Place& place) {
            const Measure from = quantity.measure;
            if (can_convert(all, index, from, to)) return;
            const bool piece = from == Measure::pieces || to == Measure::pieces;
            complaints.error(place,
                             in_quotes(all[i].name) + " is measured by " + measure_name(from) + " here and by " +
                                 measure_name(to) + " elsewhere",
                             piece ? "say in the larder what one weighs: piece = \"60 g\""
                                   : "say in the larder what it weighs: density = \"1.03 kg/l\"",
                             {{all[i].place, "the ingredient is here"}});
        };
        if (all[i].have) check(*all[i].have, all[i].place);
        for (const Component& component : components)
            if (component.ingredients)
                for (const IngredientLine& line : *component.ingredients)
                    if (line.ingredient == index) check(line.quantity, line.place);
    }
}

}  // namespace

Larder read_larder(const Node* node, bool readable, Complaints& complaints) {
    Larder larder;
    larder.written = node != nullptr || !readable;
    larder.readable = readable;
    if (!node) return larder;
    const auto* table = std::get_if<Table>(&node->value);
    if (!table) {
        complaints.error(node->place, "'larder' is " + kind_of(*node) + ", but should be a table or a file's path",
                         "write larder = \"larders/chapel-lane.toml\", or a table [larder]");
        larder.readable = false;
        return larder;
    }
    std::vector<std::optional<Name>> wholes;
    for (const Entry& entry : *table) {
        if (larder.ingredients.size() == Limits::ingredients) {
            complaints.error(entry.key_place, "more than " + std::to_string(Limits::ingredients) + " ingredients");
            break;
        }
        const Name name{entry.key, entry.key_place};
        check_name(name, complaints);
        larder.names.add("ingredients", name, complaints);
        IngredientDraft draft = read_ingredient(entry, complaints);
        larder.ingredients.push_back(std::move(draft.ingredient));
        wholes.push_back(std::move(draft.of));
    }
    // A part must not be taken for something bought while its own 'of' is still unread.
    std::vector<bool> part;
    for (const auto& of : wholes) part.push_back(of.has_value());
    for (std::size_t i = 0; i < wholes.size(); ++i) {
        if (!wholes[i]) continue;
        const auto whole = larder.names.find(wholes[i]->text);
        if (whole && part[*whole])
            complaints.error(wholes[i]->place, in_quotes(wholes[i]->text) + " is a part itself", "name what is bought");
        else
            find_whole(*wholes[i], static_cast<IngredientIndex>(i), larder, complaints);
    }
    return larder;
}

void read_component_ingredients(TableReader& table, const Names& names, Larder& larder, Component& component) {
    Complaints& complaints = table.complaints();
    component.loss = share(table, "loss").value_or(0);
    const Node* node = table.find("ingredients");
    if (!node) return;
    const auto* entries = std::get_if<Table>(&node->value);
    if (!entries) {
        complaints.error(node->place, "'ingredients' is " + kind_of(*node) + ", but should be a table",
                         "write ingredients = { flour = \"500 g\", egg = 4 }");
        return;
    }
    if (entries->size() > Limits::component_ingredients)
        complaints.error(node->place, table.what() + " has more than " + std::to_string(Limits::component_ingredients) +
                                          " ingredients");
    component.ingredients.emplace();
    for (const Entry& entry : *entries) {
        if (component.ingredients->size() == Limits::component_ingredients) break;
        const auto amount = read_quantity(entry.node, entry.key, complaints);
        const auto ingredient = find_ingredient({entry.key, entry.key_place}, names, larder, complaints);
        if (amount && ingredient) component.ingredients->push_back({*ingredient, *amount, entry.key_place});
    }
}

std::optional<Amount> made_of_ingredients(const Component& component, const std::string& what, const Larder& larder,
                                          Complaints& complaints) {
    if (const Ingredient* unknown = without_known_mass(component, larder)) {
        complaints.error(component.place,
                         what + " has no 'makes', and it does not follow from the ingredients: what " +
                             in_quotes(unknown->name) + " weighs is not known",
                         std::string(kGiveMass) + ", or write 'makes'", {{unknown->place, "the ingredient is here"}});
        return std::nullopt;
    }
    const auto mass = formula_mass(larder.ingredients, component, true, Rounding::down);
    if (!mass || *mass == 0) return std::nullopt;
    if (*mass > Limits::milligrams) {
        complaints.error(component.place, what + " makes more than a plan can hold");
        return std::nullopt;
    }
    return Amount{Amount::Unit::milligrams, *mass};
}

void work_out_bowl(const std::vector<Component>& all, const Kitchen* kitchen, const Larder& larder,
                   Component& component, Complaints& complaints) {
    if (component.makes.unit == Amount::Unit::milligrams && component.makes.count > 0)
        component.bowl_weight = component.makes.count;
    if (!kitchen || !component.ingredients) return;
    const auto mixed = [&](const Step& step) { return uses_bowl(*kitchen, step); };
    if (std::none_of(component.steps.begin(), component.steps.end(), mixed)) return;
    const bool only_drawn = component.ingredients->empty();
    const auto own = only_drawn ? 0 : formula_mass(larder.ingredients, component, false, Rounding::up);
    const auto drawn = drawn_mass(all, component, mixed);
    if (own && drawn) {
        if (*own + *drawn > 0) component.bowl_weight = std::min(*own + *drawn, Limits::milligrams);
        return;
    }
    if (only_drawn) return;
    const Ingredient* unknown = without_known_mass(component, larder);
    complaints.caution(component.place,
                       "what one formula of '" + component.name + "' puts into the mixer's bowl is not known: " +
                           (unknown ? "what '" + unknown->name + "' weighs is not said"
                                    : std::string("pieces of another component go in")),
                       unknown ? std::string(kGiveMass) + ", or write 'bowl_weight'" : "write 'bowl_weight'");
}

void check_ingredients(const std::vector<Component>& components, const Names& names, const Larder& larder,
                       Complaints& complaints) {
    for (const Ingredient& ingredient : larder.ingredients)
        if (larder.written && names.components.find(ingredient.name))
            complaints.error(ingredient.place, in_quotes(ingredient.name) + " is a component of the plan too",
                             "give one of them another name");
    check_conversions(components, larder, complaints);
    for (const Component& component : components) check_yield(components, component, larder, complaints);
}

}  // namespace oventide::plan_file
