#pragma once
/// What the writer of a misspelt word may have meant.

#include <cstddef>
#include <string>
#include <string_view>
#include <vector>

namespace oventide {

/// The words of `known` that `word` may be a slip of, nearest first (ties: in the order of `known`), at most `count`.
/// Distance counts letters put in, left out, changed, or swapped with their neighbour (optimal string alignment:
/// Damerau 1964, Levenshtein 1966), with capitals counted as small letters; a slip is at most one in three letters,
/// and one at least is allowed.
std::vector<std::string> near_misses(std::string_view word, const std::vector<std::string>& known,
                                     std::size_t count = 1);

}  // namespace oventide
