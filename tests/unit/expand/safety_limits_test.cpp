/// Contract 8 and fine print (j): from a cooked step to the first chill on every way that its food takes.

#include <doctest/doctest.h>

#include <algorithm>
#include <string>

#include "support/expansion_text.hpp"
#include "support/plan_text.hpp"

namespace oventide::test {
namespace {

using Lines = std::vector<std::string>;

/// "from >= chill - limit" of every safety promise.
Lines safety_lags(const Expansion& expansion) {
    Lines lines;
    for (const Lag& lag : expansion.project.lags) {
        if (expansion.promises[lag.promise].kind != Promise::Kind::safety) continue;
        lines.push_back(expansion.project.activities[lag.to].name + " -> " +
                        expansion.project.activities[lag.from].name + ' ' + std::to_string(-lag.lag));
    }
    std::sort(lines.begin(), lines.end());
    return lines;
}

std::string bun(const std::string& steps, const std::string& top = "") {
    return top + plan_for_buns("[[component]]\nname = \"bun\"\nmakes = \"12 pieces\"\nsteps = [" + steps + "]\n");
}

TEST_CASE("inside a component") {
    struct Row {
        std::string name;
        std::string steps;
        Lines lags;
    };
    const std::vector<Row> rows = {
        {"whatever lies between",
         R"({ name = "cook", takes = "10 min", cooked = true }, { name = "pour", takes = "5 min" },
            { name = "chill", takes = "1 h", chill = true })",
         {"bun.1.cook -> bun.1.chill 100"}},
        {"only to the first chill",
         R"({ name = "cook", takes = "10 min", cooked = true }, { name = "chill", takes = "1 h", chill = true },
            { name = "whip", takes = "5 min" }, { name = "chill again", takes = "1 h", chill = true })",
         {"bun.1.cook -> bun.1.chill 100"}},
        {"on every way",
         R"({ name = "cook", takes = "10 min", cooked = true }, { name = "chill", takes = "1 h", chill = true },
            { name = "stir", takes = "5 min", after = "cook" }, { name = "freeze", takes = "1 h", chill = true },
            { name = "join", takes = "5 min", after = ["chill", "freeze"] })",
         {"bun.1.cook -> bun.1.chill 100", "bun.1.cook -> bun.1.freeze 100"}},
        {"from each cooked step",
         R"({ name = "cook", takes = "10 min", cooked = true }, { name = "thicken", takes = "4 min", cooked = true },
            { name = "chill", takes = "1 h", chill = true })",
         {"bun.1.cook -> bun.1.chill 100", "bun.1.thicken -> bun.1.chill 94"}},
        {"nothing chills it",
         R"({ name = "cook", takes = "10 min", cooked = true }, { name = "serve", takes = "1 min" })",
         {}},
        {"nothing is cooked",
         R"({ name = "mix", takes = "10 min" }, { name = "chill", takes = "1 h", chill = true })",
         {}},
        {"what is not behind it",
         R"({ name = "chill", takes = "1 h", chill = true }, { name = "cook", takes = "10 min", cooked = true })",
         {}},
        {"load by load: each load's own chill",
         R"({ name = "bake", takes = "10 min", cooked = true, oven = "180 C", tray = 2 },
            { name = "chill", takes = "1 h", chill = true, by = "load" })",
         {"bun.1.bake.1 -> bun.1.chill.1 100", "bun.1.bake.2 -> bun.1.chill.2 100"}},
        {"a chill of the whole batch is in time for every load",
         R"({ name = "bake", takes = "10 min", cooked = true, oven = "180 C", tray = 2 },
            { name = "chill", takes = "1 h", chill = true })",
         {"bun.1.bake.1 -> bun.1.chill 100", "bun.1.bake.2 -> bun.1.chill 100"}},
    };
    for (const Row& row : rows) {
        CAPTURE(row.name);
        CHECK(safety_lags(expansion_of(bun(row.steps))) == row.lags);
    }
}

TEST_CASE("the plan chooses the rule, or none") {
    const std::string steps =
        R"({ name = "cook", takes = "10 min", cooked = true }, { name = "chill", takes = "1 h", chill = true })";
    CHECK(safety_lags(expansion_of(bun(steps, "safety = \"none\"\n"))).empty());
    const Expansion expansion = expansion_of(bun(steps, "safety = \"90-minutes\"\n"));
    REQUIRE(safety_lags(expansion).size() == 1);
}

//   custard cook ──(last step)──> tart fill ──> tart chill
//   bare order carries no food: the floor's chill is not on the way
TEST_CASE("across components, along what is drawn and not along bare order; it is not a use") {
    const Expansion expansion = expansion_of(plan_for_buns(R"(
[[component]]
name  = "bun"
makes = "6 pieces"
steps = [{ name = "fill", takes = "4 min", with = { custard = "50 g" } }, { name = "chill", takes = "1 h", chill = true }]
[[component]]
name  = "custard"
makes = "1 kg"
steps = [{ name = "cook", takes = "10 min", cooked = true, keeps = "30 min" }]
[[component]]
name  = "cold room"
makes = 1
steps = [{ name = "start", takes = "1 min", after = "custard.cook", chill = true }]
[[order]]
name   = "Next door"
pickup = 2026-10-03T12:00:00
items  = { "cold room" = 1 }
)"));
    CHECK(safety_lags(expansion) == Lines{"custard.1.cook -> bun.1.chill 100", "custard.1.cook -> bun.2.chill 100"});
    CHECK(users_text(expansion, "custard.1.cook") == Lines{"bun.1.fill", "bun.2.fill", "cold-room.1.start"});
}

}  // namespace
}  // namespace oventide::test
