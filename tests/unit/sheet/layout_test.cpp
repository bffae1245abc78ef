// How the pages before the lists are cut.

#include "sheet/layout.hpp"

#include <doctest/doctest.h>

using namespace oventide::sheet;

namespace {

constexpr Area kPage{500, 700};

/// A stretch of the picture, its words and all, of so many points.
std::string panel(double points) {
    constexpr double kWords = 26 + 13.2;  // its caption, and a line for the key
    return "<div class=\"panel\"><div class=\"paper\"><p>Morning</p><ul><li>a tart</li></ul></div>"
           "<svg viewBox=\"0 0 580 " +
           std::to_string((points - kWords) * 580 / kPage.width) + "\"></svg></div>";
}

std::string rows(int count) {
    std::string all = "<table><colgroup></colgroup><thead><tr><th>When</th></tr></thead><tbody>\n";
    for (int i = 0; i < count; ++i) all += "<tr><td>12:00</td><th scope=\"row\">bun: mix</th></tr>\n";
    return all + "</tbody></table>";
}

int pages(const std::string& picture, const std::string& timetable = "") {
    return cost_of({"", picture, timetable}, kPage) / 3;
}

std::size_t count(const std::string& text, const std::string& part) {
    std::size_t found = 0;
    for (std::size_t at = text.find(part); at != std::string::npos; at = text.find(part, at + 1)) ++found;
    return found;
}

}  // namespace

TEST_CASE("layout: a stretch of the picture goes on the next page whole, rows one by one") {
    CHECK(pages("") == 1);
    CHECK(pages(panel(320) + panel(320)) == 1);
    CHECK(pages(panel(400) + panel(400)) == 2);
    CHECK(pages(panel(400) + panel(400) + panel(400)) == 3);
    CHECK(pages("", rows(35)) == 1);
    CHECK(pages(panel(400), rows(40)) == 2);
    CHECK(pages("", rows(80)) == 2);
}

TEST_CASE("layout: what no page can hold is torn, and what the picture only says by its letter costs") {
    CHECK(cost_of({"", panel(900), ""}, kPage) > cost_of({"", panel(450) + panel(450), ""}, kPage));
    const auto flag = [](const std::string& said) {
        return panel(300) + "<text class=\"beside\" x=\"1\" y=\"2\">" + said + "</text>";
    };
    const int named = cost_of({"", flag("a mix"), ""}, kPage);
    CHECK(cost_of({"", flag("a"), ""}, kPage) == named + 1);
    CHECK(cost_of({"", flag("12:00"), ""}, kPage) == named);  // a pickup
}

TEST_CASE("layout: the weigh sheet stands in two columns, on what is left of a page first") {
    // Of 10 rows, a caption and its heads: about 200 points, and 180 where it is close.
    std::string table =
        "<table class=\"weigh\"><caption>custard, by 10:58</caption><thead><tr><th>What</th></tr></thead><tbody>";
    for (int i = 0; i < 10; ++i) table += "<tr><th scope=\"row\">milk</th><td>1 l</td></tr>";
    table += "</tbody></table>";
    const auto weights = [&](int tables) {
        std::string all;
        for (int i = 0; i < tables; ++i) all += table;
        return all;
    };
    CHECK(weigh_pages("", 0, kPage, false) == 0);
    CHECK(weigh_pages(weights(6), 0, kPage, false) == 0);
    CHECK(weigh_pages(weights(7), 0, kPage, false) == 1);
    CHECK(weigh_pages(weights(6), 200, kPage, false) == 1);
    CHECK(weigh_pages(weights(2), 400, kPage, false) == 0);
    CHECK(weigh_pages(weights(2), 465, kPage, false) == 1);
    CHECK(weigh_pages(weights(2), 465, kPage, true) == 0);
    CHECK(weigh_pages(weights(2), 690, kPage, false) == 1);
}

TEST_CASE("layout: a stretch that is a little too high is drawn smaller, until letters have 9 points") {
    const auto drawn = [](const std::string& picture) { return fitted({"", picture, ""}, kPage); };
    CHECK(count(drawn(panel(600)), "--wide") == 0);
    CHECK(count(drawn(panel(740)), "--wide") == 1);
    CHECK(pages(drawn(panel(740))) == 1);
    CHECK(count(drawn(panel(1000)), "--wide") == 0);  // it would be too small
    // What is left of a page is such a page.
    CHECK(pages(panel(300) + panel(400)) == 2);
    CHECK(pages(drawn(panel(300) + panel(400))) == 1);
    CHECK(count(drawn(panel(300) + panel(600)), "--wide") == 0);
    // 12 units of 580 across 500 points are 10.3 points high.
    const std::string small = drawn(panel(770));
    const std::size_t at = small.find("--wide: ") + 8;
    REQUIRE(at != std::string::npos + 8);
    CHECK(std::stoi(small.substr(at)) >= 85);
    CHECK(std::stoi(small.substr(at)) <= 92);
}
