#include "support/impossible_plans.hpp"

namespace oventide::test {
namespace {

/// A day that begins at six, one cook, and whatever else the case wants.
std::string day(const std::string& hours, const std::string& kitchen, const std::string& rest) {
    return "timezone = \"UTC\"\nfrom = 2026-10-03T06:00:00\nsafety = \"none\"\n[kitchen]\n"
           "crew = [{ name = \"Ada\", hours = \"" +
           hours + "\" }]\n" + kitchen + "\n" + rest;
}

std::string order(const std::string& name, const std::string& pickup, const std::string& items) {
    return "[[order]]\nname = \"" + name + "\"\npickup = 2026-10-03T" + pickup + ":00\nitems = { " + items + " }\n";
}

std::string component(const std::string& name, const std::string& more, const std::string& steps) {
    return "[[component]]\nname = \"" + name + "\"\nmakes = \"12 pieces\"\n" + more + "steps = [\n" + steps + "]\n";
}

const std::string kOven = R"(oven = [{ trays = 1, heats = "10 C/min", cools = "5 C/min", timer = true }])";
const std::string kAllDay = "06:00-20:00";

}  // namespace

const std::vector<ImpossiblePlan>& impossible_plans() {
    static const std::vector<ImpossiblePlan> plans{
        // 2 h of hands, and an hour and a quarter of them before a quarter to noon
        {"hours",
         day("10:30-14:00", "",
             order("Ladder Street", "12:00", "bun = 12") +
                 component("bun", "", R"({ name = "shape", takes = "2 h", hands = true },)")),
         "pickup hours from"},
        // 3 h of waiting, from six to a quarter to eight
        {"a pickup too early",
         day(kAllDay, "",
             order("Early table", "08:00", "bun = 12") + component("bun", "", R"({ name = "prove", takes = "3 h" },)")),
         "pickup from"},
        // the second load comes out of the oven 20 minutes after the first; both are iced within 10 minutes
        {"within against loads",
         day(kAllDay, kOven,
             order("Ladder Street", "18:00", "bun = 12") +
                 component("bun", "",
                           R"({ name = "bake", takes = "20 min", oven = "180 C", tray = 6 },
                              { name = "ice", takes = "5 min", hands = true, within = "10 min" },)")),
         "within amount"},
        // two bakes that begin at once after one mix, at two heats
        {"one oven, two settings",
         day(kAllDay, R"(oven = [{ trays = 4, heats = "10 C/min", cools = "5 C/min", timer = true }])",
             order("Ladder Street", "18:00", "bun = 12") + component("bun", "",
                                                                     R"({ name = "mix", takes = "10 min" },
                              { name = "crust", takes = "20 min", oven = "220 C", tray = 12, within = "5 min" },
                              { name = "lid", takes = "20 min", oven = "160 C", tray = 12, after = { step = "mix", within = "5 min" } },
                              { name = "join", takes = "1 min", after = ["crust", "lid"] },)")),
         "within within heat"},
        // two doughs of an hour each, from six to half past seven
        {"one mixer",
         day(kAllDay, "mixer = [{}]",
             order("Ladder Street", "07:45", "bun = 12, loaf = 12") +
                 component("bun", "", R"({ name = "mix", takes = "1 h", uses = "mixer" },)") +
                 component("loaf", "", R"({ name = "mix", takes = "1 h", uses = "mixer" },)")),
         "pickup amount from"},
        // three trays of bread, one at a time, an hour each, from six to nine less the heating
        {"trays",
         day(kAllDay, kOven,
             order("Ladder Street", "09:00", "bun = 36") +
                 component("bun", "", R"({ name = "bake", takes = "1 h", oven = "180 C", tray = 12 },)")),
         "pickup amount from"},
        // baked by ten when the oven closes, kept for an hour, collected at noon
        {"keeps too short",
         day(kAllDay,
             R"(oven = [{ trays = 1, heats = "10 C/min", cools = "5 C/min", timer = true, closed = "10:00-14:00" }])",
             order("Ladder Street", "12:00", "bun = 12") +
                 component("bun", "keeps = \"1 h\"\n",
                           R"({ name = "bake", takes = "30 min", oven = "180 C", tray = 12 },)")),
         "pickup keeps closed"},
        // a rest of 3 h between six and nine, and work before and after it
        {"a rest too long",
         day(kAllDay, "",
             order("Ladder Street", "09:00", "bun = 12") +
                 component("bun", "",
                           R"({ name = "mix", takes = "10 min", hands = true },
                              { name = "shape", takes = "10 min", hands = true, rest = "3 h" },)")),
         "pickup rest from"},
        // two things that each want Ada for an hour at the very end
        {"one pair of hands",
         day(kAllDay, "",
             order("Ladder Street", "12:00", "bun = 12, loaf = 12") +
                 component("bun", "keeps = \"20 min\"\n", R"({ name = "dress", takes = "1 h", hands = true },)") +
                 component("loaf", "keeps = \"20 min\"\n", R"({ name = "dress", takes = "1 h", hands = true },)")),
         "pickup keeps keeps hands"},
    };
    return plans;
}

}  // namespace oventide::test
