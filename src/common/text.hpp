#pragma once
/// Text for a page of so many columns: what a character is worth in columns, and lines broken between words.
///
/// Names come from files that anybody may have written. Nothing from them reaches the page but printable
/// characters: control characters (those that turn the direction of writing, too) and bytes that are not UTF-8
/// become a replacement mark.

#include <string>
#include <string_view>
#include <vector>

namespace oventide::text {

/// Printable UTF-8, or with `ascii` the nearest in plain ASCII ("crème" becomes "creme", what has no near one '?').
std::string clean(std::string_view text, bool ascii = false);

/// Columns that clean text takes in a terminal with a font of fixed width. A character with marks on it counts as
/// itself, an East Asian wide character and an emoji as two; emoji that are joined, and one with a skin colour, as
/// the first of them; one that a variation selector turns into an emoji as two. Terminals that know less about
/// joining show more columns; the layout is then askew in that line, but nothing is lost.
int columns(std::string_view text);

/// Lines of at most `width` columns (a single character may exceed it), broken at spaces, and inside a word only
/// where the word alone is longer. The first line may be wider by `more`. Never empty; no line begins or ends with a
/// space.
std::vector<std::string> wrap(std::string_view text, int width, int more = 0);

enum class Align { left, right };
/// Filled with spaces to at least `width` columns.
std::string pad(std::string_view text, int width, Align align = Align::left);

}  // namespace oventide::text
