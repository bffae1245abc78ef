#include "plan/kitchen.hpp"

#include <algorithm>
#include <utility>

#include "oventide/plan_file.hpp"
#include "plan/cold.hpp"
#include "plan/names.hpp"
#include "plan/table_reader.hpp"

namespace oventide::plan_file {
namespace {

constexpr std::int32_t kMostOfAKind = 1'000;
constexpr std::size_t kMostHours = 400;

std::vector<HoursEntry> read_hours(TableReader& table, std::string_view key) {
    std::vector<HoursEntry> entries;
    for (const Name& text : table.texts(key)) {
        if (entries.size() == kMostHours) {
            table.complaints().error(text.place, "more than " + std::to_string(kMostHours) + " hours");
            break;
        }
        auto parsed = parse_hours(text.text);
        if (!parsed.value) {
            table.complaints().error(text.place, parsed.problem, parsed.suggestion);
            continue;
        }
        parsed.value->place = text.place;
        entries.push_back(std::move(*parsed.value));
    }
    return entries;
}

void read_person(const Node& node, KitchenDraft& draft, NameList& names, Complaints& complaints) {
    TableReader table(node, "a person of the crew", complaints);
    if (!table.is_table()) return;
    Person person;
    person.place = table.place();
    if (auto name = read_name(table, "Ada")) {
        names.add("people", *name, complaints);
        table.call_it("'" + name->text + "'");
        person.name = name->text;
        person.place = name->place;
    }
    table.require("hours", "hours = \"05:00-20:00\"");
    auto hours = read_hours(table, "hours");
    table.finish();
    draft.kitchen.crew.push_back(std::move(person));
    draft.hours.push_back(std::move(hours));
}

/// The key under which a kind counts what there is of it, and what stands in its example.
struct Counting {
    const char* key;
    bool required;
};

Counting counting_of(EquipmentKind kind) {
    switch (kind) {
        case EquipmentKind::oven:
            return {"trays", true};
        case EquipmentKind::hob:
            return {"rings", true};
        case EquipmentKind::fridge:
            return {"shelves", true};
        default:
            return {"count", false};
    }
}

void read_oven(TableReader& table, Equipment& oven) {
    table.require("heats", "heats = \"12 C/min\"");
    table.require("cools", "cools = \"4 C/min\"");
    oven.heats = table.rate("heats").value_or(0);
    oven.cools = table.rate("cools").value_or(0);
    oven.timer = table.yes_no("timer").value_or(false);
}

void read_cold(TableReader& table, Equipment& equipment) {
    Cold& cold = equipment.cold;
    if (equipment.kind == EquipmentKind::fridge) find_cold("fridge", cold);
    read_kind(table, cold);
    read_measured(table, cold);
    cold.name = equipment.name;
    if (!cold.like.empty() || table.has("cold")) return;
    for (const char* key : {"air", "transfer"})
        if (table.has(key))
            table.complaints().error(table.key_place(key), "what does it cool like?",
                                     "write cold = \"blast chiller\"; there are " + cold_kinds());
}

void read_equipment(const Node& node, EquipmentKind kind, KitchenDraft& draft, NameList& names,
                    Complaints& complaints) {
    const std::string kind_text = kind_name(kind);
    TableReader table(node, "this " + kind_text, complaints);
    if (!table.is_table()) return;
    Equipment equipment;
    equipment.kind = kind;
    equipment.place = table.place();
    equipment.name = kind_text;
    if (kind == EquipmentKind::other || table.has("name")) {
        auto name = read_name(table, kind == EquipmentKind::other ? "rack" : "big " + kind_text);
        equipment.name = name ? name->text : std::string();
        if (name) equipment.place = name->place;
    }
    if (equipment.name.empty())
        names.add_nameless();
    else
        names.add("pieces of equipment", {equipment.name, equipment.place}, complaints);
    const Counting counting = counting_of(kind);
    if (counting.required) table.require(counting.key, std::string(counting.key) + " = 4");
    equipment.capacity = table.whole(counting.key, 1, kMostOfAKind).value_or(1);
    if (kind == EquipmentKind::oven) read_oven(table, equipment);
    if (kind == EquipmentKind::mixer) equipment.bowl = table.mass("bowl");
    if (kind == EquipmentKind::fridge || kind == EquipmentKind::other) read_cold(table, equipment);
    auto closed = read_hours(table, "closed");
    table.finish();
    draft.kitchen.equipment.push_back(std::move(equipment));
    draft.closed.push_back(std::move(closed));
}

/// "oven", "mixer", ... mean any of that kind, so nothing of another kind may be called so, and where there are several
/// of a kind, none of them.
void check_kind_names(const Kitchen& kitchen, Complaints& complaints) {
    for (const EquipmentKind kind :
         {EquipmentKind::oven, EquipmentKind::mixer, EquipmentKind::hob, EquipmentKind::fridge}) {
        int of_kind = 0;
        for (const Equipment& equipment : kitchen.equipment) of_kind += equipment.kind == kind ? 1 : 0;
        for (const Equipment& equipment : kitchen.equipment) {
            const bool alone = std::count_if(kitchen.equipment.begin(), kitchen.equipment.end(),
                                             [&](const auto& other) { return other.name == equipment.name; }) == 1;
            if (equipment.name != kind_name(kind) || !alone) continue;  // two of one name have been told
            if (equipment.kind != kind)
                complaints.error(
                    equipment.place,
                    "'" + equipment.name + "' means any " + equipment.name + ", so nothing else can be called so",
                    "give it another name");
            else if (of_kind > 1)
                complaints.error(equipment.place,
                                 "there are several of this kind, and '" + equipment.name + "' means any of them",
                                 "give each a name of its own");
        }
    }
}

}  // namespace

KitchenDraft read_kitchen(const Node& node, Complaints& complaints) {
    KitchenDraft draft;
    TableReader table(node, "the kitchen", complaints);
    if (!table.is_table()) return draft;
    draft.kitchen.room = table.temperature("room").value_or(20'000);

    NameList people;
    for (const Node* person : table.tables("crew", "write [[kitchen.crew]], or [[crew]] in a kitchen file")) {
        if (people.size() == Limits::equipment) {
            complaints.error(person->place, "more than " + std::to_string(Limits::equipment) + " people");
            break;
        }
        read_person(*person, draft, people, complaints);
    }

    NameList equipment;
    struct Section {
        const char* key;
        EquipmentKind kind;
    };
    for (const Section section : {Section{"oven", EquipmentKind::oven}, Section{"mixer", EquipmentKind::mixer},
                                  Section{"hob", EquipmentKind::hob}, Section{"fridge", EquipmentKind::fridge},
                                  Section{"equipment", EquipmentKind::other}}) {
        const std::string key = section.key;
        for (const Node* piece :
             table.tables(key, "write [[kitchen." + key + "]], or [[" + key + "]] in a kitchen file")) {
            if (draft.kitchen.equipment.size() == Limits::equipment) {
                complaints.error(piece->place,
                                 "more than " + std::to_string(Limits::equipment) + " pieces of equipment");
                break;
            }
            read_equipment(*piece, section.kind, draft, equipment, complaints);
        }
    }
    for (const char* key : {"temp", "temperature", "ambient", "warmth"})
        table.instead_of(key, "write room = \"19 C\": how warm the room is");
    for (const char* key : {"freezer", "chiller", "cooler", "coldroom", "blast_chiller", "cold_room"})
        table.instead_of(key, std::string("write [[kitchen.fridge]] with name = \"") + key + "\" and shelves");
    for (const char* key : {"stove", "cooker", "burner", "range", "hobs"})
        table.instead_of(key, "write [[kitchen.hob]] with rings");
    for (const char* key : {"people", "staff", "cooks", "cook", "hands", "team"})
        table.instead_of(key, "write [[kitchen.crew]] with name and hours");
    for (const char* key : {"rack", "racks", "bench", "table", "proofer", "sink", "shelf", "shelves"})
        table.instead_of(key, std::string("write [[kitchen.equipment]] with name = \"") + key + "\" and count");
    table.finish();
    check_kind_names(draft.kitchen, complaints);
    return draft;
}

Kitchen lay_out(KitchenDraft draft, const clock::Zone& zone, const Days& days, Complaints& complaints) {
    for (std::size_t i = 0; i < draft.kitchen.crew.size(); ++i)
        draft.kitchen.crew[i].hours = lay_out(draft.hours[i], Together::replace, zone, days, complaints);
    for (std::size_t i = 0; i < draft.kitchen.equipment.size(); ++i)
        draft.kitchen.equipment[i].closed = lay_out(draft.closed[i], Together::add, zone, days, complaints);
    return std::move(draft.kitchen);
}

}  // namespace oventide::plan_file
