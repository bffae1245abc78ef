#pragma once
/// Food-safety rule sets, as data. Oventide names the rule that it applied; local rules and a trained person decide.
///
/// A rule can hold stages of cooling, a limit on when the chill begins, and limits on holding with a tolerance that
/// may be used once. Temperatures are degrees Celsius of the warmest part of the food. A field that a rule's
/// document does not speak of is absent.

#include <optional>
#include <span>
#include <string_view>

#include "oventide/time.hpp"

namespace oventide {

/// The food gets from `from` to `to` in time, counted from the moment at which it first falls through `from`.
struct CoolingStage {
    std::optional<double> from;  ///< absent: counted from the end of cooking
    double to = 0;
    Minutes within{0};
    bool strictly = false;  ///< 'in under 2 h': at exactly that minute it is broken
};

/// Food may be outside a holding limit for so long, once, and not above `never_above` meanwhile.
struct Tolerance {
    Minutes lasts{0};
    bool strictly = false;              ///< 'for less than 4 h'
    std::optional<double> never_above;  ///< absent: at any temperature
};

/// Food held cold stays at or below `limit`; food held hot at or above it.
struct HoldingLimit {
    enum class Kind { cold, hot };
    Kind kind = Kind::cold;
    double limit = 0;
    std::span<const Tolerance> tolerances{};  ///< any one of them may be used; empty: none
    std::string_view source;
};

struct SafetyRule {
    std::string_view key;  ///< as the plan names it
    std::string_view region;
    std::string_view text;    ///< the rule in one sentence
    std::string_view source;  ///< published document and section
    /// From ready of a cooked perishable step to the start of its chill, at most. For a rule that has stages, the
    /// first stage's limit: the chill can certainly not begin later.
    Minutes chill_within{0};
    bool limits_chill_start = false;  ///< `chill_within` is the document's own words, not drawn from a stage
    std::span<const CoolingStage> stages{};
    std::span<const HoldingLimit> holding{};
};

/// In the order in which they are listed to the cook; the default first.
std::span<const SafetyRule> safety_rules();
/// Empty for an unknown key, and for kNoSafetyRule.
std::optional<SafetyRule> find_safety_rule(std::string_view key);
inline constexpr std::string_view kDefaultSafetyRule = "90-minutes";
inline constexpr std::string_view kNoSafetyRule = "none";

}  // namespace oventide
