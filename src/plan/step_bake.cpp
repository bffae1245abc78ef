#include <algorithm>
#include <utility>

#include "plan/step.hpp"

namespace oventide::plan_file {
namespace {

/// False when a setting could not be read.
bool read_programme(const Node& node, const StepContext& context, Bake& bake) {
    bool sound = true;
    std::vector<const Node*> entries;
    if (const auto* list = std::get_if<List>(&node.value))
        for (const Node& entry : *list) entries.push_back(&entry);
    else
        entries.push_back(&node);
    if (entries.empty()) context.complaints.error(node.place, "'oven' is an empty list", "write oven = \"180 C\"");
    for (const Node* entry : entries) {
        const auto text = read_text(*entry, "oven", "write oven = \"180 C\"", context.complaints);
        if (!text) {
            sound = false;
            continue;
        }
        auto setting = parse_setting(text->text);
        if (!setting.value) {
            context.complaints.error(text->place, "'oven': " + setting.problem, setting.suggestion);
            sound = false;
            continue;
        }
        setting.value->place = text->place;
        bake.programme.push_back(std::move(*setting.value));
    }
    return sound && !bake.programme.empty();
}

void check_settings(const StepContext& context, const Bake& bake) {
    for (std::size_t i = 0; i < bake.programme.size(); ++i) {
        const Setting& setting = bake.programme[i];
        if (!setting.temperature && i + 1 < bake.programme.size())
            context.complaints.error(setting.place, "'off' is the last setting of a programme, if any",
                                     "move it to the end");
        if (!setting.temperature && bake.programme.size() == 1)
            context.complaints.error(setting.place, "a bake does not begin with 'off'",
                                     "write the heat that the oven falls from: [\"170 C 1 min\", \"off 12 min\"]");
        if (setting.lasts && setting.lasts->count() == 0)
            context.complaints.error(setting.place, "this setting lasts no time", "leave it out");
        if (setting.temperature && context.names.kitchen && *setting.temperature < context.names.kitchen->room)
            context.complaints.error(setting.place, degrees_text(*setting.temperature) + " is colder than the room (" +
                                                        degrees_text(context.names.kitchen->room) + ")");
    }
}

/// The times of a programme and what the step takes say the same; whichever is missing follows from the other.
void reconcile_times(TableReader& table, const StepContext& context, Step& step) {
    Seconds sum{0};
    int open = 0;
    for (const Setting& setting : step.bake->programme) {
        sum += setting.lasts.value_or(Seconds{0});
        open += setting.lasts ? 0 : 1;
    }
    const bool written = table.has("takes");
    const Place place = table.key_place("oven");
    if (open > 1) {
        context.complaints.error(place, "more than one setting leaves its time open", "give all but one a time");
    } else if (open == 1 && !written) {
        context.complaints.error(place, "this bake has no time", "write takes = \"22 min\"");
    } else if (open == 1) {
        if (step.takes.shortest <= sum && table.has("takes") && step.takes.usual.count() > 0)
            context.complaints.error(place, "the settings with times last " + duration_text(sum) +
                                                ", which leaves nothing of " + duration_text(step.takes.shortest) +
                                                " for the one without");
    } else if (!written) {
        step.takes = {sum, sum, sum};
        if (step.each.count() > 0)
            context.complaints.error(table.key_place("each"), "'each' needs a setting without a time to lengthen",
                                     "leave the time of one setting out, and write 'takes'");
    } else if (step.takes.shortest != sum || step.takes.longest != sum || step.each.count() > 0) {
        context.complaints.error(table.key_place("takes"),
                                 "the settings add up to " + duration_text(sum) + ", not to what the step takes",
                                 "leave 'takes' out, or leave the time of one setting out");
    }
}

/// No door is shut and ajar at once, however little the bake takes.
void check_door(TableReader& table, const StepContext& context, const Step& step) {
    const Bake& bake = *step.bake;
    const Setting& last = bake.programme.back();
    if (!last.ajar || bake.door_shut == Minutes{0}) return;
    Seconds before{0};
    for (const Setting& setting : bake.programme) before += setting.lasts.value_or(Seconds{0});
    before = last.lasts ? step.takes.shortest - *last.lasts : before;
    if (bake.door_shut > round_up(before))
        context.complaints.error(
            table.key_place("door_shut"),
            "the door is shut for " + duration_text(bake.door_shut) + ", and ajar after " + duration_text(before),
            "write a shorter 'door_shut', or \"off\" without \"ajar\"");
}

void read_tray(TableReader& table, const StepContext& context, Bake& bake) {
    table.require("tray", "tray = 12, what one tray holds");
    const auto tray = table.amount("tray");
    if (!tray) return;
    bake.tray = *tray;
    const Amount makes = context.components[static_cast<std::size_t>(context.id.component)].makes;
    if (makes.count > 0 && makes.unit != tray->unit)
        context.complaints.error(table.find("tray")->place,
                                 "'tray' is " + amount_text(*tray) + ", but the component makes " + amount_text(makes),
                                 makes.unit == Amount::Unit::pieces ? "write how many pieces one tray holds: tray = 12"
                                                                    : "write what one tray holds: tray = \"1.2 kg\"");
}

void read_ovens(TableReader& table, const StepContext& context, Bake& bake) {
    const bool written = table.has("in");
    std::vector<Name> names = table.texts("in");
    if (!written) {
        if (!context.names.kitchen) return;
        for (std::size_t i = 0; i < context.names.kitchen->equipment.size(); ++i)
            if (context.names.kitchen->equipment[i].kind == EquipmentKind::oven)
                bake.ovens.push_back(static_cast<EquipmentIndex>(i));
        if (bake.ovens.empty())
            context.complaints.error(table.key_place("oven"), "the kitchen has no oven",
                                     "add [[oven]] with trays, heats and cools to the kitchen");
        return;
    }
    for (const Name& name : names)
        for (const EquipmentIndex oven : context.names.find_equipment(name, true)) bake.ovens.push_back(oven);
    std::vector<EquipmentIndex> once;
    for (const EquipmentIndex oven : bake.ovens)
        if (std::find(once.begin(), once.end(), oven) == once.end()) once.push_back(oven);
    bake.ovens = std::move(once);
}

}  // namespace

void read_bake(TableReader& table, const StepContext& context, Step& step) {
    const Node* oven = table.find("oven");
    const auto door_shut = table.duration("door_shut");
    if (!oven) {
        for (const char* key : {"tray", "in", "door_shut"})
            if (table.has(key))
                context.complaints.error(
                    table.key_place(key),
                    "'" + std::string(key) + "' belongs to a bake, and " + table.what() + " has no 'oven'",
                    "write oven = \"180 C\", or leave it out");
        table.require("takes", "takes = \"12 min\"");
        return;
    }
    Bake bake;
    bake.place = oven->place;
    const bool sound = read_programme(*oven, context, bake);
    check_settings(context, bake);
    read_tray(table, context, bake);
    read_ovens(table, context, bake);
    if (door_shut) bake.door_shut = round_up(*door_shut);
    step.bake = std::move(bake);
    if (sound) reconcile_times(table, context, step);
    if (sound) check_door(table, context, step);
    if (step.keeps)
        context.complaints.error(table.key_place("keeps"), "a bake cannot keep",
                                 "put a step behind it that does, such as { name = \"cool\", takes = \"30 min\", "
                                 "keeps = \"8 h\" }");
}

}  // namespace oventide::plan_file
