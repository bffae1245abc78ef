/// Why there is no timetable: a set of conditions that contradict each other, of which none can be spared.

#include <doctest/doctest.h>

#include <string>
#include <vector>

#include "oventide/check.hpp"
#include "oventide/ways.hpp"
#include "support/expansion_text.hpp"
#include "support/impossible_plans.hpp"
#include "support/planned.hpp"

using namespace oventide;
using namespace oventide::test;

namespace {

const char* name_of(ways::Condition::Kind kind) {
    static const char* const kNames[] = {"pickup", "within", "keeps", "safety", "rest",  "door",  "wash",
                                         "last",   "closed", "heat",  "amount", "hours", "hands", "from"};
    return kNames[static_cast<int>(kind)];
}

std::string kinds(const std::vector<ways::Condition>& conditions) {
    std::string text;
    for (const ways::Condition& one : conditions) text += (text.empty() ? "" : " ") + std::string(name_of(one.kind));
    return text;
}

}  // namespace

TEST_CASE("why not: the cause of each is named, is a contradiction, and nothing in it can be spared") {
    for (const ImpossiblePlan& row : impossible_plans()) {
        SUBCASE(row.name.c_str()) {
            CAPTURE(row.name);
            const Plan plan = plan_of(row.text);
            const Expansion expansion = expansion_of(plan);
            const ways::WhyNot why = ways::why_not(plan, expansion);
            REQUIRE(why.proven);
            CHECK(kinds(why.conditions) == row.conditions);
            CHECK(ways::solve_with(plan, expansion, why.conditions, {}).infeasible);
            for (std::size_t left_out = 0; left_out < why.conditions.size(); ++left_out) {
                CAPTURE(name_of(why.conditions[left_out].kind));
                CHECK(why.needed[left_out]);
                auto rest = why.conditions;
                rest.erase(rest.begin() + static_cast<std::ptrdiff_t>(left_out));
                CHECK(ways::solve_with(plan, expansion, rest, {}).schedule.has_value());
                // there is but one reason, so that the whole plan works without it
                auto others = ways::conditions_of(plan, expansion);
                std::erase(others, why.conditions[left_out]);
                CHECK(ways::solve_with(plan, expansion, others, {}).schedule.has_value());
            }
        }
    }
}

// Whether the day's bounds have to do with it is beyond the search: these are told apart by what helps.
TEST_CASE("why not: washing up, and hands in the last minutes, are named where what keeps ends as it is used") {
    struct Row {
        const char* kind;
        std::string steps;
    };
    const Row rows[] = {
        // Ada fills from the minute in which the foam is used up, and in which she would have to wash the mixer.
        {"wash", R"(
[[component]]
name  = "bun"
makes = 12
steps = [{ name = "fill", takes = "10 min", hands = true, who = "Ada", with = { sweet = "10 g" } }]
[[component]]
name  = "sweet"
makes = "120 g"
steps = [{ name = "whisk", takes = "10 min", hands = { first = "2 min" }, keeps = "5 min", uses = "mixer", wash = { takes = "3 min", who = "Ada" } }]
)"},
        // Ada fills, and dips at once: in the two minutes before that she would have to see to the glaze.
        {"last", R"(
[[component]]
name  = "bun"
makes = 12
steps = [
  { name = "fill", takes = "9 min", hands = true, who = "Ada" },
  { name = "dip", takes = "6 min", at_once = true, hands = true, who = "Ada", with = { sweet = "10 g" } },
]
[[component]]
name  = "sweet"
makes = "120 g"
steps = [{ name = "melt", takes = "8 min", hands = { first = "3 min", last = "2 min" }, who = "Ada", keeps = "12 min", uses = "hob" }]
)"}};
    for (const Row& row : rows) {
        CAPTURE(row.kind);
        const Plan plan = plan_of(plan_for_buns(row.steps));
        const Expansion expansion = expansion_of(plan);
        const ways::WhyNot why = ways::why_not(plan, expansion);
        REQUIRE(why.proven);
        bool named = false;
        for (std::size_t i = 0; i < why.conditions.size(); ++i) {
            if (name_of(why.conditions[i].kind) != std::string(row.kind)) continue;
            named = true;
            CHECK(why.needed[i]);
            auto others = ways::conditions_of(plan, expansion);
            std::erase(others, why.conditions[i]);
            CHECK(ways::solve_with(plan, expansion, others, {}).schedule.has_value());
        }
        CHECK_MESSAGE(named, kinds(why.conditions));
    }
}

TEST_CASE("why not: a plan that has a timetable is not explained away") {
    const Plan plan = plan_of(plan_for_buns(R"(
[[component]]
name = "bun"
makes = "12 pieces"
steps = [{ name = "bake", takes = "20 min", oven = "180 C", tray = 12, hands = true }]
)"));
    const ways::WhyNot why = ways::why_not(plan, expansion_of(plan));
    CHECK_FALSE(why.proven);
    CHECK(why.conditions.empty());
}
