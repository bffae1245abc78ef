#include "plan/step.hpp"

#include <algorithm>
#include <array>
#include <utility>

namespace oventide::plan_file {
namespace {

Spread read_spread(TableReader& table) {
    const Node* node = table.find("takes");
    if (!node) return {};
    const auto* list = std::get_if<List>(&node->value);
    if (!list) {
        const auto usual = read_duration(*node, "takes", table.complaints());
        return usual ? Spread{*usual, *usual, *usual} : Spread{};
    }
    if (list->size() != 3) {
        table.complaints().error(node->place, "'takes' has " + std::to_string(list->size()) + " times",
                                 "write one, or three: [\"90 min\", \"2 h\", \"3 h\"] (short, usual, long)");
        return {};
    }
    std::array<std::optional<Seconds>, 3> times;
    for (std::size_t i = 0; i < 3; ++i) times[i] = read_duration((*list)[i], "takes", table.complaints());
    if (!times[0] || !times[1] || !times[2]) return {};
    if (*times[0] > *times[1] || *times[1] > *times[2])
        table.complaints().error(node->place, "the three times of 'takes' are out of order",
                                 "write the short one first, then the usual, then the long");
    return {*times[0], *times[1], *times[2]};
}

void read_by(TableReader& table, StepReading& reading) {
    const auto by = table.text("by");
    if (!by) return;
    reading.by_place = by->place;
    if (by->text == "load")
        reading.by = By::load;
    else if (by->text == "batch")
        reading.by = By::batch;
    else
        table.complaints().error(by->place, "'by' is '" + by->text + "'", "write by = \"load\" or by = \"batch\"");
}

}  // namespace

StepReading read_step(const Node& node, const StepContext& context) {
    StepReading reading;
    Step& step = reading.step;
    TableReader table(node, context.name.text.empty() ? "this step" : "the step '" + context.name.text + "'",
                      context.complaints);
    if (!table.is_table()) return reading;
    table.find("name");
    step.name = context.name.text;
    step.place = context.name.place;
    step.takes = read_spread(table);
    step.each = table.duration("each").value_or(Seconds{0});
    if (const auto keeps = table.duration("keeps")) step.keeps = round_down(*keeps);
    read_order(table, context, step);
    read_resources(table, context, step);
    read_bake(table, context, step);
    read_draws(table, context, step);
    read_by(table, reading);
    step.cooked = table.yes_no("cooked").value_or(false);
    step.chill = table.yes_no("chill").value_or(false);
    read_cools(table, context, step);
    for (const char* key : {"draws", "needs", "contains", "components", "filling"})
        table.instead_of(key, "write what it takes of other components, with = { NAME = AMOUNT }");
    table.finish();
    return reading;
}

}  // namespace oventide::plan_file
