#include "expand/slug.hpp"

#include <doctest/doctest.h>

#include <string>

#include "support/expansion_text.hpp"
#include "support/plan_text.hpp"

namespace oventide::test {
namespace {

TEST_CASE("names become parts of ids") {
    using expansion::slug;
    CHECK(slug("Tart case") == "tart-case");
    CHECK(slug("  half & half  ") == "half-half");
    CHECK(slug("no. 7 (small)") == "no-7-small");
    CHECK(slug("cr\xC3\xA8me") == "cr\xC3\xA8me");
    CHECK(slug("?!") == "x");
}

TEST_CASE("names that look alike get ids that do not") {
    using Lines = std::vector<std::string>;
    CHECK(expansion::distinct_slugs({"tart case", "Tart-case", "tart.case", "tart case 2"}) ==
          Lines{"tart-case", "tart-case-2", "tart-case-3", "tart-case-2-2"});
}

TEST_CASE("an activity's id is component, batch, step, load") {
    const Expansion expansion = expansion_of(plan_for_buns(
        "[[component]]\nname = \"bun\"\nmakes = \"12 pieces\"\nsteps = [{ name = \"First mix\", takes = \"1 min\" }, "
        "{ name = \"bake\", takes = \"9 min\", oven = \"180 C\", tray = 2 }]\n",
        13));
    CHECK(tasks_text(expansion, "") == std::vector<std::string>{"bun.1.first-mix [0, 12) 1", "bun.1.bake.1 [0, 8) 9",
                                                                "bun.1.bake.2 [8, 12) 9", "bun.2.first-mix [0, 1) 1",
                                                                "bun.2.bake.1 [0, 1) 9"});
}

}  // namespace
}  // namespace oventide::test
