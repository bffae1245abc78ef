#pragma once
/// An expansion as short lines of text, so that a test can say exactly what it expects.

#include <doctest/doctest.h>

#include <string>
#include <string_view>
#include <vector>

#include "oventide/expand.hpp"

namespace oventide::test {

/// Stops the test when there is an error, or when the project does not keep its own rules.
Expansion expansion_of(const Plan& plan);
Expansion expansion_of(std::string_view plan_text);

/// Every message of an expansion that fails.
std::string refusal_of(const Plan& plan);
std::string refusal_of(std::string_view plan_text);

/// Stops the test when there is none of that name.
ActivityId activity_named(const Expansion& expansion, std::string_view name);
const Activity& activity_of(const Expansion& expansion, std::string_view name);

/// "custard 1 [0, 1500)", a line a batch, in the component's unit.
std::vector<std::string> batches_text(const Plan& plan, const Expansion& expansion, std::string_view component);
/// "custard 1 -> tart 2 / 0: 700 (12)": amount and weight.
std::vector<std::string> food_text(const Plan& plan, const Expansion& expansion);
/// "bun.1.bake.1 [0, 12) 25": share and duration of each activity whose name begins so.
std::vector<std::string> tasks_text(const Expansion& expansion, std::string_view prefix);
/// "bun.1.mix + 12 <= bun.1.bake", sorted.
std::vector<std::string> lags_text(const Expansion& expansion);
/// Those from or to the activities whose names begin so.
std::vector<std::string> lags_text(const Expansion& expansion, std::string_view prefix);
/// "mixer", "2 rack", "Ada|Ben": what it wants, and from when to when: "mixer [start, end + 5)".
std::vector<std::string> demands_text(const Expansion& expansion, std::string_view name);
/// "0:1 60:0"
std::string capacity_text(const Expansion& expansion, std::string_view resource);
/// "maker -> user 12", "maker -> @540 24" for a pickup, sorted.
std::vector<std::string> waiting_text(const Expansion& expansion);
/// The names of an activity's users, sorted.
std::vector<std::string> users_text(const Expansion& expansion, std::string_view name);

}  // namespace oventide::test

namespace doctest {

/// Lists of lines are printed when they differ.
template <>
struct StringMaker<std::vector<std::string>> {
    static String convert(const std::vector<std::string>& lines) {
        std::string all;
        for (const std::string& line : lines) all += "\n    " + line;
        return all.c_str();
    }
};

}  // namespace doctest
