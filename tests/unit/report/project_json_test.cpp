#include <doctest/doctest.h>

#include <nlohmann/json.hpp>

#include "oventide/plan_file.hpp"
#include "oventide/report.hpp"

using namespace oventide;

namespace {

constexpr const char* kPlan = R"(
title = "One roll"
timezone = "UTC"
from = 2026-05-09T05:00:00
[kitchen]
crew = [{ name = "Ivo", hours = "06:00-12:00" }]
oven = [{ trays = 2, heats = "10 C/min", cools = "5 C/min", timer = true }]
fridge = [{ shelves = 1 }]
[[component]]
name = "roll"
makes = "6 pieces"
best_within = "1 h"
steps = [
  { name = "proof", takes = "30 min", keeps = "2 h", uses = "fridge" },
  { name = "bake", takes = "20 min", oven = ["200 C", "off 5 min"], tray = 6, door_shut = "8 min", hands = { first = "2 min" } },
]
[[order]]
name = "noon"
pickup = 2026-05-09T12:00:00
items = { roll = 6 }
)";

}  // namespace

TEST_CASE("a project as JSON says all that project.hpp says") {
    const PlanReading reading = parse_plan(kPlan, "roll.toml");
    REQUIRE(reading.plan);
    const ExpandResult expanded = expand(*reading.plan);
    REQUIRE(expanded.expansion);
    const Project& project = expanded.expansion->project;
    const auto json = nlohmann::json::parse(report::project_json(*expanded.expansion));
    CHECK(json["origin"] == expanded.expansion->origin.time_since_epoch().count());
    CHECK(json["horizon"] == project.horizon);
    CHECK(json["reset_after"] == 60);
    CHECK(json["goals"] == nlohmann::json{"overrun", "alarm", "waiting"});
    REQUIRE(json["activities"].size() == 2);
    const auto& proof = json["activities"][0];
    CHECK(proof["duration"] == 30);
    CHECK(proof["stretchable"] == true);
    CHECK(proof["keep"] == 120);
    CHECK(proof["users"] == nlohmann::json{1});
    CHECK(proof["held_until"].is_null());
    CHECK(proof["demands"].size() == 1);
    const auto& bake = json["activities"][1];
    CHECK(bake["due"] == project.activities[1].due);
    CHECK(bake["demands"][0]["stages"].size() == 2);
    CHECK(bake["demands"][0]["stages"][0]["lasts"] == 15);
    CHECK(bake["demands"][0]["sealed"] == 8);
    CHECK(bake["demands"][1]["to"] == nlohmann::json{{"of", "start"}, {"offset", 2}});
    CHECK(json["resources"].size() == project.resources.size());
    int states = 0;
    for (const auto& resource : json["resources"]) {
        CHECK(resource["capacity"][0]["from"] == 0);
        if (resource["state"].is_null()) continue;
        ++states;
        CHECK(resource["state"]["self_starting"] == true);
        CHECK(resource["state"]["transition"].size() == json["settings"].size());
    }
    CHECK(states == 1);
    CHECK(json["settings"][1]["exclusive"] == true);
    CHECK(json["lags"].size() == project.lags.size());
    CHECK(json["freshness"][0]["best_within"] == 60);
    CHECK(json["links"].size() == project.links.size());
    CHECK(json["links"].back()["user"].is_null());
}
