#pragma once
/// Whether a list is set a little closer on paper, because a few rows would otherwise take a page of their own.

#include <vector>

namespace oventide::sheet {

struct ListedRow {
    int letters = 0;
    bool wide = false;     ///< it has the columns behind it too
    bool new_day = false;  ///< a table begins with it
};

/// Reckoned from the letters, for A4 and Letter, as the style has them: near enough to tell a few rows from many.
/// `head`: points that stand above the list.
bool spills(double head, const std::vector<ListedRow>& rows);

}  // namespace oventide::sheet
