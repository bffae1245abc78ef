#pragma once
/// Names that are nearly the same, so that a misspelt one can be answered with the right one.

#include <cstddef>
#include <string>
#include <string_view>
#include <vector>

namespace oventide::text {

/// Slips of the pen between two names, capitals aside: a character too many, missing, wrong, or two neighbours
/// swapped, counted up to `limit`; `limit + 1` stands for more. The restricted edit distance of Damerau (1964), in
/// bytes.
std::size_t slips(std::string_view a, std::string_view b, std::size_t limit);

/// As many slips as a name of that length may have and still be taken for a misspelling.
std::size_t tolerance(std::string_view name);

/// The name in `names` that `name` is most likely meant to be: fewest slips, then the first in `names`; empty if none
/// is near.
std::string nearest(std::string_view name, const std::vector<std::string>& names);

}  // namespace oventide::text
