#include <algorithm>
#include <utility>

#include "plan/step.hpp"

namespace oventide::plan_file {
namespace {

// ----------------------------------------------------------------------------------------------------- hands

Hands hands_from(Hands::From from, Minutes offset, std::optional<Minutes> lasts, const Hands& common) {
    Hands hands = common;
    hands.counted_from = from;
    hands.from = offset;
    hands.lasts = lasts;
    return hands;
}

std::optional<Minutes> minutes_up(TableReader& table, std::string_view key) {
    const auto seconds = table.duration(key);
    if (!seconds) return std::nullopt;
    return round_up(*seconds);
}

void read_hands_table(const Node& node, const Hands& common, const StepContext& context, Step& step) {
    TableReader table(node, "'hands' of the step '" + context.name.text + "'", context.complaints);
    const auto first = minutes_up(table, "first"), last = minutes_up(table, "last"), then = minutes_up(table, "then");
    const auto from = minutes_up(table, "from"), lasts = minutes_up(table, "for");
    Hands entry = common;
    entry.people = table.whole("people", 1, 200).value_or(1);
    table.finish();
    if (table.has("from") && !table.has("for"))
        context.complaints.error(table.key_place("from"), "hands 'from' then, but for how long?",
                                 "write { from = \"20 min\", for = \"2 min\" }");

    const Minutes none{0};
    if (first) step.hands.push_back(hands_from(Hands::From::start, none, first, entry));
    if (lasts) step.hands.push_back(hands_from(Hands::From::start, from.value_or(none), lasts, entry));
    // One pair of hands from the last minutes on past the end.
    if (last || then)
        step.hands.push_back(
            hands_from(Hands::From::end, -last.value_or(none), last.value_or(none) + then.value_or(none), entry));
    const bool parts = table.has("first") || table.has("last") || table.has("then") || table.has("for");
    if (!parts) step.hands.push_back(hands_from(Hands::From::start, none, std::nullopt, entry));
}

void read_hands(TableReader& table, const StepContext& context, Step& step) {
    const auto who = table.texts("who");
    const Node* node = table.find("hands");
    Hands common;
    common.who = context.names.find_people(who);
    if (!node) {
        if (!who.empty())
            context.complaints.error(table.key_place("who"),
                                     "'who' lends hands that " + table.what() + " does not need",
                                     "write hands = true, or leave 'who' out");
        return;
    }
    common.place = node->place;
    std::vector<const Node*> entries;
    if (const auto* list = std::get_if<List>(&node->value))
        for (const Node& entry : *list) entries.push_back(&entry);
    else
        entries.push_back(node);
    for (const Node* entry : entries) {
        if (const bool* all = std::get_if<bool>(&entry->value)) {
            if (*all) step.hands.push_back(common);
        } else if (std::holds_alternative<Table>(entry->value)) {
            read_hands_table(*entry, common, context, step);
        } else {
            context.complaints.error(entry->place, "'hands' is " + kind_of(*entry) + ", but should be true or a table",
                                     "write hands = true, or hands = { first = \"2 min\", last = \"2 min\" }");
        }
    }
    for (const Hands& hands : step.hands) {
        const std::size_t there =
            hands.who.empty() ? (context.names.kitchen ? context.names.kitchen->crew.size() : 200) : hands.who.size();
        if (static_cast<std::size_t>(hands.people) > there)
            context.complaints.error(hands.place, table.what() + " needs " + std::to_string(hands.people) +
                                                      (hands.people == 1 ? " person" : " people") + ", but there " +
                                                      (there == 1 ? "is " : "are ") + std::to_string(there));
    }
}

// ------------------------------------------------------------------------------------------------------ uses

/// Leaves those of the choices that are large enough; tells when none is.
void keep_large_enough(Use& use, const std::string& wanted, const StepContext& context) {
    if (!context.names.kitchen || use.choices.empty()) return;
    const auto& all = context.names.kitchen->equipment;
    std::int32_t most = 0;
    for (const EquipmentIndex choice : use.choices)
        most = std::max(most, all[static_cast<std::size_t>(choice)].capacity);
    if (most < use.amount) {
        context.complaints.error(use.place, "the step '" + context.name.text + "' needs " + std::to_string(use.amount) +
                                                " of '" + wanted + "', but there " +
                                                (most == 1 ? "is 1" : "are " + std::to_string(most)));
        return;
    }
    std::erase_if(use.choices,
                  [&](EquipmentIndex choice) { return all[static_cast<std::size_t>(choice)].capacity < use.amount; });
}

void read_part(TableReader& table, const StepContext& context, Use& use) {
    const auto from = table.duration("from"), lasts = table.duration("for"), then = table.duration("then");
    const auto until = table.text("until");
    if (from) use.part.from = round_down(*from);
    if (lasts) use.part.to = round_up(from.value_or(Seconds{0}) + *lasts);
    if (then) use.part.past_end = round_up(*then);
    if (lasts && (then || until))
        context.complaints.error(table.key_place("for"), "'for' ends it, so 'then' and 'until' do not go with it",
                                 "leave one of them out");
    if (!until) return;
    const auto id = context.names.find_step(*until, context.id.component);
    if (!id) return;
    if (id->component != context.id.component || id->step <= context.id.step)
        context.complaints.error(until->place, "'until' names a later step of the same component",
                                 "write until = \"...\" with a step that stands further down");
    use.until = id->step;
}

std::vector<EquipmentIndex> read_either(const std::vector<Name>& names, const Name& key, const StepContext& context) {
    std::vector<EquipmentIndex> choices;
    for (const Name& name : names)
        for (const EquipmentIndex found : context.names.find_equipment(name, false))
            if (std::find(choices.begin(), choices.end(), found) == choices.end()) choices.push_back(found);
    if (!context.names.kitchen || key.text == "equipment") return choices;
    for (const EquipmentIndex choice : choices) {
        const Equipment& equipment = context.names.kitchen->equipment[static_cast<std::size_t>(choice)];
        if (key.text == kind_name(equipment.kind)) continue;
        context.complaints.error(key.place, "'" + equipment.name + "' in 'either' is no '" + key.text + "'",
                                 std::string("write ") + kind_name(equipment.kind) + " = { either = [...] }");
        break;
    }
    return choices;
}

void read_use(const Name& name, const Node* details, const StepContext& context, Step& step) {
    Use use;
    use.place = name.place;
    std::vector<Name> either;
    if (details) {
        if (const auto* amount = std::get_if<std::int64_t>(&details->value)) {
            use.amount = static_cast<std::int32_t>(std::clamp<std::int64_t>(*amount, 0, 1'000'000));
            if (*amount < 1) context.complaints.error(details->place, "at least 1 of '" + name.text + "' is used");
        } else {
            TableReader table(*details, "'" + name.text + "' in 'uses'", context.complaints);
            use.amount = table.whole("amount", 1, 1'000'000).value_or(1);
            either = table.texts("either");
            read_part(table, context, use);
            table.finish();
        }
    }
    use.choices = either.empty() ? context.names.find_equipment(name, false) : read_either(either, name, context);
    keep_large_enough(use, name.text, context);
    step.uses.push_back(std::move(use));
}

/// Uses that last as long as the step add up; where only one piece of equipment will do for each, it has that many.
void check_together(const StepContext& context, const Step& step) {
    if (!context.names.kitchen) return;
    const auto& all = context.names.kitchen->equipment;
    std::vector<std::int64_t> wanted(all.size(), 0);
    for (const Use& use : step.uses) {
        if (use.choices.size() != 1 || use.part.from.count() > 0 || use.part.to) continue;
        const auto index = static_cast<std::size_t>(use.choices.front());
        const bool fitted = wanted[index] <= all[index].capacity;
        wanted[index] += use.amount;
        if (fitted && wanted[index] > all[index].capacity && use.amount <= all[index].capacity)
            context.complaints.error(
                use.place, "the step '" + context.name.text + "' needs " + std::to_string(wanted[index]) + " of '" +
                               all[index].name + "' at once, but there " +
                               (all[index].capacity == 1 ? "is 1" : "are " + std::to_string(all[index].capacity)));
    }
}

void read_uses(TableReader& table, const StepContext& context, Step& step) {
    const Node* node = table.find("uses");
    if (!node) return;
    if (const auto* entries = std::get_if<Table>(&node->value)) {
        for (const Entry& entry : *entries) read_use({entry.key, entry.key_place}, &entry.node, context, step);
    } else {
        for (const Name& name : table.texts("uses")) read_use(name, nullptr, context, step);
    }
    check_together(context, step);
}

// ------------------------------------------------------------------------------------------------------ wash

bool shares(const std::vector<EquipmentIndex>& a, const std::vector<EquipmentIndex>& b) {
    return std::any_of(a.begin(), a.end(),
                       [&](EquipmentIndex e) { return std::find(b.begin(), b.end(), e) != b.end(); });
}

void read_wash_table(const Node& node, const StepContext& context, Step& step, Wash& wash) {
    TableReader table(node, "'wash' of the step '" + context.name.text + "'", context.complaints);
    table.require("takes", "wash = { takes = \"5 min\", what = \"mixer\" }");
    if (const auto takes = table.duration("takes")) wash.takes = round_up(*takes);
    wash.who = context.names.find_people(table.texts("who"));
    const bool what_written = table.has("what");
    for (const Name& name : table.texts("what")) {
        const auto what = context.names.find_equipment(name, false);
        bool used = what.empty();
        for (Use& use : step.uses) {
            if (!shares(use.choices, what)) continue;
            use.washed = used = true;
        }
        if (!used)
            context.complaints.error(name.place, "the step '" + context.name.text + "' does not use '" + name.text +
                                                     "', so there is nothing to wash");
    }
    if (!what_written)
        for (Use& use : step.uses) use.washed = true;
    table.finish();
}

void read_wash(TableReader& table, const StepContext& context, Step& step) {
    const Node* node = table.find("wash");
    if (!node) return;
    Wash wash;
    if (std::holds_alternative<Table>(node->value)) {
        read_wash_table(*node, context, step, wash);
    } else {
        if (const auto takes = read_duration(*node, "wash", context.complaints)) wash.takes = round_up(*takes);
        for (Use& use : step.uses) use.washed = true;
    }
    step.wash = std::move(wash);
}

}  // namespace

void read_resources(TableReader& table, const StepContext& context, Step& step) {
    read_hands(table, context, step);
    read_uses(table, context, step);
    read_wash(table, context, step);
}

}  // namespace oventide::plan_file
