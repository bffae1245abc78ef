#include "cli/starter.hpp"

#include <fmt/format.h>

namespace oventide::cli {

std::string starter_plan(const clock::Zone& zone, Instant now) {
    const clock::LocalTime day = clock::add_days(zone.local(now), 2);
    return fmt::format(
        R"(# A plan for Oventide. What stands behind a # is for you alone. Change a line, then:
#   oventide check FILE       says what it cannot read, and what to write instead
#   oventide timetable FILE   says when to start what
title    = "My bake day"
timezone = "{}"

# Your kitchen. Leave out what you have not got.
[kitchen]
crew   = [{{ name = "Me", hours = "07:00-18:00" }}]            # several people: one after another in the list
oven   = [{{ trays = 2, heats = "10 C/min", cools = "5 C/min" }}] # how fast it warms up, and cools when turned down
mixer  = [{{ bowl = "4 kg" }}]                                 # batches never exceed the bowl
hob    = [{{ rings = 4 }}]
fridge = [{{ shelves = 4 }}]

# What is ordered, for when. One [[order]] for each customer.
[[order]]
name   = "First customer"
pickup = {:04}-{:02}-{:02}T16:00:00  # everything is done a quarter of an hour before; margin = "30 min" would be more
items  = {{ "cream bun" = 24 }}

# How each thing is made: its steps in order, one a line. `takes` is how long; `hands = true` needs somebody all the time.
[[component]]
name        = "bun"
makes       = "24 pieces"
bowl_weight = "1.8 kg"
steps = [
  {{ name = "knead", takes = "15 min", hands = true, uses = "mixer", wash = "5 min" }},
  {{ name = "prove", takes = "1 h", within = "10 min" }},                     # goes to prove within ten minutes
  {{ name = "shape", takes = "5 min", each = "30 s", hands = true }},         # and half a minute for every bun
  {{ name = "prove again", takes = "40 min", keeps = "20 min" }},             # ready after 40, may wait 20 more
  {{ name = "bake",  takes = "18 min", oven = "190 C", tray = 12, hands = {{ first = "2 min", last = "2 min" }} }},
  {{ name = "cool",  takes = "45 min", keeps = "8 h" }},
]

[[component]]
name  = "custard"
makes = "1 kg"
steps = [
  {{ name = "cook",  takes = "15 min", hands = true, uses = "hob", cooked = true }},  # cooked: must be chilled in time
  {{ name = "chill", takes = "2 h", keeps = "1 day", uses = "fridge", chill = true, within = "30 min" }},
]

# A component can go into another: here 25 g of custard and one bun into each cream bun.
[[component]]
name        = "cream bun"
makes       = "24 pieces"
best_within = "2 h"  # filled no longer than that before it is collected
steps = [
  {{ name = "fill", takes = "5 min", each = "20 s", hands = true, with = {{ bun = 1, custard = "25 g" }} }},
]
)",
        zone.name(), day.year, day.month, day.day);
}

}  // namespace oventide::cli
