/// Plan text to plan: the whole way, step by step.

#include <algorithm>
#include <array>
#include <utility>

#include "oventide/clock.hpp"
#include "oventide/plan_file.hpp"
#include "oventide/safety.hpp"
#include "plan/complaints.hpp"
#include "plan/components.hpp"
#include "plan/document.hpp"
#include "plan/hours.hpp"
#include "plan/ingredients.hpp"
#include "plan/kitchen.hpp"
#include "plan/meaning.hpp"
#include "plan/names.hpp"
#include "plan/orders.hpp"
#include "plan/shared_files.hpp"
#include "plan/table_reader.hpp"

namespace oventide {
namespace plan_file {
namespace {

std::optional<clock::Zone> read_zone(TableReader& top, Plan& plan) {
    top.require("timezone", "timezone = \"Europe/London\"");
    const auto name = top.text("timezone");
    if (!name) return std::nullopt;
    auto zone = clock::Zone::find(name->text);
    if (!zone) {
        const auto near = clock::near_zone_names(name->text, 1);
        top.complaints().error(name->place, "there is no timezone called '" + name->text + "'",
                               near.empty() ? "write one like \"Europe/London\"" : "did you mean '" + near[0] + "'?");
    }
    plan.timezone = name->text;
    return zone;
}

void read_aim(TableReader& top, Plan& plan) {
    struct Known {
        const char* name;
        Aim aim;
    };
    static constexpr std::array<Known, 3> known{
        {{"freshness", Aim::freshness}, {"alarm", Aim::alarm}, {"waiting", Aim::waiting}}};
    const Place place = top.key_place("aim");
    const bool written = top.has("aim");
    std::vector<Aim> aims;
    const auto names = top.texts("aim");
    for (const Name& name : names) {
        const auto at = std::find_if(known.begin(), known.end(), [&](const Known& k) { return name.text == k.name; });
        if (at == known.end()) {
            std::string guess = top.complaints().did_you_mean(name.text, {"freshness", "alarm", "waiting"});
            top.complaints().error(name.place, "there is no aim called '" + name.text + "'",
                                   guess.empty() ? "aims are \"freshness\", \"alarm\", \"waiting\"" : guess);
        } else if (std::find(aims.begin(), aims.end(), at->aim) != aims.end()) {
            top.complaints().error(name.place, "the aim '" + name.text + "' stands twice", "leave one out");
        } else {
            aims.push_back(at->aim);
        }
    }
    if (written && names.empty()) top.complaints().error(place, "'aim' is empty", "leave it out for the usual aims");
    if (!aims.empty()) plan.aim = std::move(aims);
}

void read_times(TableReader& top, Plan& plan) {
    const auto times = top.text("times");
    if (!times) return;
    if (times->text == "long")
        plan.times = Times::longest;
    else if (times->text != "usual")
        top.complaints().error(times->place, "'times' is '" + times->text + "'", "write \"usual\" or \"long\"");
}

void read_safety(TableReader& top, Plan& plan) {
    plan.safety.rule = kDefaultSafetyRule;
    plan.safety.place = top.place();
    const auto rule = top.text("safety");
    if (!rule) return;
    plan.safety = {rule->text, rule->place};
    if (rule->text == kNoSafetyRule || find_safety_rule(rule->text)) return;
    std::vector<std::string> known;
    for (const SafetyRule& one : safety_rules()) known.emplace_back(one.key);
    known.emplace_back(kNoSafetyRule);
    std::string suggestion = top.complaints().did_you_mean(rule->text, known);
    if (suggestion.empty()) {
        suggestion = "there are ";
        for (std::size_t i = 0; i < known.size(); ++i) suggestion += (i ? ", \"" : "\"") + known[i] + "\"";
    }
    top.complaints().error(rule->place, "there is no food-safety rule called '" + rule->text + "'", suggestion);
}

/// Midnight before the third day ahead of the first pickup.
Instant usual_beginning(const clock::Zone& zone, Instant first_pickup) {
    clock::LocalTime midnight = clock::add_days(zone.local(first_pickup), -3);
    midnight.minute = 0;
    return zone.read(midnight).first;
}

/// The one that as many pickups lie before as behind, the earlier of two. At least one is known.
const OrderDraft& middle_pickup(const std::vector<OrderDraft>& orders) {
    std::vector<const OrderDraft*> known;
    for (const OrderDraft& draft : orders)
        if (draft.pickup_known) known.push_back(&draft);
    std::stable_sort(known.begin(), known.end(),
                     [](const OrderDraft* a, const OrderDraft* b) { return a->order.pickup < b->order.pickup; });
    return *known[(known.size() - 1) / 2];
}

/// From when to when the plan reaches; empty when no pickup is known.
std::optional<Span> read_horizon(TableReader& top, const std::vector<OrderDraft>& orders, const clock::Zone* zone) {
    const Node* node = top.find("from");
    const auto from = node ? read_moment(*node, "from", zone, top.complaints()) : std::nullopt;
    std::optional<Span> horizon;
    for (const OrderDraft& draft : orders) {
        if (!draft.pickup_known) continue;
        const Instant pickup = draft.order.pickup;
        if (!horizon) horizon = Span{pickup, pickup};
        horizon = Span{std::min(horizon->from, pickup), std::max(horizon->to, pickup)};
    }
    if (!horizon || !zone) return std::nullopt;
    constexpr std::chrono::hours kReach{24 * Limits::horizon_days};
    const OrderDraft& middle = middle_pickup(orders);
    bool fits = true;
    if (!from) {
        // A mistyped year is told where it stands, not at the pickups that are right.
        horizon->from = middle.order.pickup;
        for (const OrderDraft& draft : orders) {
            if (!draft.pickup_known) continue;
            if (middle.order.pickup - draft.order.pickup <= kReach) {
                horizon->from = std::min(horizon->from, draft.order.pickup);
                continue;
            }
            top.complaints().error(
                draft.pickup_place,
                "this pickup is more than " + std::to_string(Limits::horizon_days) + " days before most others",
                "is its date right? Else make a plan of its own for it",
                {{middle.pickup_place, "another pickup is here"}});
            fits = false;
        }
        horizon->from = usual_beginning(*zone, horizon->from);
    } else {
        horizon->from = *from;
    }
    if (!fits) return std::nullopt;
    const Instant latest = horizon->from + kReach;
    for (const OrderDraft& draft : orders) {
        if (!draft.pickup_known) continue;
        if (draft.order.pickup <= horizon->from) {
            top.complaints().error(draft.pickup_place, "this pickup is not after the plan's 'from'",
                                   "write an earlier 'from', or leave it out", {{node->place, "'from' is here"}});
            fits = false;
        } else if (draft.order.pickup > latest) {
            top.complaints().error(
                draft.pickup_place,
                "this pickup is more than " + std::to_string(Limits::horizon_days) + " days after the plan begins",
                node ? "write a later 'from'"
                     : "is its date right, and that of the first? Else make a plan of its own for it",
                node ? std::vector<Note>{} : std::vector<Note>{{middle.pickup_place, "another pickup is here"}});
            fits = false;
        }
    }
    if (!fits) return std::nullopt;
    return horizon;
}

std::optional<KitchenDraft> find_kitchen(TableReader& top, SharedFiles& files) {
    top.require("kitchen", "kitchen = \"kitchens/chapel-lane.toml\", or a table [kitchen]");
    const Node* node = top.find("kitchen");
    if (!node) return std::nullopt;
    if (const auto* path = std::get_if<std::string>(&node->value)) {
        const Node* document = files.read({*path, node->place}, "the kitchen");
        if (!document) return std::nullopt;
        return read_kitchen(*document, top.complaints());
    }
    if (std::holds_alternative<Table>(node->value)) return read_kitchen(*node, top.complaints());
    top.complaints().error(node->place, "'kitchen' is " + kind_of(*node) + ", but should be a table or a file's path");
    return std::nullopt;
}

void read_allergen_list(TableReader& top, Plan& plan) {
    const auto list = top.text("allergens");
    if (!list) return;
    if (list->text == "US")
        plan.allergen_list = AllergenList::us;
    else if (list->text != "EU")
        top.complaints().error(list->place, "there is no list of allergens called '" + list->text + "'",
                               "write \"EU\" (14 groups) or \"US\" (9)");
}

Larder find_larder(TableReader& top, SharedFiles& files) {
    const Node* node = top.find("larder");
    const auto* path = node ? std::get_if<std::string>(&node->value) : nullptr;
    if (path) node = files.read({*path, node->place}, "the larder");
    return read_larder(node, !path || node, top.complaints());
}

/// Hours are laid out from the day before the beginning, since they may run past midnight, to the day after the end.
Kitchen settle_hours(KitchenDraft draft, const clock::Zone& zone, const Span& horizon, Complaints& complaints) {
    const Days days{clock::add_days(zone.local(horizon.from), -1), clock::add_days(zone.local(horizon.to), 1)};
    return lay_out(std::move(draft), zone, days, complaints);
}

void read_whole(TableReader& top, SharedFiles& files, const std::string& usual_title, Plan& plan) {
    Complaints& complaints = top.complaints();
    const auto title = top.text("title");
    plan.title = title && check_name(*title, complaints) ? title->text : usual_title;
    const auto zone = read_zone(top, plan);
    read_aim(top, plan);
    read_times(top, plan);
    read_safety(top, plan);

    top.require("order", "[[order]] with name, pickup and items");
    const auto orders = read_orders(top.tables("order", "write [[order]]"), zone ? &*zone : nullptr, complaints);
    const auto horizon = read_horizon(top, orders, zone ? &*zone : nullptr);

    auto kitchen = find_kitchen(top, files);
    if (horizon) plan.from = horizon->from;
    if (top.has("from")) plan.from_place = top.key_place("from");
    if (kitchen && zone && horizon)
        plan.kitchen = settle_hours(std::move(*kitchen), *zone, *horizon, complaints);
    else if (kitchen)
        plan.kitchen = std::move(kitchen->kitchen);

    Names names(complaints);
    names.kitchen = kitchen ? &plan.kitchen : nullptr;
    auto tables = top.tables("component", "write [[component]]");
    names.all_components = files.read_formulas(top.texts("formulas"), tables);
    const auto drafts = read_component_names(tables, names, complaints);
    read_allergen_list(top, plan);
    Larder larder = find_larder(top, files);
    auto reading = read_components(drafts, names, larder, complaints);
    plan.components = std::move(reading.components);
    check_ingredients(plan.components, names, larder, complaints);
    plan.ingredients = std::move(larder.ingredients);

    for (const OrderDraft& draft : orders) {
        plan.orders.push_back(draft.order);
        plan.orders.back().items = read_items(draft, names, plan.components, complaints);
    }
    top.finish();
    check_meaning(plan, reading.sound, complaints);
}

PlanReading read_plan_text(const std::filesystem::path& path, std::string_view text, const FileReader& reader) {
    PlanReading reading;
    Complaints complaints;
    SharedFiles files(reading.sources, reader, complaints);
    Plan plan;
    if (const Node* document = files.add_text(path, text)) {
        if (std::get<Table>(document->value).empty()) {
            complaints.error({0, 0, 0, 1}, "there is nothing in this file",
                             "plans/plan-file.md says what a plan holds");
        } else {
            TableReader top(*document, "the plan", complaints);
            read_whole(top, files, path.stem().string(), plan);
        }
    }
    if (complaints.errors() == 0) reading.plan = std::move(plan);
    reading.diagnostics = std::move(complaints).in_order();
    return reading;
}

}  // namespace
}  // namespace plan_file

PlanReading read_plan(const std::filesystem::path& path, const FileReader& reader) {
    FileText text = reader(path);
    if (text.text) return plan_file::read_plan_text(path, *text.text, reader);
    PlanReading reading;
    reading.sources.files.push_back({path.string(), {}});
    reading.diagnostics.push_back({Severity::error, {0, 0, 0, 1}, "this file cannot be read: " + text.problem, {}, {}});
    return reading;
}

PlanReading parse_plan(std::string_view text, const std::string& name, const FileReader& reader) {
    return plan_file::read_plan_text(name, text, reader);
}

}  // namespace oventide
