#pragma once
/// Names as parts of readable, stable ids.

#include <string>
#include <string_view>
#include <vector>

namespace oventide::expansion {

/// "Tart case" becomes "tart-case": letters and digits, in lower case where they are ASCII; anything else of ASCII
/// separates words. Other characters stay as they are. Never empty.
std::string slug(std::string_view name);

/// A slug for each name, all different: one that is taken gets a number.
std::vector<std::string> distinct_slugs(const std::vector<std::string_view>& names);

}  // namespace oventide::expansion
