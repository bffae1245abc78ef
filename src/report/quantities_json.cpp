/// The weigh sheet, the shopping and the allergens for programs. plans/json.md documents every field.

#include "oventide/allergens.hpp"
#include "report/allergens.hpp"
#include "report/figures.hpp"
#include "report/json_parts.hpp"

namespace oventide::report {
namespace {

Json quantity(const Figure& figure) {
    static constexpr const char* units[] = {"mg", "ul", "millipieces"};
    return {{"count", (figure.millionths + 500) / 1'000}, {"unit", units[static_cast<std::size_t>(figure.measure)]}};
}

Json quantity(const std::optional<Figure>& figure) { return figure ? quantity(*figure) : Json(nullptr); }

template <class Value>
Json or_null(const std::optional<Value>& value) {
    return value ? Json(*value) : Json(nullptr);
}

Json unsaid_names(const Subject& subject) {
    Json names = Json::array();
    for (const ComponentIndex index : unsaid(subject)) names.push_back(subject.plan.components[index].name);
    return names;
}

Json batch_json(const Subject& subject, const WeighedBatch& batch) {
    const Plan& plan = subject.plan;
    const Component& component = plan.components[batch.component];
    Json json{{"component", component.name},
              {"batch", batch.batch},
              {"amount", amount_json(component, batch.amount)},
              {"needed", time_json(subject.zone, batch.needed)},
              {"ingredients", Json::array()},
              {"mass", quantity(batch.mass)},
              {"of_flour", or_null(batch.of_flour)},
              {"each", quantity(batch.each)},
              {"each_after_loss", quantity(batch.each_after_loss)},
              {"drawn", Json::array()}};
    for (const WeighLine& line : batch.lines)
        json["ingredients"].push_back({{"ingredient", plan.ingredients[line.ingredient].name},
                                       {"amount", quantity(line.amount)},
                                       {"mass", quantity(line.mass)},
                                       {"of_flour", or_null(line.of_flour)}});
    for (const DrawnLine& line : batch.drawn)
        json["drawn"].push_back({{"component", plan.components[line.component].name},
                                 {"batch", line.batch},
                                 {"step", component.steps[line.step].name},
                                 {"at", time_json(subject.zone, line.at)},
                                 {"amount", amount_json(plan.components[line.component], line.amount)}});
    return json;
}

Json shop_line_json(const Plan& plan, const ShopLine& line) {
    return {{"ingredient", plan.ingredients[line.ingredient].name},
            {"needed", quantity(line.needed)},
            {"have", quantity(line.have)},
            {"missing", quantity(line.missing)},
            {"pack", quantity(line.pack)},
            {"packs", line.pack ? Json(line.packs) : Json(nullptr)},
            {"buy", quantity(line.buy)},
            {"over", quantity(line.over)},
            {"mass", quantity(line.mass)}};
}

/// Each allergen with the ingredients that bring it.
Json contains_json(const Plan& plan, const Contents& contents) {
    Json list = Json::array();
    for (const AllergenIndex allergen : contents.contains) {
        Json from = Json::array();
        for (const IngredientIndex index : contents.ingredients) {
            const auto& declared = plan.ingredients[index].allergens;
            if (declared && std::find(declared->begin(), declared->end(), allergen) != declared->end())
                from.push_back(plan.ingredients[index].name);
        }
        const int group = group_of(allergen, plan.allergen_list);
        const auto groups = allergen_groups(plan.allergen_list);
        list.push_back({{"allergen", allergens()[static_cast<std::size_t>(allergen)].name},
                        {"group", group > 0 ? Json(groups[static_cast<std::size_t>(group - 1)]) : Json(nullptr)},
                        {"from", std::move(from)}});
    }
    return list;
}

Json item_json(const Plan& plan, const Item& item, const Contents& contents) {
    Json json{{"item", plan.components[item.component].name},
              {"amount", amount_json(plan.components[item.component], item.pieces)},
              {"contains", contains_json(plan, contents)},
              {"not_stated", Json::array()},
              {"unsaid", Json::array()},
              {"by_weight", contents.by_weight},
              {"ingredients", Json::array()}};
    for (const IngredientIndex index : contents.undeclared) json["not_stated"].push_back(plan.ingredients[index].name);
    for (const ComponentIndex index : contents.unsaid) json["unsaid"].push_back(plan.components[index].name);
    for (const IngredientIndex index : contents.ingredients) {
        const auto& declared = plan.ingredients[index].allergens;
        json["ingredients"].push_back({{"ingredient", plan.ingredients[index].name},
                                       {"allergens", declared ? Json(names_of(*declared)) : Json(nullptr)}});
    }
    return json;
}

}  // namespace

std::string weigh_json(const Subject& subject) {
    if (subject.timetable == nullptr) return timetable_json(subject);
    Json json = head("weigh", subject.plan);
    json["as_of"] = as_of_json(subject);
    json["batches"] = Json::array();
    for (const WeighedBatch& batch : weigh(subject.plan, *subject.timetable))
        json["batches"].push_back(batch_json(subject, batch));
    json["unsaid"] = unsaid_names(subject);
    return written(json);
}

std::string shop_json(const Subject& subject) {
    if (subject.timetable == nullptr) return timetable_json(subject);
    const Shopping shopping = shop(subject.plan, *subject.timetable, subject.zone);
    Json json = head("shop", subject.plan);
    json["lines"] = Json::array();
    for (const ShopLine& line : shopping.lines) json["lines"].push_back(shop_line_json(subject.plan, line));
    json["days"] = Json::array();
    for (const DayNeed& day : shopping.days) {
        Json lines = Json::array();
        for (const DayNeed::Line& line : day.lines)
            lines.push_back(
                {{"ingredient", subject.plan.ingredients[line.ingredient].name}, {"needed", quantity(line.needed)}});
        json["days"].push_back({{"first", time_json(subject.zone, day.first)}, {"lines", std::move(lines)}});
    }
    json["unsaid"] = unsaid_names(subject);
    return written(json);
}

std::string allergens_json(const Subject& subject) {
    const Plan& plan = subject.plan;
    const auto contents = contents_of(plan);
    Json json = head("allergens", plan);
    json["list"] = plan.allergen_list == AllergenList::eu ? "EU" : "US";
    json["source"] = allergen_source(plan.allergen_list);
    json["orders"] = Json::array();
    for (const Order& order : plan.orders) {
        Json items = Json::array();
        for (const Item& item : order.items) items.push_back(item_json(plan, item, contents[item.component]));
        json["orders"].push_back(
            {{"order", order.name}, {"pickup", time_json(subject.zone, order.pickup)}, {"items", std::move(items)}});
    }
    json["caution"] = kAllergenCaution;
    return written(json);
}

}  // namespace oventide::report
