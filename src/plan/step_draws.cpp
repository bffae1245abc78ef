#include <utility>

#include "plan/step.hpp"

namespace oventide::plan_file {
namespace {

std::string per(const Amount& makes) { return makes.unit == Amount::Unit::pieces ? "piece" : "kilogram"; }

void read_draw(const Entry& entry, const StepContext& context, Step& step) {
    Draw draw;
    draw.place = entry.key_place;
    std::optional<Amount> each;
    Place each_place = entry.node.place;
    if (std::holds_alternative<Table>(entry.node.value)) {
        TableReader table(entry.node, "'" + entry.key + "' in 'with'", context.complaints);
        table.require("each", "{ each = \"8 g\", within = \"10 min\" }");
        each = table.amount("each");
        each_place = table.has("each") ? table.find("each")->place : each_place;
        const auto rest = table.duration("rest"), within = table.duration("within");
        const bool at_once = table.yes_no("at_once").value_or(false);
        if (rest) draw.rest = round_up(*rest);
        if (within) draw.within = round_down(*within);
        if (at_once) draw.within = Minutes{0};
        if (draw.within && draw.rest > *draw.within)
            context.complaints.error(
                table.key_place("rest"),
                "a rest of " + duration_text(draw.rest) + " does not fit within " + duration_text(*draw.within),
                "make 'within' at least as long as 'rest'");
        table.finish();
    } else {
        each = read_amount(entry.node, entry.key, context.complaints);
    }
    const auto component = context.names.find_component({entry.key, entry.key_place});
    if (!component || !each) return;
    const Amount makes = context.components[static_cast<std::size_t>(*component)].makes;
    if (makes.count > 0 && makes.unit != each->unit) {
        const Amount own = context.components[static_cast<std::size_t>(context.id.component)].makes;
        context.complaints.error(
            each_place,
            "'" + entry.key + "' is made by " + (makes.unit == Amount::Unit::pieces ? "the piece" : "weight") +
                " (makes " + amount_text(makes) + "), but " + amount_text(*each) + " is asked for",
            makes.unit == Amount::Unit::pieces ? "write how many pieces go into each " + per(own)
                                               : "write what goes into each " + per(own) + ": \"35 g\"");
    }
    draw.component = *component;
    draw.each = *each;
    step.draws.push_back(std::move(draw));
}

}  // namespace

void read_draws(TableReader& table, const StepContext& context, Step& step) {
    const Node* node = table.find("with");
    if (!node) return;
    const auto* entries = std::get_if<Table>(&node->value);
    if (!entries) {
        context.complaints.error(node->place, "'with' is " + kind_of(*node) + ", but should be a table",
                                 "write with = { \"tart case\" = 1, custard = \"35 g\" }");
        return;
    }
    for (const Entry& entry : *entries) read_draw(entry, context, step);
}

}  // namespace oventide::plan_file
