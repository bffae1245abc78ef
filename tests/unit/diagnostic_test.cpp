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

}  // namespace oventide
