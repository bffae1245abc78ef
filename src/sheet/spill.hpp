#pragma once
/// Whether a list is set a little closer on paper, because a few rows would otherwise take a page of their own.

#include <string>
#include <string_view>
#include <vector>

#include "sheet/paper.hpp"

namespace oventide::sheet {

/// Points that the head of a person's page takes: the name and what always stands there, and the longer of its two
/// lists.
double head_height(const std::string& html);

/// Without the marks of the page.
int letters_of(std::string_view html);

/// What paper shows of the cell that says what is done: not the name for notes.
int letters_of_cell(const std::string& cells);

struct ListedRow {
    int letters = 0;
    bool wide = false;     ///< it has the columns behind it too
    bool new_day = false;  ///< a table begins with it
};

struct Filled {
    int pages = 1;
    double last = 0;  ///< points on the last page
};

/// How much of the pages a list takes. `head`: points that stand above it; `slips`: it has a column for them.
Filled filled(double head, const std::vector<ListedRow>& rows, bool slips, const Area& page, bool close);

/// Reckoned from the letters, as the style has them: near enough to tell a few rows from many.
bool spills(double head, const std::vector<ListedRow>& rows, bool slips, const Area& page);

}  // namespace oventide::sheet
