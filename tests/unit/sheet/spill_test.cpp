// Whether a list on paper spills a few rows on a page of their own.

#include "sheet/spill.hpp"

#include <doctest/doctest.h>

using namespace oventide::sheet;

namespace {

const Area kLetter = area_of(Paper::letter);

std::vector<ListedRow> rows(int count, int letters = 20) {
    std::vector<ListedRow> all(static_cast<std::size_t>(count), ListedRow{letters, false, false});
    all.front().new_day = true;
    return all;
}

}  // namespace

TEST_CASE("a list is set closer where that saves a page of a few rows, and only there") {
    // Measured on a printed page: a row of one line takes 21.8 points, set closer 17.6; Letter holds 712.
    constexpr double kHead = 132;
    CHECK_FALSE(spills(kHead, rows(20), true, kLetter));  // one page
    CHECK(spills(kHead, rows(28), true, kLetter));        // a row or two on a second one
    CHECK(spills(kHead, rows(30), true, kLetter));
    CHECK_FALSE(spills(kHead, rows(45), true, kLetter));  // half a page: set closer it would still be two
    CHECK(spills(kHead, rows(62), true, kLetter));        // two pages and a few rows
}

TEST_CASE("what spills on Letter has room on A4") {
    // ISO 216: 210 by 297 mm; ANSI/ASME Y14.1: 8.5 by 11 in. A point is 1/72 in.
    CHECK(area_of(Paper::a4).height == doctest::Approx(762.5).epsilon(0.001));
    CHECK(area_of(Paper::a4).width == doctest::Approx(527.2).epsilon(0.001));
    CHECK(kLetter.height == doctest::Approx(712.6).epsilon(0.001));
    CHECK(kLetter.width == doctest::Approx(544).epsilon(0.001));
    CHECK(spills(132, rows(26), true, kLetter));
    CHECK_FALSE(spills(132, rows(26), true, area_of(Paper::a4)));
}

TEST_CASE("rows of several lines take their room, and a day its heading") {
    CHECK_FALSE(spills(132, rows(17, 20), true, kLetter));
    CHECK(spills(132, rows(17, 90), true, kLetter));  // two lines each
    std::vector<ListedRow> wide = rows(17, 90);
    for (ListedRow& row : wide) row.wide = true;
    wide.resize(12);
    CHECK_FALSE(spills(132, wide, true, kLetter));
    CHECK(spills(132, rows(17, 60), true, kLetter));
    CHECK_FALSE(spills(132, rows(17, 60), false, kLetter));  // there is more room for what is done
    std::vector<ListedRow> days = rows(25);
    CHECK_FALSE(spills(100, days, true, kLetter));
    for (std::size_t i = 0; i < days.size(); i += 8) days[i].new_day = true;
    CHECK(spills(100, days, true, kLetter));
}

TEST_CASE("a cell has the letters that paper shows, and a head the height of its longer list") {
    CHECK(letters_of_cell(
              "<td>12:00</td><th scope=\"row\"><bdi>b\u00fan</bdi>: mix <span class=\"id\">bun.1.mix</span></th>") ==
          9);
    CHECK(letters_of_cell("<td>12:00</td><th scope=\"row\" colspan=\"2\">oven: off</th><td>Ada</td>") == 9);
    const std::string item = "<li>a</li>";
    CHECK(head_height("") == 132);
    CHECK(head_height(item + item) == 164);
    CHECK(head_height(item + "<h4>Mind</h4><li>" + std::string(460, 'a') + "</li>") > 200);
    CHECK(head_height(item + "<h4>Mind</h4><li>" + std::string(20, 'a') + "</li>") == 148);
}
