/// Which allergens are in what is collected, as the plan declares them. Emphasis is by capitals, which every printer
/// has.

#include <fmt/format.h>

#include <algorithm>

#include "oventide/allergens.hpp"
#include "report/allergens.hpp"
#include "report/shared.hpp"

namespace oventide::report {
namespace {

std::string emphasised(std::string_view text) {
    std::string capitals(text);
    for (char& c : capitals) c = static_cast<char>(std::toupper(static_cast<unsigned char>(c)));
    return capitals;
}

std::string emphasised(const std::vector<AllergenIndex>& allergens_named) {
    std::vector<std::string> names;
    for (const AllergenIndex allergen : allergens_named)
        names.push_back(emphasised(allergens()[static_cast<std::size_t>(allergen)].name));
    return joined(names);
}

/// "plain flour (WHEAT)"
std::string ingredient_text(const Plan& plan, const Words& words, IngredientIndex index) {
    const Ingredient& ingredient = plan.ingredients[index];
    const std::string name = words.name(ingredient.name);
    if (!ingredient.allergens) return name + " (NOT STATED)";
    const std::string named = emphasised(split_by_list(*ingredient.allergens, plan.allergen_list).on_list);
    return named.empty() ? name : fmt::format("{} ({})", name, named);
}

}  // namespace

std::vector<std::string> contains_lines(const Subject& subject, const Words& words, const Contents& contents) {
    std::vector<std::string> lines;
    const auto split = split_by_list(contents.contains, subject.plan.allergen_list);
    const bool all_stated = contents.undeclared.empty() && contents.unsaid.empty();
    if (!split.on_list.empty())
        lines.push_back("Contains: " + emphasised(split.on_list));
    else if (all_stated)
        lines.emplace_back("Contains: none of the list is declared, and all that goes in is declared");
    std::vector<std::string> undeclared, unsaid, unknown;
    for (const IngredientIndex index : contents.undeclared)
        undeclared.push_back(words.name(subject.plan.ingredients[index].name));
    for (const ComponentIndex index : contents.unsaid) unsaid.push_back(words.component(index));
    if (!undeclared.empty()) unknown.push_back("allergens of " + joined(undeclared));
    if (!unsaid.empty()) unknown.push_back("what goes into " + joined(unsaid));
    if (!all_stated)
        lines.push_back("NOT STATED: " + joined(unknown, "; ") + ". Ask: it is not known to be free of anything.");
    return lines;
}

namespace {

void add_item(const Subject& subject, const Words& words, const Contents& contents, Page& page) {
    for (const std::string& line : contains_lines(subject, words, contents)) page.paragraph(line, 4, 2);
    std::vector<std::string> listed;
    for (const IngredientIndex index : contents.ingredients)
        listed.push_back(ingredient_text(subject.plan, words, index));
    if (!listed.empty())
        page.paragraph(
            fmt::format("Ingredients{}: {}", contents.by_weight ? "" : " (not all weights are known)", joined(listed)),
            4, 2);
    const auto split = split_by_list(contents.contains, subject.plan.allergen_list);
    if (!split.off_list.empty())
        page.paragraph("Declared, though not on this list: " + joined(names_of(split.off_list)), 4, 2);
}

}  // namespace

SplitByList split_by_list(const std::vector<AllergenIndex>& declared, AllergenList list) {
    SplitByList split;
    for (const AllergenIndex allergen : declared)
        (group_of(allergen, list) > 0 ? split.on_list : split.off_list).push_back(allergen);
    return split;
}

std::vector<std::string> names_of(const std::vector<AllergenIndex>& named) {
    std::vector<std::string> names;
    for (const AllergenIndex allergen : named) names.emplace_back(allergens()[static_cast<std::size_t>(allergen)].name);
    return names;
}

std::string allergens_text(const Subject& subject, const Style& style) {
    const Words words(subject, style.ascii);
    const Days days(subject.zone, span_of(subject));
    const auto contents = contents_of(subject.plan);
    Page page(style);
    page.title(words.name(subject.plan.title), "Allergens");
    page.blank();
    page.paragraph(fmt::format("By {}.", allergen_source(subject.plan.allergen_list)));
    page.paragraph("Ingredients stand in the order of their weights as they go in, the heaviest first.");
    for (const Order& order : subject.plan.orders) {
        page.heading(words.name(order.name) + ", " + days.day_time(order.pickup));
        for (const Item& item : order.items) {
            page.paragraph(words.amount(item.component, item.pieces) + " " + words.component(item.component), 2, 2);
            add_item(subject, words, contents[item.component], page);
        }
    }
    page.heading("Mind");
    page.paragraph(kAllergenCaution, 2, 2);
    return page.text();
}

}  // namespace oventide::report
