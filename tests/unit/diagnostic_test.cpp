// Wrong plans, and what the cook is told: word for word, with the place marked.

#include "oventide/diagnostic.hpp"

#include <doctest/doctest.h>

#include <string>
#include <vector>

#include "support/plan_text.hpp"

namespace oventide {
namespace {

using test::diagnostics_of;
using test::Files;

/// A plan that is right but for what a row adds or changes. `$HEAD`, `$STEP`, `$KITCHEN`, `$ORDER` and `$MORE` are
/// replaced; the line numbers in the expected messages count in the result.
const std::string kFrame = R"(timezone = "Europe/London"
$HEAD
[kitchen]
crew  = [{ name = "Ada", hours = "05:00-20:00" }]
oven  = [{ trays = 4, heats = "10 C/min", cools = "5 C/min" }]
mixer = [{ bowl = "4 kg" }]
hob   = [{ rings = 4 }]
$KITCHEN
[[order]]
name = "Mill Lane"
pickup = 2026-10-03T12:00:00
items = { bun = 12 }
$ORDER
[[component]]
name = "bun"
makes = 12
steps = [
  { name = "mix", takes = "10 min", hands = true, uses = "mixer" },
  $STEP
]
$MORE
)";

struct Row {
    std::string name;
    std::string where;  ///< HEAD, KITCHEN, ORDER, STEP or MORE
    std::string text;
    std::string expected;  ///< the whole rendering
};

std::string filled(std::string frame, const std::string& where, const std::string& text) {
    for (const char* slot : {"HEAD", "KITCHEN", "ORDER", "STEP", "MORE"}) {
        const std::string mark = std::string("$") + slot;
        frame.replace(frame.find(mark), mark.size(), where == slot ? text : "");
    }
    return frame;
}

const std::vector<Row> kRows{
#include "unit/diagnostic_rows.inc"
};

}  // namespace

TEST_CASE("the frame is right") { CHECK(diagnostics_of(filled(kFrame, "", "")) == ""); }

TEST_CASE("what is wrong is told in full") {
    for (const Row& row : kRows) {
        SUBCASE(row.name.c_str()) { CHECK(diagnostics_of(filled(kFrame, row.where, row.text)) == row.expected); }
    }
}

TEST_CASE("rendering: places at the edges, long lines, and what a terminal must not see") {
    const auto rendered = [](const std::string& text, const Place& place) {
        return render({Severity::error, place, "m", "", {}}, {{{"f.toml", text}}});
    };
    SUBCASE("the file as a whole, and nowhere") {
        CHECK(rendered("a\n", {0, 0, 0, 1}) == "f.toml: error: m\n");
        CHECK(rendered("a\n", {-1, 3, 3, 1}) == "error: m\n");
        CHECK(rendered("a\n", {7, 3, 3, 1}) == "error: m\n");
    }
    SUBCASE("beyond the end of the line, and of the file") {
        CHECK(rendered("ab\ncd", {0, 2, 3, 1}) == "f.toml:2:3: error: m\n  2 | cd\n    |   ^\n");
        CHECK(rendered("ab", {0, 1, 99, 50}) == "f.toml:1:99: error: m\n  1 | ab\n    |   ^\n");
        CHECK(rendered("ab", {0, 9, 1, 1}) == "f.toml:9:1: error: m\n  9 | \n    | ^\n");
        CHECK(rendered("abc", {0, 1, 2, 4'000'000'000U}) == "f.toml:1:2: error: m\n  1 | abc\n    |  ^~\n");
    }
    SUBCASE("line ends of other systems, and tabs") {
        CHECK(rendered("ab\r\ncd\r\n", {0, 1, 2, 1}) == "f.toml:1:2: error: m\n  1 | ab\n    |  ^\n");
        CHECK(rendered("\tab", {0, 1, 2, 2}) == "f.toml:1:2: error: m\n  1 |  ab\n    |  ^~\n");
    }
    SUBCASE("a long line is cut round the place") {
        const std::string text = std::string(200, 'a') + "HERE" + std::string(200, 'b');
        CHECK(rendered(text, {0, 1, 201, 4}) == "f.toml:1:201: error: m\n  1 | ..." + std::string(40, 'a') + "HERE" +
                                                    std::string(52, 'b') + "...\n    | " + std::string(43, ' ') +
                                                    "^~~~\n");
    }
    SUBCASE("the mark stands below what it marks: two columns for a wide character, none for an accent on another") {
        CHECK(rendered("梨 = x", {0, 1, 5, 1}) == "f.toml:1:5: error: m\n  1 | 梨 = x\n    |      ^\n");
        CHECK(rendered("x = 梨梨", {0, 1, 5, 2}) == "f.toml:1:5: error: m\n  1 | x = 梨梨\n    |     ^~~~\n");
        CHECK(rendered("cre\u0300me = x", {0, 1, 10, 1}) ==
              "f.toml:1:10: error: m\n  1 | cre\u0300me = x\n    |         ^\n");
    }
    SUBCASE("control characters, turned writing and bytes that are no text become marks") {
        const std::string all = render({Severity::error, {0, 1, 1, 1}, "a\x1b[31mb", "c\x07", {{{}, "d\u202e"}}},
                                       {{{"f\n.toml", "x\x1b[0m\u202e\xff\x9b"}}});
        for (const char* bad : {"\x1b", "\x07", "\u202e", "\xff", "\x9b"}) CHECK(all.find(bad) == std::string::npos);
    }
}

}  // namespace oventide
