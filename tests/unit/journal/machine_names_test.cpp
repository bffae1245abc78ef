#include "journal/machine_names.hpp"

#include <doctest/doctest.h>

namespace oventide::test {
namespace {

using namespace journal;

Equipment machine(const char* name, EquipmentKind kind) {
    Equipment one;
    one.name = name;
    one.kind = kind;
    return one;
}

Journal day() {
    const Instant at{Minutes{1'000}};
    Published published;
    published.steps = {{"bun.1.bake.1", at, at, at, {"Ada"}, {"oven", "rack"}}};
    published.turns = {{"oven", at, 180'000}};
    Journal journal;
    journal.timezone = "UTC";
    journal.entries = {{1, at, published}, {2, at, Broken{"oven", at, {}}}, {3, at, Mended{"mixer", at}}};
    return journal;
}

TEST_CASE("what the journal calls by its kind alone is the first of that kind, where none is called so any more") {
    Kitchen kitchen;
    kitchen.equipment = {machine("rack", EquipmentKind::other), machine("own oven", EquipmentKind::oven),
                         machine("lent oven", EquipmentKind::oven), machine("mixer", EquipmentKind::mixer)};
    Journal journal = day();
    CHECK(name_machines(journal, kitchen) == std::vector<Renamed>{{"oven", "own oven"}});
    const auto& published = std::get<Published>(journal.entries[0].event);
    CHECK(published.steps[0].uses == std::vector<std::string>{"own oven", "rack"});
    CHECK(published.turns[0].oven == "own oven");
    CHECK(std::get<Broken>(journal.entries[1].event).equipment == "own oven");
    CHECK(std::get<Mended>(journal.entries[2].event).equipment == "mixer");
}

TEST_CASE("nothing is renamed where the name still stands, where there is none of the kind, or of what is undone") {
    Kitchen kitchen;
    kitchen.equipment = {machine("oven", EquipmentKind::oven)};
    Journal journal = day();
    CHECK(name_machines(journal, kitchen).empty());
    CHECK(journal.entries == day().entries);

    kitchen.equipment = {machine("own oven", EquipmentKind::oven)};
    journal = day();
    journal.entries.push_back({4, Instant{Minutes{1'001}}, TakenBack{2}});
    CHECK(name_machines(journal, kitchen).empty());
}

}  // namespace
}  // namespace oventide::test
