#include "oventide/safety.hpp"

#include <doctest/doctest.h>

#include <cctype>
#include <set>
#include <string>
#include <vector>

using namespace oventide;
using std::chrono::hours;

namespace {

std::vector<std::string> words(std::string_view text) {
    std::vector<std::string> found(1);
    for (const char letter : text) {
        if (std::isalpha(static_cast<unsigned char>(letter)) != 0) {
            found.back() += static_cast<char>(std::tolower(static_cast<unsigned char>(letter)));
        } else if (!found.back().empty()) {
            found.emplace_back();
        }
    }
    return found;
}

}  // namespace

TEST_CASE("safety: the published figures of every rule") {
    struct Row {
        std::string key;
        Minutes chill_within;
        bool limits_chill_start;
        std::vector<CoolingStage> stages;
    };
    const std::vector<Row> rows = {
        // council guidance: not left cooling out of the refrigerator beyond 1.5 h (East Devon)
        {"90-minutes", Minutes{90}, true, {}},
        // Department of Health 1989, in James and James, Meat Refrigeration s.16.5.1
        {"30-minutes", Minutes{30}, true, {}},
        // FDA Food Code 3-501.14(A)
        {"us-food-code", hours{2}, false, {{57.0, 21.0, hours{2}, false}, {57.0, 5.0, hours{6}, false}}},
        // Standard 3.2.2 clause 7(3)
        {"australia-nz", hours{2}, false, {{60.0, 21.0, hours{2}, false}, {21.0, 5.0, hours{4}, false}}},
        // arrete of 21 December 2009, Annex IV
        {"france", hours{2}, false, {{63.0, 10.0, hours{2}, true}}},
        // FSAI Guidance Note 15
        {"ireland", Minutes{150}, false, {{std::nullopt, 3.0, Minutes{150}, false}}},
        // SI 2013/2996 Schedule 4
        {"uk-8-degrees", hours{4}, false, {}},
    };
    REQUIRE(safety_rules().size() == rows.size());
    for (const Row& row : rows) {
        CAPTURE(row.key);
        const auto rule = find_safety_rule(row.key);
        REQUIRE(rule);
        CHECK(rule->chill_within == row.chill_within);
        CHECK(rule->limits_chill_start == row.limits_chill_start);
        REQUIRE(rule->stages.size() == row.stages.size());
        for (std::size_t i = 0; i < row.stages.size(); ++i) {
            CHECK(rule->stages[i].from == row.stages[i].from);
            CHECK(rule->stages[i].to == row.stages[i].to);
            CHECK(rule->stages[i].within == row.stages[i].within);
            CHECK(rule->stages[i].strictly == row.stages[i].strictly);
        }
    }
}

TEST_CASE("safety: the holding limits and what they tolerate") {
    const auto british = find_safety_rule("uk-8-degrees");  // SI 2013/2996 Schedule 4
    REQUIRE(british);
    REQUIRE(british->holding.size() == 2);
    CHECK(british->holding[0].limit == 8.0);
    REQUIRE(british->holding[0].tolerances.size() == 1);
    CHECK(british->holding[0].tolerances[0].lasts == hours{4});
    CHECK(british->holding[0].tolerances[0].strictly);
    CHECK(british->holding[1].limit == 63.0);
    CHECK(british->holding[1].tolerances[0].lasts == hours{2});

    const auto american = find_safety_rule("us-food-code");  // Food Code 3-501.16, 3-501.19
    REQUIRE(american);
    REQUIRE(american->holding.size() == 2);
    CHECK(american->holding[0].limit == 5.0);
    REQUIRE(american->holding[0].tolerances.size() == 2);
    CHECK(american->holding[0].tolerances[0].lasts == hours{4});
    CHECK_FALSE(american->holding[0].tolerances[0].never_above);
    CHECK(american->holding[0].tolerances[1].lasts == hours{6});
    CHECK(american->holding[0].tolerances[1].never_above == 21.0);
    CHECK(american->holding[1].limit == 57.0);
}

TEST_CASE("safety: the rules are well formed as data") {
    std::set<std::string_view> keys;
    for (const SafetyRule& rule : safety_rules()) {
        CAPTURE(std::string(rule.key));
        CHECK(keys.insert(rule.key).second);
        CHECK(rule.key != kNoSafetyRule);
        CHECK_FALSE(rule.region.empty());
        CHECK_FALSE(rule.source.empty());
        CHECK(rule.text.ends_with('.'));
        CHECK(rule.chill_within > Minutes{0});
        if (!rule.stages.empty()) CHECK(rule.chill_within == rule.stages.front().within);
        for (const CoolingStage& stage : rule.stages) {
            CHECK(stage.within > Minutes{0});
            if (stage.from) CHECK(*stage.from > stage.to);
        }
        for (const std::string& word : words(rule.text)) CHECK(word != "safe");
    }
}

TEST_CASE("safety: names that are no rule") {
    CHECK(safety_rules().front().key == kDefaultSafetyRule);
    CHECK_FALSE(find_safety_rule(kNoSafetyRule));
    CHECK_FALSE(find_safety_rule(""));
    CHECK_FALSE(find_safety_rule("90-minute"));
}
