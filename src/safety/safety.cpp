#include "oventide/safety.hpp"

#include <algorithm>

namespace oventide {
namespace {

using std::chrono::hours;

// Every figure stands here once, beside the document that it comes from. Where a document was seen only through
// another one that quotes it, `source` names both.

// ------------------------------------------------------------------------------------------ United Kingdom

// "Less than four hours", one such period: 2013 regulations Schedule 4 paragraph 5. It is written for service and
// display; the law gives cooling no hours (paragraph 2 and the Food Standards Agency's guidance of 2016).
constexpr Tolerance kUkColdTolerance[] = {{hours{4}, true, std::nullopt}};
constexpr Tolerance kUkHotTolerance[] = {{hours{2}, true, std::nullopt}};
constexpr HoldingLimit kUkHolding[] = {
    {HoldingLimit::Kind::cold, 8.0, kUkColdTolerance, "SI 2013/2996 (England) Schedule 4 paragraphs 2 and 5"},
    {HoldingLimit::Kind::hot, 63.0, kUkHotTolerance, "SI 2013/2996 (England) Schedule 4, paragraphs on hot holding"},
};

// -------------------------------------------------------------------------------------------- United States

// 57 to 21 in 2 h, and all the way to 5 in 6 h; both are counted from 57.
constexpr CoolingStage kUsStages[] = {{57.0, 21.0, hours{2}, false}, {57.0, 5.0, hours{6}, false}};
constexpr Tolerance kUsColdTolerance[] = {{hours{4}, false, std::nullopt}, {hours{6}, false, 21.0}};
constexpr Tolerance kUsHotTolerance[] = {{hours{4}, false, std::nullopt}};
constexpr HoldingLimit kUsHolding[] = {
    {HoldingLimit::Kind::cold, 5.0, kUsColdTolerance, "FDA Food Code 3-501.16(A)(2), 3-501.19(B) and (C)"},
    {HoldingLimit::Kind::hot, 57.0, kUsHotTolerance, "FDA Food Code 3-501.16(A)(1), 3-501.19(B)"},
};

// --------------------------------------------------------------------------------------------------- others

// The second stage is 'a further four hours', so it counts from 21.
constexpr CoolingStage kAustraliaStages[] = {{60.0, 21.0, hours{2}, false}, {21.0, 5.0, hours{4}, false}};

constexpr CoolingStage kFranceStages[] = {{63.0, 10.0, hours{2}, true}};
constexpr HoldingLimit kFranceHolding[] = {
    {HoldingLimit::Kind::cold, 3.0, {}, "arrete of 21 December 2009, Annex IV"},
};

constexpr CoolingStage kIrelandStages[] = {{std::nullopt, 3.0, Minutes{150}, false}};
constexpr HoldingLimit kIrelandHolding[] = {
    {HoldingLimit::Kind::cold, 3.0, {}, "FSAI Guidance Note 15"},
};

constexpr SafetyRule kRules[] = {
    {.key = "90-minutes",
     .region = "United Kingdom",
     .text = "Cooked food is not left to cool out of the refrigerator for longer than one and a half hours.",
     .source = "East Devon District Council, temperature control guide",
     .chill_within = Minutes{90},
     .limits_chill_start = true,
     .stages = {},
     .holding = {}},
    {.key = "30-minutes",
     .region = "United Kingdom",
     .text = "Chilling begins within 30 minutes of the food leaving the cooker.",
     .source = "Department of Health, cook-chill guidelines (1989), quoted in James and James, Meat Refrigeration, "
               "section 16.5.1",
     .chill_within = Minutes{30},
     .limits_chill_start = true,
     .stages = {},
     .holding = {}},
    {.key = "us-food-code",
     .region = "United States",
     .text = "Cooked food cools from 57 C to 21 C within 2 hours and from 57 C to 5 C within 6 hours in all.",
     .source = "FDA Food Code, section 3-501.14(A)",
     .chill_within = hours{2},
     .limits_chill_start = false,
     .stages = kUsStages,
     .holding = kUsHolding},
    {.key = "australia-nz",
     .region = "Australia and New Zealand",
     .text = "Cooked food cools from 60 C to 21 C within 2 hours and from 21 C to 5 C within a further 4 hours.",
     .source = "Food Standards Code, Standard 3.2.2, clause 7(3)",
     .chill_within = hours{2},
     .limits_chill_start = false,
     .stages = kAustraliaStages,
     .holding = {}},
    {.key = "france",
     .region = "France",
     .text = "Cooked food cools from 63 C to 10 C at its core in under 2 hours.",
     .source = "arrete of 21 December 2009, Annex IV",
     .chill_within = hours{2},
     .limits_chill_start = false,
     .stages = kFranceStages,
     .holding = kFranceHolding},
    {.key = "ireland",
     .region = "Ireland",
     .text = "Cooked food is chilled to 3 C or less within 150 minutes of the end of cooking.",
     .source = "Food Safety Authority of Ireland, Guidance Note 15",
     .chill_within = Minutes{150},
     .limits_chill_start = false,
     .stages = kIrelandStages,
     .holding = kIrelandHolding},
    {.key = "uk-8-degrees",
     .region = "United Kingdom",
     .text = "Chilled food is kept at 8 C or below, but for one period of less than 4 hours while it is served or "
             "displayed; the law gives cooling no hours, and the 4 hours are taken as the outermost limit.",
     .source = "Food Safety and Hygiene (England) Regulations 2013, Schedule 4",
     .chill_within = hours{4},
     .limits_chill_start = false,
     .stages = {},
     .holding = kUkHolding},
};

}  // namespace

std::span<const SafetyRule> safety_rules() { return kRules; }

std::optional<SafetyRule> find_safety_rule(std::string_view key) {
    const auto rule = std::ranges::find(kRules, key, &SafetyRule::key);
    if (rule == std::end(kRules)) return std::nullopt;
    return *rule;
}

}  // namespace oventide
