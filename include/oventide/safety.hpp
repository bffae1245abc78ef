#pragma once
/// Food-safety rule sets, as data. Oventide names the rule that it applied; local rules and a trained person decide.

#include <optional>
#include <span>
#include <string_view>

#include "oventide/time.hpp"

namespace oventide {

struct SafetyRule {
    std::string_view key;  ///< as the plan names it
    std::string_view region;
    std::string_view text;    ///< the rule in one sentence
    std::string_view source;  ///< published document and section
    Minutes chill_within;     ///< from ready of a cooked perishable step to the start of its chill, at most
};

std::span<const SafetyRule> safety_rules();
std::optional<SafetyRule> find_safety_rule(std::string_view key);
inline constexpr std::string_view kDefaultSafetyRule = "90-minutes";
inline constexpr std::string_view kNoSafetyRule = "none";

}  // namespace oventide
