/// Ways out: each, made to the plan, gives a timetable that both referees pass; and no less of it would do.

#include <doctest/doctest.h>

#include <algorithm>
#include <string>
#include <vector>

#include "oventide/check.hpp"
#include "oventide/ways.hpp"
#include "support/expansion_text.hpp"
#include "support/impossible_plans.hpp"
#include "support/planned.hpp"

using namespace oventide;
using namespace oventide::test;

namespace {

Outcome plan_it(const Plan& plan) {
    const ExpandResult expanded = expand(plan);
    REQUIRE(expanded.expansion);
    const Project& project = expanded.expansion->project;
    Outcome outcome = solve(project, {});
    if (!outcome.schedule) return outcome;
    for (const Violation& violation : check(project, *outcome.schedule)) FAIL_CHECK(violation.what);
    const Timetable timetable = make_timetable(plan, *expanded.expansion, outcome, {});
    for (const Violation& violation : check(plan, timetable)) FAIL_CHECK(violation.what);
    return outcome;
}

/// The same change, but a minute or a piece less of it; nothing where that is no change at all.
std::optional<ways::Change> a_little_less(ways::Change change) {
    if (auto* c = std::get_if<ways::LongerHours>(&change)) {
        (c->earlier > Minutes{0} ? c->earlier : c->longer) -= Minutes{1};
        return change;
    }
    if (auto* c = std::get_if<ways::EarlierBeginning>(&change)) return c->earlier -= Minutes{1}, change;
    if (auto* c = std::get_if<ways::LaterPickup>(&change)) return c->later -= Minutes{1}, change;
    if (auto* c = std::get_if<ways::ShorterClosing>(&change)) {
        (c->begins_later > Minutes{0} ? c->begins_later : c->ends_earlier) -= Minutes{1};
        return change;
    }
    if (auto* c = std::get_if<ways::EasierPromise>(&change)) return c->by -= Minutes{1}, change;
    if (auto* c = std::get_if<ways::SmallerOrder>(&change)) {
        if (--c->fewer == 0) return std::nullopt;
        return change;
    }
    return std::nullopt;
}

ways::WaysOut ways_out_of(const Plan& plan) {
    const Expansion expansion = expansion_of(plan);
    return ways::ways_out(plan, expansion, ways::why_not(plan, expansion));
}

const ImpossiblePlan& row_named(const std::string& name) {
    const auto& rows = impossible_plans();
    const auto row = std::find_if(rows.begin(), rows.end(), [&](const auto& one) { return one.name == name; });
    REQUIRE(row != rows.end());
    return *row;
}

/// Ada alone, in UTC, so long as `hours` says.
std::string plan_for_one(const std::string& hours, const std::string& from, const std::string& pickup,
                         const std::string& steps) {
    return "timezone = \"UTC\"\nfrom = " + from + "\n[kitchen]\ncrew = [{ name = \"Ada\", hours = \"" + hours +
           "\" }]\n[[order]]\nname = \"Ladder Street\"\npickup = 2026-10-03T" + pickup +
           ":00\nitems = { bun = 12 }\n[[component]]\nname = \"bun\"\nmakes = \"12 pieces\"\nsteps = [" + steps + "]\n";
}

Instant day_at(int year, unsigned month, unsigned day) {
    return std::chrono::sys_days{std::chrono::year{year} / static_cast<int>(month) / static_cast<int>(day)};
}

/// The first way out of that kind, or nothing.
template <class What>
std::optional<What> way(const ways::WaysOut& out) {
    for (const ways::WayOut& one : out.ways)
        if (const auto* what = std::get_if<What>(&one.change)) return *what;
    return std::nullopt;
}

}  // namespace

TEST_CASE("ways out: each really gives a timetable, and no less of it does; the least upset comes first") {
    for (const ImpossiblePlan& row : impossible_plans()) {
        SUBCASE(row.name.c_str()) {
            CAPTURE(row.name);
            const Plan plan = plan_of(row.text);
            const ways::WaysOut out = ways_out_of(plan);
            CHECK_FALSE(out.ways.empty());
            std::size_t kind = 0;
            for (const ways::WayOut& one : out.ways) {
                CAPTURE(one.change.index());
                CHECK(kind <= one.change.index());
                kind = one.change.index();
                CHECK(plan_it(ways::changed(plan, one.change)).schedule.has_value());
                const auto less = a_little_less(one.change);
                if (!less) continue;
                const Outcome outcome = plan_it(ways::changed(plan, *less));
                CHECK_FALSE(outcome.schedule.has_value());
                CHECK(one.least == outcome.infeasible);
            }
        }
    }
}

TEST_CASE("ways out: what the figures say") {
    SUBCASE("3 h from six, and a quarter of an hour besides: a quarter past nine") {
        const auto out = ways_out_of(plan_of(row_named("a pickup too early").text));
        REQUIRE(way<ways::LaterPickup>(out));
        CHECK(way<ways::LaterPickup>(out)->later == Minutes{75});
        CHECK(way<ways::EarlierBeginning>(out)->earlier == Minutes{75});
        CHECK_FALSE(way<ways::AnotherPerson>(out));
        CHECK_FALSE(way<ways::SmallerOrder>(out));  // it takes as long for one
    }
    SUBCASE("2 h of hands before a quarter to noon, from half past ten: three quarters of an hour are missing") {
        const auto out = ways_out_of(plan_of(row_named("hours").text));
        REQUIRE(way<ways::LongerHours>(out));
        CHECK(way<ways::LongerHours>(out)->earlier == Minutes{45});
        CHECK(way<ways::LaterPickup>(out)->later == Minutes{45});
    }
    SUBCASE("loads 20 min apart, iced within 10: load by load, or 10 min more, or what fits into one load") {
        const auto out = ways_out_of(plan_of(row_named("within against loads").text));
        REQUIRE(way<ways::ByLoad>(out));
        CHECK(way<ways::ByLoad>(out)->step == 1);
        REQUIRE(way<ways::EasierPromise>(out));
        CHECK(way<ways::EasierPromise>(out)->by == Minutes{10});
        REQUIRE(way<ways::SmallerOrder>(out));
        CHECK(way<ways::SmallerOrder>(out)->fewer == 6);
        CHECK(way<ways::OneMore>(out));
    }
    SUBCASE("36 by batches of 30, half an hour each by one who comes an hour before: one batch of 36") {
        const auto out = ways_out_of(plan_of(
            "timezone = \"UTC\"\n[kitchen]\ncrew = [{ name = \"Ada\", hours = \"08:00-09:00\" }]\n"
            "[[order]]\nname = \"Hall\"\npickup = 2026-10-03T09:00:00\nmargin = \"15 min\"\nitems = { bun = 36 }\n"
            "[[component]]\nname = \"bun\"\nmakes = 30\nkeeps = \"2 h\"\n"
            "steps = [{ name = \"shape\", takes = \"30 min\", hands = true }]\n"));
        REQUIRE(way<ways::BatchSize>(out));
        CHECK(way<ways::BatchSize>(out)->most == 36);
    }
    SUBCASE("two hours of one mixer in an hour and a half: another, and for how long") {
        const auto out = ways_out_of(plan_of(row_named("one mixer").text));
        const auto more = way<ways::OneMore>(out);
        REQUIRE(more);
        REQUIRE(more->only);
        CHECK(more->only->to - more->only->from == Minutes{60});
        CHECK(way<ways::LaterPickup>(out)->later == Minutes{30});
    }
    SUBCASE("an oven that closes at ten, what keeps an hour, half an hour of baking from a closed door on") {
        const auto out = ways_out_of(plan_of(row_named("keeps too short").text));
        CHECK(way<ways::AnotherOven>(out));
        REQUIRE(way<ways::EasierPromise>(out));
        CHECK(way<ways::EasierPromise>(out)->by == Minutes{60});
    }
    SUBCASE("nobody is there the evening before: an hour of it, when the dough must be set") {
        // 10 h of cold proof between two hours of hands, with one who comes at six for nine
        const auto out = ways_out_of(plan_of(plan_for_one("2026-10-03 06:00-09:00", "2026-10-02T12:00:00", "09:00", R"(
  { name = "mix", takes = "1 h", hands = true },
  { name = "proof", takes = "10 h", keeps = "2 h" },
  { name = "shape", takes = "45 min", hands = true },
)")));
        const auto extra = way<ways::ExtraHours>(out);
        REQUIRE(extra);
        CHECK(extra->only->to - extra->only->from == Minutes{60});
        // proof is ready at eight, or up to two hours before
        CHECK(extra->only->to == day_at(2026, 10, 2) + std::chrono::hours{22});
    }
    SUBCASE("a food-safety rule is never offered to be loosened") {
        const Plan plan = plan_of(plan_for_buns(R"(
[[component]]
name = "bun"
makes = "12 pieces"
steps = [
  { name = "cook", takes = "15 min", hands = true, cooked = true },
  { name = "stand", takes = "5 min", each = "2 min", rest = "70 min" },
  { name = "chill", takes = "1 h", uses = "fridge", chill = true },
]
)"));
        const Expansion expansion = expansion_of(plan);
        const ways::WhyNot why = ways::why_not(plan, expansion);
        REQUIRE(why.proven);
        CHECK(std::any_of(why.conditions.begin(), why.conditions.end(),
                          [](const ways::Condition& one) { return one.kind == ways::Condition::Kind::safety; }));
        for (const ways::WayOut& one : ways::ways_out(plan, expansion, why).ways)
            if (const auto* easier = std::get_if<ways::EasierPromise>(&one.change))
                CHECK(easier->promise.kind == Promise::Kind::rest);
    }
}

TEST_CASE("gains: what is won is that of a checked timetable; where nothing is wanted twice nothing is won") {
    // two doughs an hour each, one mixer, one pickup: with another, both can be mixed at once
    const std::string two = plan_for_buns(R"(
[[order]]
name = "second"
pickup = 2026-10-03T12:00:00
items = { cake = 12 }
[[component]]
name = "bun"
makes = "12 pieces"
steps = [{ name = "mix", takes = "1 h", uses = "mixer", hands = true }]
[[component]]
name = "cake"
makes = "12 pieces"
steps = [{ name = "mix", takes = "1 h", uses = "mixer", hands = true }]
)");
    const Planned day = planned(two);
    REQUIRE(day.timetable);
    const ways::Gains gains = ways::gains(day.plan, day.expansion, day.timetable->goals);
    bool mixer = false;
    for (const ways::Gain& gain : gains.gains) {
        const auto* more = std::get_if<ways::OneMore>(&gain.change);
        if (more == nullptr) continue;
        CHECK(day.plan.kitchen.equipment[more->equipment].kind == EquipmentKind::mixer);
        mixer = true;
        // alarm clock at 10:45 instead of 9:45
        const auto alarm = [](const std::vector<GoalLine>& goals) {
            return std::find_if(goals.begin(), goals.end(), [](const GoalLine& one) { return one.aim == Aim::alarm; })
                ->value;
        };
        CHECK(alarm(gain.goals) - alarm(gains.now) == 60);
    }
    CHECK(mixer);
    CHECK(std::any_of(gains.nothing.begin(), gains.nothing.end(),
                      [](const ways::Change& one) { return std::holds_alternative<ways::AnotherPerson>(one); }));
}
