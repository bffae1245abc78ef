#pragma once
/// A plan with a timetable, and how to spoil it.

#include <string>

namespace oventide::test {

inline const std::string kSmallPlan = R"(title    = "One tart"
timezone = "Europe/London"

[kitchen]
[[kitchen.crew]]
name  = "Ada"
hours = "06:00-20:00"
[[kitchen.oven]]
trays = 2
heats = "10 C/min"
cools = "5 C/min"

[[order]]
name   = "Table one"
pickup = 2026-10-03T16:00:00
items  = { "plum tart" = 12 }

[[component]]
name  = "plum tart"
makes = "12 pieces"
steps = [
  { name = "mix", takes = "12 min", hands = true },
  { name = "bake", takes = "22 min", oven = "180 C", tray = 12, hands = { first = "2 min", last = "2 min" } },
]
)";

/// `text` with its first `what` replaced by `with`.
inline std::string replaced(std::string text, const std::string& what, const std::string& with) {
    return text.replace(text.find(what), what.size(), with);
}

/// The small plan, spoilt in one place.
inline std::string small_plan_with(const std::string& what, const std::string& with) {
    return replaced(kSmallPlan, what, with);
}

}  // namespace oventide::test
