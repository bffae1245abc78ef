/// The day drawn in characters: what stands where, and that it fits whatever the names are.

#include <doctest/doctest.h>

#include <algorithm>
#include <sstream>
#include <string>

#include "common/text.hpp"
#include "oventide/report.hpp"
#include "support/planned.hpp"

using namespace oventide;
using namespace oventide::report;
using namespace oventide::test;

namespace {

/// Collected at noon, done by 11:45: cool from 11:25, bake from 11:05, prove from 10:05, mix from 9:55; washed up
/// from 10:05. 20 C to 200 C at 10 C a minute: on 10:47.
const char* const kBun = R"(
[[component]]
name  = "bun"
makes = "12 pieces"
steps = [
  { name = "mix",   takes = "10 min", hands = true, uses = "mixer", wash = "5 min", who = "Ada" },
  { name = "prove", takes = "1 h" },
  { name = "bake",  takes = "20 min", oven = "200 C", tray = 12, hands = { first = "5 min", last = "5 min" }, who = "Ben" },
  { name = "cool",  takes = "20 min", uses = "rack" },
]
)";

std::string replaced(std::string text, const std::string& what, const std::string& with) {
    for (std::size_t at = text.find(what); at != std::string::npos; at = text.find(what, at + with.size()))
        text.replace(at, what.size(), with);
    return text;
}

}  // namespace

TEST_CASE("a picture that can be drawn on paper") {
    const Planned day = planned(plan_for_buns(kBun));
    Style style;
    style.ascii = true;
    const std::string text = picture_text(day.subject(), style);
    // One column is 5 minutes, from half past nine.
    const std::string expected = R"(Sat 3 Oct
           09:30 10:00       11:00       12:00       13:00       14:00
           |     |     |     |     |     |     |     |     |     |     |     |
Ada        .....a-a.............................................................
Ben        ...................a..a..............................................
oven                      ////200C
oven                          [a-]
mixer           [a]
rack                              [a-]
pickup                                   V 12:00 Ladder Street

)";
    CHECK(text.substr(std::min(text.find("Sat 3 Oct"), text.size()), expected.size()) == expected);
    CHECK(text.find("\n  a bun\n") != std::string::npos);
}

TEST_CASE("a picture fits its page whatever the names are, and plain ASCII is plain") {
    const std::string names[] = {"bun",
                                 "\xF0\x9F\xA5\xAE\xF0\x9F\xA5\xAE",
                                 "cr\xC3\xA8me br\xC3\xBBl\xC3\xA9\x65",
                                 "\xE4\xBA\x94\xE4\xBB\x81\xE6\x9C\x88\xE9\xA5\xBC",
                                 "a very long name for a small bun",
                                 "<&>\xE2\x80\x8F\xD7\xA2"};
    for (const std::string& name : names) {
        std::string plan = replaced(plan_for_buns(kBun), "\"bun\"", "\"" + name + "\"");
        plan = replaced(replaced(plan, " bun ", " \"" + name + "\" "), "\"mix\"", "\"" + name + "\"");
        const Planned day = planned(plan);
        for (const bool ascii : {false, true}) {
            for (const int width : {60, 77, 80, 200}) {
                Style style;
                style.ascii = ascii;
                style.width = width;
                const std::string text = picture_text(day.subject(), style);
                CAPTURE(text);
                std::istringstream lines(text);
                for (std::string line; std::getline(lines, line);) CHECK(text::columns(line) <= width);
                const bool plain =
                    std::all_of(text.begin(), text.end(), [](char c) { return c == '\n' || (c >= ' ' && c < 127); });
                CHECK((plain || !ascii));
                CHECK(std::none_of(text.begin(), text.end(), [](char c) { return c == '\x1b' || c == '\x7f'; }));
            }
        }
    }
}
