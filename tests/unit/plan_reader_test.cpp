// Plan text to Plan: what each key means, and what is filled in.

#include <doctest/doctest.h>

#include <string>
#include <vector>

#include "oventide/clock.hpp"
#include "plan/quantities.hpp"
#include "support/plan_text.hpp"

namespace oventide {
namespace {

using test::plan_for_buns;
using test::plan_of;

Minutes min(int count) { return Minutes{count}; }

std::string steps_of_bun(const std::string& steps) {
    return plan_for_buns("[[component]]\nname = \"bun\"\nmakes = 12\nsteps = [\n" + steps + "]\n");
}

/// The steps of 'bun', which has these and nothing else.
std::vector<Step> read_steps(const std::string& steps) { return plan_of(steps_of_bun(steps)).components.at(0).steps; }

/// One step behind another called 'mix'.
Step read_step(const std::string& keys) {
    return read_steps("{ name = \"mix\", takes = \"10 min\" },\n{ name = \"x\", takes = \"10 min\", " + keys + " },\n")
        .at(1);
}

std::string spans_text(const std::vector<Span>& spans, const char* zone_name) {
    const auto zone = clock::Zone::find(zone_name);
    REQUIRE(zone);
    std::string text;
    for (const Span& span : spans) {
        const auto from = zone->local(span.from), to = zone->local(span.to);
        text += (text.empty() ? "" : "; ") + clock::date_text(from) + " " + clock::clock_text(from) + " to " +
                clock::date_text(to) + " " + clock::clock_text(to);
    }
    return text;
}

/// A kitchen with Ada's hours and the rack's closed times, planned from Wed 30 Sep to Sat 3 Oct 2026 or as `more` says.
Plan plan_with_hours(const std::string& hours, const std::string& closed = "[]",
                     const std::string& zone = "Europe/London", const std::string& pickup = "2026-10-03T12:00:00",
                     const std::string& from = "2026-09-30T00:00:00") {
    return plan_of(
        "timezone = \"" + zone + "\"\nfrom = " + from + "\n[kitchen]\ncrew = [{ name = \"Ada\", hours = " + hours +
        " }]\nequipment = [{ name = \"rack\", closed = " + closed + " }]\n[[order]]\nname = \"x\"\npickup = " + pickup +
        "\nitems = { bun = 1 }\n[[component]]\nname = \"bun\"\nmakes = 1\n"
        "steps = [{ name = \"mix\", takes = \"1 min\" }]\n");
}

}  // namespace

TEST_CASE("a plan is complete: what the cook left out is filled in") {
    const Plan plan = plan_of(steps_of_bun(R"(
  { name = "mix",   takes = "10 min", hands = true, uses = "mixer", wash = "5 min" },
  { name = "prove", takes = "1 h", rest = "5 min" },
  { name = "bake",  takes = "20 min", oven = "200 C", tray = 6, within = "10 min", hands = { first = "1 min", last = "2 min", then = "3 min" } },
  { name = "cool",  takes = "30 min", at_once = true, uses = "rack" },
)"));
    CHECK(plan.title == "plan");
    const auto zone = clock::Zone::find("UTC");
    REQUIRE(zone);
    CHECK(clock::iso_text(*zone, plan.from) == "2026-09-30T00:00+00:00");
    CHECK(plan.aim == std::vector<Aim>{Aim::freshness, Aim::alarm, Aim::waiting});
    CHECK(plan.times == Times::usual);
    CHECK(plan.safety.rule == "90-minutes");
    CHECK(plan.kitchen.room == 20'000);
    REQUIRE(plan.orders.size() == 1);
    CHECK(plan.orders[0].margin == min(15));

    const auto& steps = plan.components.at(0).steps;
    REQUIRE(steps.size() == 4);
    CHECK(steps[0].after.empty());
    for (std::size_t i = 1; i < steps.size(); ++i) {
        REQUIRE(steps[i].after.size() == 1);
        CHECK(steps[i].after[0].component == 0);
        CHECK(steps[i].after[0].step == static_cast<StepIndex>(i) - 1);
    }
    CHECK(steps[1].after[0].rest == min(5));
    CHECK_FALSE(steps[1].after[0].within.has_value());
    CHECK(steps[2].after[0].within == min(10));
    CHECK(steps[3].after[0].within == min(0));

    CHECK(steps[0].uses.at(0).washed);
    CHECK(steps[0].wash->takes == min(5));
    CHECK(steps[2].bake->ovens == std::vector<EquipmentIndex>{0});

    // The bake goes load by load, and so does what is at once with it.
    CHECK_FALSE(steps[1].by_load);
    CHECK(steps[2].by_load);
    CHECK(steps[3].by_load);
}

TEST_CASE("the beginning is midnight before the third day ahead of the first pickup, on the plan's clock") {
    const std::string orders =
        "[[order]]\nname = \"later\"\npickup = 2026-03-31T08:00:00\nitems = { bun = 1 }\n"
        "[[order]]\nname = \"first\"\npickup = 2026-03-30T08:00:00\nitems = { bun = 1 }\n";
    const Plan plan =
        plan_of("timezone = \"Europe/London\"\n" + std::string(test::kKitchen) + orders +
                "[[component]]\nname = \"bun\"\nmakes = 1\nsteps = [{ name = \"mix\", takes = \"1 min\" }]\n");
    const auto zone = clock::Zone::find("Europe/London");
    REQUIRE(zone);
    CHECK(clock::iso_text(*zone, plan.from) == "2026-03-27T00:00+00:00");
    CHECK(clock::iso_text(*zone, plan.orders[1].pickup) == "2026-03-30T08:00+01:00");
}

TEST_CASE("times of a step") {
    const Step three = read_step("each = \"40 s\"");
    CHECK(three.each == Seconds{40});
    const Step spread =
        read_steps("{ name = \"x\", takes = [\"90 min\", \"2 h\", \"3h30m\"], keeps = \"100 s\" },\n").at(0);
    CHECK(spread.takes.shortest == Seconds{5400});
    CHECK(spread.takes.usual == Seconds{7200});
    CHECK(spread.takes.longest == Seconds{12600});
    CHECK(spread.keeps == min(1));  // what it keeps is rounded down
    // A rest is rounded up, a within down.
    const Step waits = read_step("rest = \"61 s\", within = \"179 s\"");
    CHECK(waits.after.at(0).rest == min(2));
    CHECK(waits.after.at(0).within == min(2));
}

TEST_CASE("after") {
    const auto steps = read_steps(R"(
  { name = "a", takes = "1 min" },
  { name = "b", takes = "1 min", after = [] },
  { name = "c", takes = "1 min", after = ["a", { step = "bun.b", rest = "10 min", within = "2 h" }] },
  { name = "d", takes = "1 min", after = "c", at_once = true },
  { name = "e", takes = "1 min", after = { step = "d", at_once = true } },
)");
    CHECK(steps[1].after.empty());
    REQUIRE(steps[2].after.size() == 2);
    CHECK(steps[2].after[0].step == 0);
    CHECK(steps[2].after[0].rest == min(0));
    CHECK(steps[2].after[1].step == 1);
    CHECK(steps[2].after[1].rest == min(10));
    CHECK(steps[2].after[1].within == min(120));
    CHECK(steps[3].after.at(0).within == min(0));
    CHECK(steps[4].after.at(0).step == 3);
    CHECK(steps[4].after.at(0).within == min(0));
}

TEST_CASE("a step of another component, and a name with a dot in it") {
    const Plan plan = plan_of(plan_for_buns(R"(
[[component]]
name = "bun"
makes = 12
steps = [{ name = "St. Ives mix", takes = "1 min" }, { name = "fill", takes = "1 min", after = ["St. Ives mix", "no. 7 jam.boil"] }]
[[component]]
name = "no. 7 jam"
makes = "1 kg"
steps = [{ name = "boil", takes = "1 min" }]
)"));
    const auto& after = plan.components[0].steps[1].after;
    REQUIRE(after.size() == 2);
    CHECK(after[0].component == 0);
    CHECK(after[1].component == 1);
    CHECK(after[1].step == 0);
}

TEST_CASE("hands") {
    const Step none = read_step("hands = false");
    CHECK(none.hands.empty());

    const Step all = read_step("hands = true");
    REQUIRE(all.hands.size() == 1);
    CHECK_FALSE(all.hands[0].lasts.has_value());
    CHECK(all.hands[0].who.empty());

    const Step parts = read_step("hands = { first = \"2 min\", last = \"61 s\", then = \"5 min\" }, who = \"Ben\"");
    REQUIRE(parts.hands.size() == 2);
    CHECK(parts.hands[0].counted_from == Hands::From::start);
    CHECK(parts.hands[0].from == min(0));
    CHECK(parts.hands[0].lasts == min(2));
    CHECK(parts.hands[0].who == std::vector<PersonIndex>{1});
    // The last minutes and what comes after them are one pair of hands.
    CHECK(parts.hands[1].counted_from == Hands::From::end);
    CHECK(parts.hands[1].from == min(-2));
    CHECK(parts.hands[1].lasts == min(7));

    const Step past = read_step("hands = { then = \"5 min\", people = 2 }");
    REQUIRE(past.hands.size() == 1);
    CHECK(past.hands[0].from == min(0));
    CHECK(past.hands[0].lasts == min(5));
    CHECK(past.hands[0].people == 2);

    const Step list =
        read_step("hands = [{ from = \"4 min\", for = \"1 min\" }, true], who = [\"Ben\", \"Ada\", \"Ben\"]");
    REQUIRE(list.hands.size() == 2);
    CHECK(list.hands[0].from == min(4));
    CHECK(list.hands[0].lasts == min(1));
    CHECK(list.hands[1].who == std::vector<PersonIndex>{1, 0});
}

TEST_CASE("uses") {
    const Step one = read_step("uses = \"mixer\"");
    REQUIRE(one.uses.size() == 1);
    CHECK(one.uses[0].choices == std::vector<EquipmentIndex>{1});
    CHECK(one.uses[0].amount == 1);
    CHECK(one.uses[0].part.from == min(0));
    CHECK_FALSE(one.uses[0].part.to.has_value());

    const auto steps = read_steps(R"(
  { name = "a", takes = "30 min", uses = { rack = 3, hob = { amount = 2, from = "5 min", for = "10 min" }, mixer = { from = "90 s", until = "c" } } },
  { name = "b", takes = "1 min", uses = { fridge = { then = "61 s" } } },
  { name = "c", takes = "1 min", uses = { equipment = { either = ["rack", "fridge"] } } },
)");
    const auto& uses = steps[0].uses;
    REQUIRE(uses.size() == 3);
    CHECK(uses[0].amount == 3);
    CHECK(uses[1].amount == 2);
    CHECK(uses[1].part.from == min(5));
    CHECK(uses[1].part.to == min(15));
    CHECK(uses[2].part.from == min(1));
    CHECK(uses[2].until == 2);
    CHECK(steps[1].uses.at(0).part.past_end == min(2));
    CHECK(steps[2].uses.at(0).choices == std::vector<EquipmentIndex>{4, 3});
}

TEST_CASE("a kind means any of that kind that is large enough") {
    const std::string kitchen = R"(
timezone = "UTC"
[kitchen]
crew  = [{ name = "Ada", hours = "05:00-20:00" }]
mixer = [{ name = "big" }, { name = "small pair", count = 2 }]
oven  = [{ name = "upper", trays = 2, heats = "1 C/min", cools = "1 C/min" }, { name = "lower", trays = 2, heats = "1 C/min", cools = "1 C/min" }]
[[order]]
name   = "x"
pickup = 2026-10-03T12:00:00
items  = { bun = 1 }
[[component]]
name  = "bun"
makes = 1
steps = [
  { name = "a", takes = "1 min", uses = "mixer" },
  { name = "b", takes = "1 min", uses = { mixer = 2 } },
  { name = "c", takes = "1 min", oven = "180 C", tray = 1 },
  { name = "d", takes = "1 min", oven = "180 C", tray = 1, in = "lower" },
  { name = "e", takes = "1 min", oven = "180 C", tray = 1, in = ["lower", "oven"] },
]
)";
    const auto steps = plan_of(kitchen).components.at(0).steps;
    const auto named = [](int first, int second) { return std::vector<EquipmentIndex>{first, second}; };
    // Ovens stand before mixers in the kitchen's list.
    CHECK(steps[0].uses.at(0).choices == named(2, 3));
    CHECK(steps[1].uses.at(0).choices == std::vector<EquipmentIndex>{3});
    CHECK(steps[2].bake->ovens == named(0, 1));
    CHECK(steps[3].bake->ovens == std::vector<EquipmentIndex>{1});
    CHECK(steps[4].bake->ovens == named(1, 0));
}

TEST_CASE("wash") {
    const Step all = read_step("uses = [\"mixer\", \"rack\"], wash = \"61 s\"");
    CHECK(all.wash->takes == min(2));
    CHECK(all.uses.at(0).washed);
    CHECK(all.uses.at(1).washed);
    const Step one =
        read_step("uses = [\"mixer\", \"rack\"], wash = { takes = \"5 min\", what = \"rack\", who = \"Ben\" }");
    CHECK_FALSE(one.uses.at(0).washed);
    CHECK(one.uses.at(1).washed);
    CHECK(one.wash->who == std::vector<PersonIndex>{1});
    const Step hands_alone = read_step("wash = \"5 min\"");
    CHECK(hands_alone.wash->takes == min(5));
}

TEST_CASE("oven programmes") {
    const auto steps = read_steps(R"(
  { name = "a", oven = ["200 C 10 min", "338 F 90 s", "off 12 min"], tray = 6, door_shut = "61 s" },
  { name = "b", takes = ["20 min", "30 min", "1 h"], oven = ["230 C 10 min", "190 C"], tray = "6 pieces" },
  { name = "c", oven = "180 C 22 min", tray = 6 },
  { name = "d", oven = ["180 C 20 min", "off ajar 12 min"], tray = 6, door_shut = "20 min" },
)");
    const Bake& bake = *steps[0].bake;
    REQUIRE(bake.programme.size() == 3);
    CHECK(bake.programme[0].temperature == 200'000);
    CHECK(bake.programme[0].lasts == Seconds{600});
    CHECK(bake.programme[1].temperature == 170'000);
    CHECK_FALSE(bake.programme[2].temperature.has_value());
    CHECK(bake.door_shut == min(2));
    CHECK(bake.tray == Amount{Amount::Unit::pieces, 6});
    CHECK(steps[0].takes.usual == Seconds{600 + 90 + 720});
    CHECK_FALSE(steps[1].bake->programme[1].lasts.has_value());
    CHECK(steps[1].takes.longest == Seconds{3600});
    CHECK(steps[2].takes.usual == Seconds{1320});
    CHECK_FALSE(bake.programme[2].ajar);
    const Setting& ajar = steps[3].bake->programme[1];
    CHECK(ajar.ajar);
    CHECK_FALSE(ajar.temperature.has_value());
    CHECK(ajar.lasts == Seconds{720});
}

TEST_CASE("load by load: bakes, what is at once with them however far, and what says so") {
    const auto steps = read_steps(R"(
  { name = "a", takes = "1 min" },
  { name = "b", takes = "1 min", at_once = true },
  { name = "c", takes = "1 min", at_once = true, oven = "200 C", tray = 6 },
  { name = "d", takes = "1 min", by = "load" },
  { name = "e", takes = "1 min" },
  { name = "f", takes = "1 min", oven = "200 C", tray = 6 },
  { name = "g", takes = "1 min", at_once = true, by = "batch" },
  { name = "h", takes = "1 min", at_once = true },
)");
    std::string loads;
    for (const Step& step : steps) loads += step.by_load ? 'l' : 'b';
    CHECK(loads == "llllblbb");
}

TEST_CASE("what goes in") {
    const Plan plan = plan_of(plan_for_buns(R"(
[[component]]
name = "bun"
makes = 12
steps = [{ name = "fill", takes = "1 min", with = { jam = "8 oz", case = { each = 2, rest = "61 s", within = "179 s" } } }]
[[component]]
name = "jam"
makes = "1.25 kg"
steps = [{ name = "boil", takes = "1 min", each = "30 s", with = { sugar = { each = "500 g", at_once = true } } }]
[[component]]
name = "case"
makes = "24 pieces"
bowl_weight = "1.4 kg"
keeps = "179 s"
best_within = "1 h"
steps = [{ name = "mix", takes = "1 min" }]
[[component]]
name = "sugar"
makes = "1 kg"
steps = [{ name = "weigh", takes = "1 min" }]
)"));
    const auto& draws = plan.components[0].steps[0].draws;
    REQUIRE(draws.size() == 2);  // in the order written
    CHECK(draws[0].component == 1);
    CHECK(draws[0].each == Amount{Amount::Unit::milligrams, 226'796});  // 8 oz = 226.796 g
    CHECK(draws[1].component == 2);
    CHECK(draws[1].each == Amount{Amount::Unit::pieces, 2});
    CHECK(draws[1].rest == min(2));
    CHECK(draws[1].within == min(2));
    CHECK(plan.components[1].makes == Amount{Amount::Unit::milligrams, 1'250'000});
    CHECK(plan.components[1].bowl_weight == 1'250'000);  // a mass goes into the bowl as it is
    CHECK(plan.components[1].steps[0].draws.at(0).within == min(0));
    CHECK(plan.components[2].bowl_weight == 1'400'000);
    CHECK(plan.components[2].keeps == min(2));
    CHECK(plan.components[2].best_within == min(60));
    CHECK_FALSE(plan.components[0].bowl_weight.has_value());
}

TEST_CASE("hours") {
    struct Row {
        const char* hours;
        const char* expected;  ///< Tue 29 Sep to Sun 4 Oct 2026: the plan's days, one more on either side
    };
    const std::vector<Row> rows{
        {R"("Fri 12:00-20:30")", "Fri 2 Oct 12:00 to Fri 2 Oct 20:30"},
        {R"("fri 9:00-12:00, 13:00-18:00")", "Fri 2 Oct 09:00 to Fri 2 Oct 12:00; Fri 2 Oct 13:00 to Fri 2 Oct 18:00"},
        {R"("Wednesday 08:00-09:00")", "Wed 30 Sep 08:00 to Wed 30 Sep 09:00"},
        {R"("Sat-Sun 08:00-09:00")", "Sat 3 Oct 08:00 to Sat 3 Oct 09:00; Sun 4 Oct 08:00 to Sun 4 Oct 09:00"},
        {R"("Sun-Wed 08:00-09:00")",
         "Tue 29 Sep 08:00 to Tue 29 Sep 09:00; Wed 30 Sep 08:00 to Wed 30 Sep 09:00; Sun 4 Oct 08:00 to Sun 4 Oct "
         "09:00"},
        {R"("Wed Fri 08:00-09:00")", "Wed 30 Sep 08:00 to Wed 30 Sep 09:00; Fri 2 Oct 08:00 to Fri 2 Oct 09:00"},
        {R"("Wed, Fri 08:00-09:00")", "Wed 30 Sep 08:00 to Wed 30 Sep 09:00; Fri 2 Oct 08:00 to Fri 2 Oct 09:00"},
        // Past midnight, and touching at midnight: one stretch.
        {R"("Fri 22:00-06:00")", "Fri 2 Oct 22:00 to Sat 3 Oct 06:00"},
        {R"(["Fri 22:00-24:00", "Sat 00:00-06:00"])", "Fri 2 Oct 22:00 to Sat 3 Oct 06:00"},
        {R"(["Fri 00:00-24:00", "Sat 00:00-24:00"])", "Fri 2 Oct 00:00 to Sun 4 Oct 00:00"},
        {R"("daily 00:00-24:00")", "Tue 29 Sep 00:00 to Mon 5 Oct 00:00"},
        {R"(["Fri 08:00-12:00", "Fri 11:00-13:00"])", "Fri 2 Oct 08:00 to Fri 2 Oct 13:00"},
        // The most particular texts count.
        {R"(["08:00-09:00", "Tue-Thu off", "Sat Sun off"])", "Fri 2 Oct 08:00 to Fri 2 Oct 09:00"},
        {R"(["Fri 08:00-12:00", "2026-10-02 14:00-16:00"])", "Fri 2 Oct 14:00 to Fri 2 Oct 16:00"},
        {R"(["Fri 08:00-12:00", "2026-10-02 off"])", ""},
        {R"(["2026-10-02 off", "Fri 08:00-12:00"])", ""},
    };
    for (const Row& row : rows) {
        SUBCASE(row.hours) {
            const Plan plan = plan_with_hours(row.hours);
            CHECK(spans_text(plan.kitchen.crew.at(0).hours, "Europe/London") == row.expected);
        }
    }
}

TEST_CASE("closed times add up") {
    const Plan plan =
        plan_with_hours("\"05:00-20:00\"", R"(["2026-10-02 10:00-11:00", "Fri 12:00-13:00", "Fri 10:30-11:30"])");
    CHECK(spans_text(plan.kitchen.equipment.at(0).closed, "Europe/London") ==
          "Fri 2 Oct 10:00 to Fri 2 Oct 11:30; Fri 2 Oct 12:00 to Fri 2 Oct 13:00");
}

TEST_CASE("hours over a changeover") {
    SUBCASE("elapsed time is real time") {
        const Plan plan = plan_with_hours("\"2026-10-24 22:00-06:00\"", "[]", "Europe/London", "2026-10-25T12:00:00",
                                          "2026-10-24T00:00:00");
        const auto& hours = plan.kitchen.crew.at(0).hours;
        REQUIRE(hours.size() == 1);
        CHECK(hours[0].to - hours[0].from == min(9 * 60));
    }
    SUBCASE("an edge that the clocks skip or repeat is an error, on the days of the plan alone") {
        const auto told = [](const std::string& pickup) {
            return test::diagnostics_of(
                "timezone = \"Europe/London\"\n[kitchen]\ncrew = [{ name = \"Ada\", hours = "
                "\"01:30-09:00\" }]\n[[order]]\nname = \"x\"\npickup = " +
                pickup +
                "\nitems = { bun = 1 }\n[[component]]\nname = \"bun\"\nmakes = 1\n"
                "steps = [{ name = \"mix\", takes = \"1 min\" }]\n");
        };
        CHECK(told("2026-10-25T12:00:00") ==
              "plan.toml:3:33: error: the clocks show 01:30 on Sun 25 Oct twice in Europe/London: it could be "
              "2026-10-25T01:30+01:00 or 2026-10-25T01:30+00:00\n"
              "  3 | crew = [{ name = \"Ada\", hours = \"01:30-09:00\" }]\n"
              "    |                                 ^~~~~~~~~~~~~\n"
              "  write a clock time outside the changeover\n");
        CHECK(told("2026-03-29T12:00:00").find("the clocks skip 01:30 on Sun 29 Mar") != std::string::npos);
        CHECK(told("2026-10-23T12:00:00") == "");
        CHECK(told("2026-10-24T12:00:00").find("twice") != std::string::npos);  // the day after the last pickup
        CHECK(told("2026-10-30T12:00:00") == "");
    }
}

TEST_CASE("quantities are read exactly") {
    using namespace plan_file;
    struct Duration {
        const char* text;
        std::int64_t seconds;
    };
    for (const Duration& row : std::vector<Duration>{{"45 min", 2700},
                                                     {"1h30m", 5400},
                                                     {"1h30", -1},
                                                     {"1 day 6 h", 108'000},
                                                     {"40 s", 40},
                                                     {"1.5 h", 5400},
                                                     {"1,5 h", 5400},
                                                     {"0.1 min", 6},
                                                     {"2 days", 172'800},
                                                     {"1 week", 604'800},
                                                     {"0 min", 0},
                                                     {"31 days", 2'678'400},
                                                     {"31 days 1 s", -1},
                                                     {"", -1},
                                                     {" ", -1},
                                                     {"min", -1},
                                                     {"5 min 5", -1},
                                                     {"1..5 h", -1},
                                                     {"5. min", -1},
                                                     {".5 h", -1},
                                                     {"1e3 s", -1},
                                                     {"+5 min", -1},
                                                     {"5 min -1 min", -1},
                                                     {"\xef\xbc\x95 min", -1},
                                                     {"9223372036854775808 s", -1}}) {
        SUBCASE(row.text) {
            const auto parsed = parse_duration(row.text);
            CHECK(parsed.value.has_value() == (row.seconds >= 0));
            if (parsed.value) CHECK(parsed.value->count() == row.seconds);
            if (!parsed.value) CHECK_FALSE(parsed.problem.empty());
        }
    }
    CHECK(parse_temperature("180 C").value == 180'000);
    CHECK(parse_temperature("180C").value == 180'000);
    CHECK(parse_temperature("180 °C").value == 180'000);
    CHECK(parse_temperature("356 F").value == 180'000);
    CHECK(parse_temperature("350 F").value == 176'667);  // 176.667 C, to the nearest thousandth
    CHECK(parse_temperature("-40 F").value == -40'000);
    CHECK_FALSE(parse_temperature("180 K").value);
    CHECK(parse_rate("12 C/min").value == 12'000);
    CHECK(parse_rate("9 F/min").value == 5'000);
    CHECK(parse_rate("600 C/h").value == 10'000);
    CHECK(parse_rate("12 C / min").value == 12'000);
    CHECK_FALSE(parse_rate("0 C/min").value);
    CHECK_FALSE(parse_rate("-1 C/min").value);
    CHECK_FALSE(parse_rate("12 C").value);
    CHECK(parse_mass("35 g").value == 35'000);
    CHECK(parse_mass("1.2 kg").value == 1'200'000);
    CHECK(parse_mass("1 lb").value == 453'592);  // the international pound of 1959: 453.59237 g
    CHECK(parse_mass("0.5 mg").value == 1);
    CHECK(parse_mass("1000000 kg").value == 1'000'000'000'000);
    CHECK_FALSE(parse_mass("1000001 kg").value);
    CHECK_FALSE(parse_mass("0.1 mg").value);
    CHECK_FALSE(parse_mass("0 g").value);
    CHECK_FALSE(parse_mass("5 ml").value);
    CHECK(parse_amount("24 pieces").value == Amount{Amount::Unit::pieces, 24});
    CHECK(parse_amount("1 piece").value == Amount{Amount::Unit::pieces, 1});
    CHECK(parse_amount("250 g").value == Amount{Amount::Unit::milligrams, 250'000});
    CHECK_FALSE(parse_amount("2.5 pieces").value);
    CHECK_FALSE(parse_amount("-3 pieces").value);
    CHECK_FALSE(parse_amount("1000001 pieces").value);
    CHECK_FALSE(parse_amount("a dozen").value);
}

TEST_CASE("two draws on one component may be served by two batches: no contradiction is certain") {
    const auto told = [](const std::string& second) {
        return test::diagnostics_of(plan_for_buns(
            "[[component]]\nname = \"bun\"\nmakes = 12\nsteps = [\n"
            "{ name = \"a\", takes = \"1 h\", with = { jam = \"1 g\" } },\n{ name = \"b\", takes = \"1 min\", " +
            second +
            " },\n]\n[[component]]\nname = \"jam\"\nmakes = \"1 kg\"\nsteps = [{ name = \"boil\", takes = \"1 min\" "
            "}]\n"));
    };
    CHECK(told("with = { jam = { each = \"1 g\", within = \"30 min\" } }") == "");
    // Named in `after`, it is the same batch as goes in.
    CHECK(told("after = [\"a\", { step = \"jam.boil\", within = \"30 min\" }]")
              .find("contradict each other, by 30 min") != std::string::npos);
}

TEST_CASE("every error at once, in the order of the file") {
    const PlanReading reading = parse_plan(R"(titel = "x"
timezone = "Europe/Londn"
[kitchen]
crew = [{ name = "Ada", hours = "5-20" }]
[[order]]
name = "x"
pickup = 2026-10-03T12:00:00Z
items = { bnu = 1 }
[[component]]
name = "bun"
makes = 12
steps = [{ name = "mix", takes = 10, uses = "mixer" }, { name = "a", takes = "1 min", after = "b" }, { name = "b", takes = "1 min", after = "a" }]
)",
                                           "plan.toml", test::reader_of({}));
    CHECK_FALSE(reading.plan.has_value());
    std::vector<std::uint32_t> lines;
    for (const Diagnostic& diagnostic : reading.diagnostics) lines.push_back(diagnostic.place.line);
    CHECK(lines == std::vector<std::uint32_t>{1, 2, 4, 7, 8, 12, 12, 12});
}

}  // namespace oventide
