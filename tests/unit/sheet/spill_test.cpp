// Whether a list on paper spills a few rows on a page of their own.

#include "sheet/spill.hpp"

#include <doctest/doctest.h>

using namespace oventide::sheet;

namespace {

std::vector<ListedRow> rows(int count, int letters = 20) {
    std::vector<ListedRow> all(static_cast<std::size_t>(count), ListedRow{letters, false, false});
    all.front().new_day = true;
    return all;
}

}  // namespace

TEST_CASE("a list is set closer where that saves a page of a few rows, and only there") {
    // Measured on a printed page: a row of one line takes 21.8 points, set closer 17.6; A4 holds 762, Letter 712.
    constexpr double kHead = 132;
    CHECK_FALSE(spills(kHead, rows(20)));  // one page
    CHECK(spills(kHead, rows(28)));        // a row or two on a second one
    CHECK(spills(kHead, rows(30)));
    CHECK_FALSE(spills(kHead, rows(45)));  // half a page: set closer it would still be two
    CHECK(spills(kHead, rows(62)));        // two pages and a few rows
}

TEST_CASE("rows of several lines take their room, and a day its heading") {
    CHECK_FALSE(spills(132, rows(17, 20)));
    CHECK(spills(132, rows(17, 90)));  // two lines each
    std::vector<ListedRow> wide = rows(17, 90);
    for (ListedRow& row : wide) row.wide = true;
    wide.resize(12);
    CHECK_FALSE(spills(132, wide));
    std::vector<ListedRow> days = rows(25);
    CHECK_FALSE(spills(100, days));
    for (std::size_t i = 0; i < days.size(); i += 8) days[i].new_day = true;
    CHECK(spills(100, days));
}
