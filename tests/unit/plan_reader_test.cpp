#include <doctest/doctest.h>

#include "oventide/clock.hpp"
#include "support/plan_text.hpp"

namespace oventide {
namespace {

using test::plan_for_buns;
using test::plan_of;

Minutes min(int count) { return Minutes{count}; }

}  // namespace

TEST_CASE("a plan is complete: what the cook left out is filled in") {
    const Plan plan = plan_of(plan_for_buns(R"(
[[component]]
name  = "bun"
makes = 12
steps = [
  { name = "mix",   takes = "10 min", hands = true, uses = "mixer", wash = "5 min" },
  { name = "prove", takes = "1 h", rest = "5 min" },
  { name = "bake",  takes = "20 min", oven = "200 C", tray = 6, within = "10 min", hands = { first = "1 min", last = "2 min", then = "3 min" } },
  { name = "cool",  takes = "30 min", at_once = true, uses = "rack" },
]
)"));
    CHECK(plan.title == "plan");
    const auto zone = clock::Zone::find("UTC");
    REQUIRE(zone);
    CHECK(clock::iso_text(*zone, plan.from) == "2026-09-30T00:00+00:00");
    CHECK(plan.safety.rule == "90-minutes");
    REQUIRE(plan.orders.size() == 1);
    CHECK(plan.orders[0].margin == min(15));

    const auto& steps = plan.components.at(0).steps;
    REQUIRE(steps.size() == 4);
    CHECK(steps[0].after.empty());
    for (std::size_t i = 1; i < steps.size(); ++i) {
        REQUIRE(steps[i].after.size() == 1);
        CHECK(steps[i].after[0].step == static_cast<StepIndex>(i) - 1);
    }
    CHECK(steps[1].after[0].rest == min(5));
    CHECK(steps[2].after[0].within == min(10));
    CHECK(steps[3].after[0].within == min(0));

    CHECK(steps[0].uses.at(0).washed);
    CHECK(steps[0].wash->takes == min(5));
    REQUIRE(steps[2].hands.size() == 2);
    CHECK(steps[2].hands[1].counted_from == Hands::From::end);
    CHECK(steps[2].hands[1].from == min(-2));
    CHECK(steps[2].hands[1].lasts == min(5));

    // The bake goes load by load, and so does what is at once with it.
    CHECK_FALSE(steps[1].by_load);
    CHECK(steps[2].by_load);
    CHECK(steps[3].by_load);
}

}  // namespace oventide
