/// Contract 4 and fine print (o), (p), (q): settings, heating and cooling times, switching on and off.

#include "expand/ovens.hpp"

#include <doctest/doctest.h>

#include <string>

#include "support/expansion_text.hpp"
#include "support/plan_text.hpp"

namespace oventide::test {
namespace {

using expansion::OvenSettings;
using expansion::ProgrammeStage;
using Lines = std::vector<std::string>;
using Row = std::vector<Time>;

Equipment oven(MilliCelsius heats, MilliCelsius cools) {
    Equipment equipment;
    equipment.kind = EquipmentKind::oven;
    equipment.heats = heats;
    equipment.cools = cools;
    return equipment;
}

ProgrammeStage at(int degrees) { return {MilliCelsius{degrees} * 1000, 0, 10}; }
ProgrammeStage off_from(int degrees, Time minutes) { return {std::nullopt, MilliCelsius{degrees} * 1000, minutes}; }

TEST_CASE("settings are the distinct temperatures, and each way of being off") {
    OvenSettings settings;
    CHECK(settings.id(at(180)) == 0);
    CHECK(settings.id(at(220)) == 1);
    CHECK(settings.id(at(180)) == 0);
    CHECK(settings.id(off_from(180, 12)) == 2);
    CHECK(settings.id(off_from(180, 10)) == 3);
    CHECK(settings.id(off_from(220, 12)) == 4);
    CHECK(settings.id(off_from(180, 12)) == 2);
    REQUIRE(settings.size() == 5);
    CHECK(settings.infos()[0].name == "180 C");
    CHECK_FALSE(settings.infos()[0].exclusive);
    CHECK(settings.infos()[2].name == "off for 12 min from 180 C");
    CHECK(settings.infos()[2].exclusive);
    CHECK(settings.temperatures()[1] == MilliCelsius{220'000});
    CHECK_FALSE(settings.temperatures()[2].has_value());
}

// Heats 7 C, cools 3 C a minute, in a room of 20 C. Off for 12 min from 180 C: 36 C down, 144 C. For 100 min: 20 C.
TEST_CASE("heating and cooling times are rounded up to whole minutes (p), (q)") {
    OvenSettings settings;
    for (const ProgrammeStage& stage : {at(180), at(220), at(15), off_from(180, 12), off_from(180, 100)})
        settings.id(stage);
    const StateRules rules = settings.rules(oven(7'000, 3'000), 20'000);
    // columns: to 180, 220, 15, from which it is switched off: 180, 180
    CHECK(rules.transition[0] == Row{0, 6, 55, 0, 0});     // 40 / 7, 165 / 3
    CHECK(rules.transition[1] == Row{14, 0, 69, 14, 14});  // 40 / 3, 205 / 3
    CHECK(rules.transition[2] == Row{24, 30, 0, 24, 24});  // 165 / 7, 205 / 7
    CHECK(rules.transition[3] == Row{6, 11, 43, 6, 6});    // from 144: 36 / 7, 76 / 7, 129 / 3
    CHECK(rules.transition[4] == Row{23, 29, 2, 23, 23});  // from 20: 160 / 7, 200 / 7, 5 / 3
    // from the room: up, or down for what is colder
    CHECK(rules.startup == Row{23, 29, 2, 23, 23});
    CHECK_FALSE(rules.self_starting);
}

TEST_CASE("what is colder than the room already stays as it is when it is switched off (q)") {
    OvenSettings settings;
    settings.id(at(10));
    settings.id(off_from(10, 30));
    const StateRules rules = settings.rules(oven(5'000, 5'000), 20'000);
    CHECK(rules.transition[1][0] == 0);
}

TEST_CASE("every oven has rules of its own for the settings of all") {
    const Expansion expansion = expansion_of(R"(
timezone = "UTC"
[kitchen]
room = "20 C"
[[kitchen.crew]]
name  = "Ada"
hours = "05:00-20:00"
[[kitchen.oven]]
name  = "deck"
trays = 2
heats = "8 C/min"
cools = "4 C/min"
[[kitchen.oven]]
name  = "fan"
trays = 2
heats = "40 C/min"
cools = "20 C/min"
timer = true
[[order]]
name   = "Ladder Street"
pickup = 2026-10-03T12:00:00
items  = { bun = 4, case = 4 }
[[component]]
name  = "bun"
makes = "12 pieces"
steps = [{ name = "bake", takes = "10 min", oven = "220 C", tray = 2 }]
[[component]]
name  = "case"
makes = "12 pieces"
steps = [{ name = "bake", oven = ["180 C 30 min", "off 10 min"], tray = 2, in = "fan" }]
)");
    CHECK(demands_text(expansion, "bun.1.bake.1") == Lines{"2 deck|fan [start, end), 220 C 10"});
    CHECK(demands_text(expansion, "case.1.bake.1") ==
          Lines{"2 fan [start, end), 180 C 30, off for 10 min from 180 C 10"});
    REQUIRE(expansion.project.settings.size() == 3);
    const Resource& deck = expansion.project.resources[0];
    const Resource& fan = expansion.project.resources[1];
    REQUIRE(deck.has_state);
    CHECK_FALSE(deck.state.self_starting);
    CHECK(fan.state.self_starting);
    // 220, 180, off from 180 to 140 in the deck oven and to 20 in the other
    CHECK(deck.state.transition[0] == Row{0, 10, 10});
    CHECK(deck.state.transition[2] == Row{10, 5, 5});
    CHECK(deck.state.startup == Row{25, 20, 20});
    CHECK(fan.state.transition[2] == Row{5, 4, 4});
    CHECK(expansion.temperatures == std::vector<std::optional<MilliCelsius>>{220'000, 180'000, std::nullopt});
}

TEST_CASE("more settings than a plan may have, and settings that last longer than the bake, are errors") {
    std::string components;
    std::string items;
    for (int i = 0; i <= 200; ++i) {
        const std::string name = "bun" + std::to_string(i);
        items += (i == 0 ? "" : ", ") + name + " = 1";
        components += "[[component]]\nname = \"" + name +
                      "\"\nmakes = 1\nsteps = [{ name = \"bake\", takes = \"1 min\", oven = \"" +
                      std::to_string(50 + i) + " C\", tray = 1 }]\n";
    }
    const std::string text = "timezone = \"UTC\"\n" + std::string(kKitchen) +
                             "[[order]]\nname = \"all\"\npickup = 2026-10-03T12:00:00\nitems = { " + items + " }\n" +
                             components;
    CHECK(refusal_of(text) == "the plan has more than 200 different oven settings\n");

    Plan plan =
        plan_of(plan_for_buns("[[component]]\nname = \"bun\"\nmakes = 12\n"
                              "steps = [{ name = \"bake\", oven = [\"180 C 10 min\", \"150 C 5 min\"], tray = 3 }]\n"));
    plan.components[0].steps[0].takes.usual = std::chrono::minutes{14};
    CHECK(refusal_of(plan) == "the settings of bun / bake last longer than it takes\n");
}

}  // namespace
}  // namespace oventide::test
