/// plans/json.md against what is printed: every field that is printed is documented, with its type; every field
/// that is documented is printed.

#include <doctest/doctest.h>

#include <map>
#include <nlohmann/json.hpp>
#include <set>
#include <sstream>
#include <string>

#include "oventide/report.hpp"
#include "support/planned.hpp"

using namespace oventide;
using namespace oventide::test;
using nlohmann::ordered_json;

namespace {

using Fields = std::map<std::string, std::string>;  ///< path to type

/// The tables of plans/json.md by the heading that they stand under.
std::map<std::string, Fields> documented() {
    std::map<std::string, Fields> reports;
    std::istringstream page(project_file("plans/json.md"));
    std::string heading;
    for (std::string line; std::getline(page, line);) {
        if (line.starts_with("## ")) heading = line.substr(3);
        if (!line.starts_with("| `")) continue;
        const auto end = line.find("` | ", 3);
        const auto type = end + 4;
        reports[heading][line.substr(3, end - 3)] = line.substr(type, line.find(" |", type) - type);
    }
    return reports;
}

bool is_time(const ordered_json& value) {
    return value.is_object() && value.size() == 2 && value.contains("at") && value["at"].is_string() &&
           value.contains("minutes") && value["minutes"].is_number_integer();
}

bool is_amount(const ordered_json& value) {
    return value.is_object() && value.size() == 2 && value.contains("count") && value["count"].is_number_integer() &&
           value.contains("unit") && (value["unit"] == "pieces" || value["unit"] == "mg");
}

bool is_quantity(const ordered_json& value) {
    return value.is_object() && value.size() == 2 && value.contains("count") && value["count"].is_number_integer() &&
           value.contains("unit") && (value["unit"] == "mg" || value["unit"] == "ul" || value["unit"] == "millipieces");
}

bool is_place(const ordered_json& value) {
    return value.is_object() && value.size() == 3 && value.contains("file") && value["file"].is_string() &&
           value.contains("line") && value["line"].is_number_integer() && value.contains("column") &&
           value["column"].is_number_integer();
}

bool is_of(const std::string& type, const ordered_json& value) {
    if (type.ends_with(" or null")) return value.is_null() || is_of(type.substr(0, type.size() - 8), value);
    if (type == "whole number") return value.is_number_integer();
    if (type == "number") return value.is_number();
    if (type == "text") return value.is_string();
    if (type == "yes/no") return value.is_boolean();
    if (type == "list") return value.is_array();
    if (type == "object") return value.is_object();
    if (type == "time") return is_time(value);
    if (type == "amount") return is_amount(value);
    if (type == "quantity") return is_quantity(value);
    if (type == "place") return is_place(value);
    if (type != "list of text" || !value.is_array()) return false;
    for (const ordered_json& element : value)
        if (!element.is_string()) return false;
    return true;
}

/// What may be null or empty must still have been seen with something in it once.
class Inspection {
public:
    Inspection(std::string report, Fields fields) : report_(std::move(report)), fields_(std::move(fields)) {}

    void look_at(const std::string& text) {
        const ordered_json json = ordered_json::parse(text);
        CHECK(json["report"] == report_);
        CHECK(json["format"] == 1);
        object("", json);
    }

    void everything_was_seen() const {
        for (const auto& [path, type] : fields_) {
            CAPTURE(path);
            CHECK(seen_.contains(path));
        }
    }

private:
    void object(const std::string& prefix, const ordered_json& json) {
        std::set<std::string> there;
        for (const auto& [name, value] : json.items()) {
            const std::string path = prefix + name;
            there.insert(path);
            CAPTURE(path);
            const auto field = fields_.find(path);
            REQUIRE(field != fields_.end());
            CHECK(is_of(field->second, value));
            if (!value.is_null()) seen_.insert(path);
            if (field->second.starts_with("object") && value.is_object()) object(path + ".", value);
            if (field->second == "list")
                for (const ordered_json& element : value) object(path + "[].", element);
        }
        for (const auto& [path, type] : fields_) {
            const bool here = path.starts_with(prefix) && path.find('.', prefix.size()) == std::string::npos;
            CAPTURE(path);
            if (here) CHECK(there.contains(path));
        }
    }

    std::string report_;
    Fields fields_;
    std::set<std::string> seen_;
};

Inspection inspection(const std::string& report) {
    const auto all = documented();
    REQUIRE(all.contains(report));
    return {report, all.at(report)};
}

/// Two components, one going into the other, a cooked step, a bake, washing: something in every field.
const char* const kFull = R"(
[[component]]
name  = "filling"
makes = "1 kg"
steps = [
  { name = "cook",  takes = "15 min", hands = true, uses = "hob", cooked = true },
  { name = "chill", takes = "1 h", keeps = "5 h", uses = "fridge", chill = true, cools = { from = "80 C", to = "8 C", depth = "2 cm" } },
]
[[component]]
name  = "bun"
makes = "12 pieces"
best_within = "2 h"
steps = [
  { name = "mix",  takes = "10 min", hands = true, uses = "mixer", wash = "5 min" },
  { name = "bake", oven = ["200 C 15 min", "off 5 min"], door_shut = "10 min", tray = 6, hands = { first = "2 min", last = "1 min" } },
  { name = "fill", takes = "10 min", hands = true, with = { filling = "30 g" } },
]
[[component]]
name  = "cake"
makes = "12 pieces"
steps = [
  { name = "mix",  takes = "10 min", hands = true, uses = "mixer", wash = "5 min" },
  { name = "bake", takes = "40 min", oven = "160 C", tray = 12, hands = { first = "2 min", last = "1 min" } },
  { name = "cool", takes = "5 min" },
]
)";

std::string full_plan() {
    std::string text = plan_for_buns(kFull);
    text.insert(0, "safety = \"us-food-code\"\n");
    return text.replace(text.find("[[component]]"), 0,
                        "[[order]]\nname = \"second\"\npickup = 2026-10-03T12:00:00\nitems = { cake = 12 }\n");
}

/// The same, as of some minute.
report::Subject as_it_stands(const Planned& day, replan::Situation& situation) {
    situation.now = day.timetable->rows.front().start;
    report::Subject subject = day.subject();
    subject.day = &situation;
    return subject;
}

}  // namespace

TEST_CASE("json: the timetable, the clashes and the checklist are as documented") {
    const Planned day = planned(full_plan());
    REQUIRE(day.timetable);

    Inspection timetable = inspection("timetable");
    timetable.look_at(report::timetable_json(day.subject()));
    // Best for a minute, the one used after five, the other collected after the margin.
    std::string stale = full_plan();
    stale.replace(stale.find("filling = \"30 g\""), 16, "filling = { each = \"30 g\", rest = \"5 min\" }");
    stale.replace(stale.find("makes = \"1 kg\""), 14, "makes = \"1 kg\"\nbest_within = \"1 min\"");
    stale.replace(stale.find("best_within = \"2 h\""), 19, "best_within = \"1 min\"");
    const Planned past_best = planned(stale);
    REQUIRE(past_best.timetable);
    timetable.look_at(report::timetable_json(past_best.subject()));
    replan::Situation situation;
    timetable.look_at(report::timetable_json(as_it_stands(day, situation)));
    report::Subject broken = as_it_stands(day, situation);
    const replan::OpenDay open{
        *day.timetable, {{0, 0, true}}, std::vector<std::optional<EquipmentIndex>>(day.plan.orders.size(), 0)};
    broken.open = &open;
    timetable.look_at(report::timetable_json(broken));
    timetable.everything_was_seen();

    const auto clashes = day.clashes();
    REQUIRE_FALSE(clashes.empty());
    Inspection overlay = inspection("clashes");
    overlay.look_at(report::clashes_json(day.subject(), clashes));
    overlay.everything_was_seen();

    Inspection checklist = inspection("checklist");
    checklist.look_at(report::checklist_json(day.subject()));
    checklist.look_at(report::checklist_json(as_it_stands(day, situation)));
    checklist.everything_was_seen();
}

TEST_CASE("json: weighing, shopping and allergens are as documented") {
    const Planned day = planned(R"(
timezone = "UTC"
[larder]
flour = { flour = true, allergens = "wheat", pack = "1 kg", have = "200 g" }
rye   = { flour = true, allergens = ["rye"] }
sugar = {}
milk  = { density = "1.03 kg/l" }
[kitchen]
crew = [{ name = "Ada", hours = "05:00-20:00" }]
[[order]]
name   = "one"
pickup = 2026-10-03T12:00:00
items  = { bun = 12 }
[[component]]
name  = "glaze"
makes = "1 kg"
steps = [{ name = "cook", takes = "5 min", hands = true }]
[[component]]
name  = "case"
makes = 12
loss  = "10 %"
ingredients = { flour = "500 g", rye = "100 g", sugar = "100 g", milk = "100 ml" }
steps = [{ name = "mix", takes = "5 min", hands = true }]
[[component]]
name  = "bun"
makes = 12
ingredients = { sugar = "12 g" }
steps = [{ name = "fill", takes = "5 min", hands = true, with = { case = 1, glaze = "10 g" } }]
)");
    REQUIRE(day.timetable);
    Inspection weighed = inspection("weigh");
    weighed.look_at(report::weigh_json(day.subject()));
    replan::Situation situation;
    weighed.look_at(report::weigh_json(as_it_stands(day, situation)));
    weighed.everything_was_seen();
    Inspection shopped = inspection("shop");
    shopped.look_at(report::shop_json(day.subject()));
    shopped.everything_was_seen();
    Inspection told = inspection("allergens");
    told.look_at(report::allergens_json(day.subject()));
    Planned abroad = day;
    abroad.plan.allergen_list = AllergenList::us;
    told.look_at(report::allergens_json(abroad.subject()));
    told.everything_was_seen();
}

TEST_CASE("json: no timetable is as documented") {
    Planned day = planned(full_plan());
    day.timetable.reset();
    const auto& promises = day.expansion.promises;
    REQUIRE_FALSE(promises.empty());
    ActivityId due = 0;
    while (day.expansion.project.activities[due].due_promise == kNoPromise) ++due;
    day.outcome.obstacles = {{due, 10, 20, Obstacle::Cause::resource, 0, {0, 1}}};
    day.outcome.contradiction = {{0, 1, -5, 0}, {1, 0, 10, kNoPromise}};
    const ways::WhyNot why{true, {ways::conditions_of(day.plan, day.expansion).front()}, {true}, {}};
    report::Subject subject = day.subject();
    subject.why = &why;
    Inspection none = inspection("no timetable");
    none.look_at(report::timetable_json(subject));
    none.look_at(report::timetable_json(day.subject()));
    none.look_at(report::checklist_json(day.subject()));
    none.look_at(report::weigh_json(day.subject()));
    none.look_at(report::shop_json(day.subject()));
    none.everything_was_seen();
}

TEST_CASE("json: ways out and gains are as documented") {
    const Planned day = planned(full_plan());
    const Instant noon = day.plan.orders.front().pickup;
    const std::vector<ways::Change> all{
        ways::LongerHours{0, 0, Minutes{5}, {}},
        ways::LaterPickup{0, Minutes{5}},
        ways::ExtraHours{0, Span{noon, noon + Minutes{60}}},
        ways::EarlierBeginning{Minutes{5}},
        ways::AnotherPerson{Span{noon, noon + Minutes{60}}},
        ways::OneMore{0, {}},
        ways::AnotherOven{0, {}},
        ways::EasierPromise{day.expansion.promises.front(), Minutes{5}},
        ways::ByLoad{0, 0},
        ways::BatchSize{0, 12},
        ways::UsualTimes{},
        ways::SmallerOrder{0, 0, 2},
    };
    const ways::WhyNot why{true, {ways::conditions_of(day.plan, day.expansion).front()}, {true}, {}};
    ways::WaysOut out;
    ways::Gains gains;
    gains.now = day.timetable->goals;
    for (const ways::Change& change : all) {
        out.ways.push_back({change, true, noon});
        gains.gains.push_back({change, gains.now});
    }
    out.undecided = gains.nothing = all;
    Inspection ways_out = inspection("ways out");
    ways_out.look_at(report::ways_json(day.subject(), why, out));
    ways_out.everything_was_seen();
    Inspection won = inspection("gains");
    won.look_at(report::gains_json(day.subject(), gains));
    won.everything_was_seen();
}

TEST_CASE("json: chills are as documented") {
    report::ChillQuestions questions;
    questions.rule = find_safety_rule("us-food-code");
    report::ChillQuestion asked;
    asked.name = "filling.chill";
    asked.cools = *read_cools({{"from", "80 C"}, {"to", "8 C"}, {"depth", "2 cm"}}, nullptr, nullptr).cools;
    asked.milligrams = 1'000'000;
    asked.planned = Minutes{60};
    asked.answer = chill::answer(asked.cools, asked.milligrams, &*questions.rule, Minutes{0}, 2);
    questions.asked.push_back(asked);
    asked.answer.reset();
    questions.asked.push_back(asked);
    Inspection inspected = inspection("chill");
    inspected.look_at(report::chill_json(questions));
    inspected.everything_was_seen();
}

TEST_CASE("json: diagnostics are as documented") {
    const PlanReading reading = parse_plan("title = 3\nnonsense = true\n", "plan.toml", reader_of({}));
    auto diagnostics = reading.diagnostics;
    REQUIRE_FALSE(diagnostics.empty());
    diagnostics.front().notes.push_back({diagnostics.front().place, "seen here"});
    Inspection inspected = inspection("diagnostics");
    inspected.look_at(report::diagnostics_json(diagnostics, reading.sources));
    inspected.everything_was_seen();
}

TEST_CASE("json: times are the same minute twice, names survive, bytes that are no UTF-8 do no harm") {
    Planned day = planned(full_plan());
    day.plan.title = "a \"quoted\" \xff title\n";
    const auto json = ordered_json::parse(report::timetable_json(day.subject()));
    CHECK(json["title"] == "a \"quoted\" \uFFFD title\n");
    for (const auto& step : json["steps"]) {
        const Instant at{Minutes{step["start"]["minutes"].get<std::int64_t>()}};
        CHECK(step["start"]["at"] == clock::iso_text(day.zone, at));
    }
    std::set<std::string> ids;
    for (const auto& step : json["steps"]) CHECK(ids.insert(step["id"].get<std::string>()).second);
}

TEST_CASE("json: a replanned day is as documented") {
    const Planned day = planned(full_plan());
    REQUIRE(day.timetable);
    journal::Journal journal{"UTC", {}, {}};
    const auto note = [&](journal::Event event) {
        journal.entries.push_back({static_cast<std::int32_t>(journal.entries.size()) + 1, {}, std::move(event)});
    };
    note(journal::publication(day.plan, *day.timetable, "0"));
    const Row& first = day.timetable->rows.front();
    note(journal::Started{first.id, first.start});
    note(journal::WillEnd{first.id, first.ready + Minutes{90}});
    note(journal::Broken{"blender", first.start, std::nullopt});
    auto situation = replan::situation(day.plan, day.expansion, journal, first.start + Minutes{1});
    replan::Replanned result = replan::replan(day.plan, day.expansion, journal, situation, {8, 60, 200, 10, 1});
    REQUIRE(result.timetable);
    REQUIRE(result.pickups.front().last);
    // One of each, whether or not this day has it.
    const ActivityId step = *result.pickups.front().last;
    result.pickups.front().held_up.push_back({replan::HoldUp::Cause::busy, step, step, 0});
    result.ways.push_back({replan::WayOut::Kind::leave_out, 0, {{0, Minutes{5}}}});
    const replan::Need longer{replan::Need::Kind::stays, 0, first.ready, first.start};
    result.ways.push_back({replan::WayOut::Kind::hours, 0, {}, {longer}, true});
    result.ways.push_back({replan::WayOut::Kind::spread, step, {}, {}, false, 5'000, 2, first.start, first.ready});
    result.fresher.push_back({0, 0, first.start, Minutes{45}});
    result.gave_way.push_back({0, 0, first.ready, Minutes{20}});
    result.over_night.push_back({step, first.ready, first.ready + Minutes{600}});
    result.longer.push_back({0, first.start, first.ready});
    const auto with_best =
        std::ranges::find_if(day.plan.components, [](const Component& one) { return one.best_within.has_value(); });
    REQUIRE(with_best != day.plan.components.end());
    const auto best = static_cast<ComponentIndex>(with_best - day.plan.components.begin());
    result.timetable->past_best.push_back({best, 1, 1, first.start, first.ready, 0, -1});
    result.hands_on.push_back({0, step, {first.start, first.ready}});
    result.timetable->rows.back().hands.push_back({0, {first.ready, first.ready + Minutes{300}}, true});
    result.free.push_back({0, first.ready});
    for (const auto& instead : {std::optional<Instant>{}, std::optional<Instant>{first.ready}})
        result.needs.push_back({replan::Need::Kind::stays, 0, first.ready, instead});
    result.later.push_back({first.ready, Minutes{5}, Minutes{0}});
    result.standstill.push_back({step, 0, first.ready, "bun / fill keeps 1 h"});
    result.may_begin.push_back(step);
    result.earliest.push_back({0, first.ready});
    for (const std::optional<Instant> not_before : {std::optional(first.ready), std::optional<Instant>()})
        result.fewer.push_back({"Ladder Street", 0, 24, 12, not_before});
    situation.questions.push_back(
        {replan::Question::Kind::needs_open, step, step, first.start, first.ready, 0, std::nullopt});
    situation.questions.push_back({replan::Question::Kind::too_hot, step, {}, first.start, {}, 200'000, 3});
    situation.questions.push_back(
        {replan::Question::Kind::other_heat, step, step, first.start, first.ready, 200'000, 3, 180'000, 0});
    result.turns.push_back({1, 180'000, first.start, first.ready});
    result.washing.push_back({step, 0, first.start, first.ready});
    situation.idle.push_back({0, {first.start, first.ready}, {first.start, first.ready}, 4});
    situation.interruptions.push_back({step, 0, {first.start, first.ready}, false, false, Minutes{3}, 2});
    situation.interruptions.push_back({step, 0, {first.start, first.ready}, true, true, Minutes{0}, std::nullopt});
    result.broken.push_back({step, "bun / fill keeps 1 h", Minutes{3}});
    Inspection replanned = inspection("replan");
    report::ChillUnderWay chill{step, {{first.start, 61.0}}, chill::Running{}, {}};
    chill.running->earliest = chill.running->likely = chill.running->latest = first.ready;
    chill.running->doubted = {0};
    chill.limits = {{"57 C to 21 C within 2 h", Standing::will_break, first.ready, first.ready}};
    chill.late_if_latest = {{0, Minutes{5}}};
    replanned.look_at(report::replan_json({day.expansion, day.zone, situation, result, {chill}}));
    replanned.everything_was_seen();
}
