/// What components would do to each other if each were planned alone.

#include "oventide/clashes.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <string>
#include <vector>

#include "support/planned.hpp"

using namespace oventide;
using namespace oventide::test;

namespace {

/// Two things collected at noon, done by 11:45. What stands in for the steps is put in by the test.
std::string pair_of(const std::string& bun_steps, const std::string& cake_steps, const std::string& more = "") {
    std::string text = plan_for_buns(
        "[[order]]\nname = \"second\"\npickup = 2026-10-03T12:00:00\nitems = { cake = 12 }\n"
        "[[component]]\nname = \"bun\"\nmakes = \"12 pieces\"\nsteps = [" +
        bun_steps + "]\n[[component]]\nname = \"cake\"\nmakes = \"12 pieces\"\nsteps = [" + cake_steps + "]\n" + more);
    return text;
}

std::string clock_of(const Planned& day, Time at) {
    return clock::clock_text(day.zone.local(day.expansion.origin + Minutes{at}));
}

const std::string& name_of(const Planned& day, ResourceId id) { return day.expansion.project.resources[id].name; }

/// A line a clash: "capacity mixer 11:35-11:45 2/1: bun.1.mix cake.1.mix"
std::string clashes_text(const Planned& day) {
    std::string lines;
    for (const Clash& clash : day.clashes()) {
        static const char* const kKinds[] = {"capacity", "setting", "door"};
        std::string line = kKinds[static_cast<int>(clash.kind)];
        for (std::size_t k = 0; k < clash.resources.size(); ++k)
            line += (k == 0 ? " " : "|") + name_of(day, clash.resources[k]);
        line += " " + clock_of(day, clash.when.from) + "-" + clock_of(day, clash.when.to);
        line += " " + std::to_string(clash.wanted) + "/" + std::to_string(clash.available);
        if (clash.too_soon > 0) line += " " + std::to_string(clash.too_soon) + " too soon";
        for (std::size_t k = 0; k < clash.claims.size(); ++k)
            line += (k == 0 ? ": " : " ") + day.expansion.project.activities[clash.claims[k].activity].name;
        lines += (lines.empty() ? "" : "\n") + line;
    }
    return lines;
}

}  // namespace

TEST_CASE("nothing clashes where nothing is shared") {
    CHECK(clashes_text(planned(pair_of(R"({ name = "mix", takes = "10 min", uses = "mixer" })",
                                       R"({ name = "stir", takes = "10 min", uses = "hob" })")))
              .empty());
}

TEST_CASE("two want the mixer; what became of it is told") {
    const Planned day = planned(pair_of(R"({ name = "mix", takes = "10 min", uses = "mixer" })",
                                        R"({ name = "mix", takes = "15 min", uses = "mixer" })"));
    CHECK(clashes_text(day) == "capacity mixer 11:35-11:45 2/1: cake.1.mix bun.1.mix");
    const Clash clash = day.clashes().front();
    std::vector<Time> moved;
    for (const Clash::Claim& claim : clash.claims) {
        CHECK(claim.actual == day.outcome.schedule->start[claim.activity]);
        moved.push_back(claim.alone - claim.actual);
    }
    CHECK(std::count(moved.begin(), moved.end(), 0) == 1);  // one of them stays, the other makes way
}

TEST_CASE("a capacity of several is shared up to its end") {
    CHECK(clashes_text(planned(pair_of(R"({ name = "stand", takes = "10 min", uses = { rack = 10 } })",
                                       R"({ name = "stand", takes = "15 min", uses = { rack = 10 } })")))
              .empty());
    CHECK(clashes_text(planned(pair_of(R"({ name = "stand", takes = "10 min", uses = { rack = 10 } })",
                                       R"({ name = "stand", takes = "15 min", uses = { rack = 11 } })"))) ==
          "capacity rack 11:35-11:45 21/20: cake.1.stand bun.1.stand");
}

TEST_CASE("hands: two people can do two things, not three; one who is named cannot do two") {
    const std::string one = R"({ name = "roll", takes = "10 min", hands = true })";
    CHECK(clashes_text(planned(pair_of(one, one))).empty());
    CHECK(clashes_text(planned(
              pair_of(R"({ name = "roll", takes = "10 min", hands = { first = "10 min", people = 2 } })", one))) ==
          "capacity Ada|Ben 11:35-11:45 3/2: bun.1.roll cake.1.roll");
    CHECK(clashes_text(planned(pair_of(R"({ name = "roll", takes = "10 min", hands = true, who = "Ada" })",
                                       R"({ name = "roll", takes = "10 min", hands = true, who = "Ada" })"))) ==
          "capacity Ada 11:35-11:45 2/1: bun.1.roll cake.1.roll");
}

TEST_CASE("hands: each could be had, but not all together") {
    // Ada is named for the bun, Ben for the cake, anybody would do for the pie
    const auto roll = [](const std::string& who) {
        return R"({ name = "roll", takes = "10 min", hands = true)" + (who.empty() ? "" : ", who = \"" + who + "\"") +
               " }";
    };
    const std::string pie =
        "[[order]]\nname = \"third\"\npickup = 2026-10-03T12:00:00\nitems = { pie = 12 }\n"
        "[[component]]\nname = \"pie\"\nmakes = \"12 pieces\"\nsteps = [" +
        roll("") + "]\n";
    CHECK(clashes_text(planned(pair_of(roll("Ada"), roll("Ben"), pie))) ==
          "capacity Ada|Ben 11:35-11:45 3/2: bun.1.roll cake.1.roll pie.1.roll");
}

TEST_CASE("hands for washing up are told as such, from when it is washed") {
    // The bun is mixed until 11:40 and washed up after until 11:45 by Ada, who rolls the cake.
    const Planned day =
        planned(pair_of(R"({ name = "mix", takes = "10 min", uses = "mixer", wash = { takes = "5 min", who = "Ada" } },
                   { name = "rest", takes = "5 min" })",
                        R"({ name = "roll", takes = "10 min", hands = true, who = "Ada" })"));
    bool washes = false;
    for (const Clash& clash : day.clashes())
        for (const Clash::Claim& claim : clash.claims) {
            if (day.expansion.project.activities[claim.activity].name != "bun.1.mix") continue;
            CHECK(claim.washing);
            washes = true;
        }
    CHECK(washes);
    const std::string text = report::clashes_text(day.subject(), day.clashes(), {});
    CHECK(text.find("wash up after bun: mix") != std::string::npos);
}

TEST_CASE("what repeats is told once") {
    std::string plan =
        pair_of(R"({ name = "mix", takes = "10 min", uses = "mixer" })",
                R"({ name = "mix", takes = "10 min", uses = "mixer" })",
                "[[order]]\nname = \"third\"\npickup = 2026-10-03T15:00:00\nitems = { bun = 12, cake = 12 }\n");
    const Planned day = planned(plan);
    CHECK(day.clashes().size() == 2);
    const std::string text = report::clashes_text(day.subject(), day.clashes(), {});
    CHECK(text.find("11:35-11:45 mixer: 2 bowls wanted, 1 there; 1 more time, up to 14:45") != std::string::npos);
    CHECK(text.find("(2 times)") != std::string::npos);
}

TEST_CASE("ovens: two settings at once, too soon after each other, the door") {
    CHECK(clashes_text(planned(pair_of(R"({ name = "bake", takes = "20 min", oven = "200 C", tray = 12 })",
                                       R"({ name = "bake", takes = "30 min", oven = "160 C", tray = 12 })"))) ==
          "setting oven 11:25-11:45 2/1: cake.1.bake.1 bun.1.bake.1");
    // 160 C until 11:10, 200 C from 11:12: 40 C at 10 C a minute need 4 minutes
    CHECK(clashes_text(planned(pair_of(R"({ name = "bake", takes = "33 min", oven = "200 C", tray = 12 })",
                                       R"({ name = "bake", takes = "30 min", oven = "160 C", tray = 12 },
                                          { name = "cool", takes = "35 min" })"))) ==
          "setting oven 11:10-11:14 2/1 2 too soon: cake.1.bake.1 bun.1.bake.1");
    CHECK(clashes_text(planned(
              pair_of(R"({ name = "bake", takes = "20 min", oven = "200 C", tray = 12 })",
                      R"({ name = "bake", takes = "30 min", oven = "200 C", tray = 12, door_shut = "20 min" })"))) ==
          "door oven 11:15-11:35 2/1: cake.1.bake.1 bun.1.bake.1");
}

TEST_CASE("a component that goes into another is planned back from its use") {
    // fill at 11:35; filling is stirred 11:25 to 11:35; cake wants the hob's four rings from 11:15 to 11:30
    const Planned day = planned(pair_of(R"({ name = "fill", takes = "10 min", with = { filling = "10 g" } })",
                                        R"({ name = "boil", takes = "15 min", uses = { hob = 4 } },
                                           { name = "cool", takes = "15 min" })",
                                        "[[component]]\nname = \"filling\"\nmakes = \"1 kg\"\n"
                                        "steps = [{ name = \"stir\", takes = \"10 min\", uses = \"hob\" }]\n"));
    CHECK(clashes_text(day) == "capacity hob 11:25-11:30 5/4: cake.1.boil filling.1.stir");
}
