#include <utility>

#include "plan/step.hpp"

namespace oventide::plan_file {
namespace {

struct Waits {
    Minutes rest{0};
    std::optional<Minutes> within;
    bool written = false;
};

/// `rest`, `within` and `at_once`, wherever they may stand.
Waits read_waits(TableReader& table) {
    Waits waits;
    const auto rest = table.duration("rest"), within = table.duration("within");
    const bool at_once = table.yes_no("at_once").value_or(false);
    if (rest) waits.rest = round_up(*rest);
    if (within) waits.within = round_down(*within);
    if (at_once && (within || rest))
        table.complaints().error(table.key_place("at_once"), "'at_once' leaves no time for 'rest' or 'within'",
                                 "leave one of them out");
    if (at_once) waits.within = Minutes{0};
    if (rest && within && waits.rest > *waits.within)
        table.complaints().error(table.key_place("rest"),
                                 "a rest of " + duration_text(*rest) + " does not fit within " + duration_text(*within),
                                 "make 'within' at least as long as 'rest'");
    waits.written = rest || within || at_once;
    return waits;
}

After make_after(const StepId& id, const Waits& waits, const Place& place) {
    return {id.component, id.step, waits.rest, waits.within, place};
}

std::optional<After> read_entry(const Node& node, const StepContext& context, const Waits& waits) {
    if (const auto* text = std::get_if<std::string>(&node.value)) {
        const auto id = context.names.find_step({*text, node.place}, context.id.component);
        if (!id) return std::nullopt;
        return make_after(*id, waits, node.place);
    }
    TableReader table(node, "an entry of 'after'", context.complaints);
    if (!table.is_table()) return std::nullopt;
    table.require("step", "{ step = \"chill\", rest = \"10 min\" }");
    const auto name = table.text("step");
    const Waits own = read_waits(table);
    table.finish();
    if (!name) return std::nullopt;
    const auto id = context.names.find_step(*name, context.id.component);
    if (!id) return std::nullopt;
    return make_after(*id, own, name->place);
}

void add_default(TableReader& table, const StepContext& context, const Waits& waits, Step& step) {
    if (context.id.step > 0) {
        step.after.push_back(make_after({context.id.component, context.id.step - 1}, waits, step.place));
    } else if (waits.written) {
        const char* key = table.has("rest") ? "rest" : table.has("within") ? "within" : "at_once";
        context.complaints.error(
            table.key_place(key),
            "'" + std::string(key) + "' counts from the step before, and " + table.what() + " is the first",
            "write it in 'after', or in 'with'");
    }
}

/// Beside an 'after' of several entries, or of a table, nobody could tell which one they are for.
void complain_of_waits(TableReader& table, const std::vector<const Node*>& entries, const StepContext& context) {
    for (const std::string& key : {std::string("rest"), std::string("within"), std::string("at_once")}) {
        if (!table.has(key)) continue;
        const auto* first = entries.empty() ? nullptr : std::get_if<std::string>(&entries.front()->value);
        const std::string step = first ? *first : "chill";
        const std::string value = key == "at_once" ? "true" : "\"10 min\"";
        context.complaints.error(table.key_place(key),
                                 "'" + key + "' beside an 'after' that is not one step: each entry has its own",
                                 "write it into the entry that it is for: after = [{ step = \"" + step + "\", " + key +
                                     " = " + value + " }, ...]");
    }
}

}  // namespace

void read_order(TableReader& table, const StepContext& context, Step& step) {
    const Waits waits = read_waits(table);
    const Node* after = table.find("after");
    if (!after) return add_default(table, context, waits, step);

    const auto* list = std::get_if<List>(&after->value);
    std::vector<const Node*> entries;
    if (list)
        for (const Node& entry : *list) entries.push_back(&entry);
    else
        entries.push_back(after);
    const bool one_text = entries.size() == 1 && std::holds_alternative<std::string>(entries.front()->value);
    if (waits.written && !one_text) complain_of_waits(table, entries, context);
    for (const Node* entry : entries)
        if (auto found = read_entry(*entry, context, waits)) step.after.push_back(std::move(*found));
}

}  // namespace oventide::plan_file
