// How a plan's words about a chill become a time, and what the plan's own time is held against.

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <string>

#include "oventide/chill.hpp"
#include "oventide/plan_file.hpp"
#include "support/planned.hpp"

using namespace oventide;

namespace {

double near(double value, double other) { return std::abs(value - other); }

using Words = std::vector<std::pair<std::string, std::string>>;

Cools cools_of(const Words& words) {
    const CoolsReading reading = read_cools(words, nullptr, nullptr);
    for (const Diagnostic& diagnostic : reading.diagnostics) FAIL_CHECK(diagnostic.message);
    REQUIRE(reading.cools);
    return *reading.cools;
}

chill::Answer answer_of(const Words& words, std::int64_t milligrams = 0, const char* rule = "none", int lines = 0) {
    const auto found = find_safety_rule(rule);
    const auto answer = chill::answer(cools_of(words), milligrams, found ? &*found : nullptr, Minutes{0}, lines);
    REQUIRE(answer);
    return *answer;
}

const std::string kCustardAndBun = R"(
[[component]]
name  = "custard"
makes = "2 kg"
steps = [
  { name = "cook",  takes = "15 min", hands = true, uses = "hob", cooked = true },
  { name = "pour",  takes = "6 min", at_once = true, hands = true },
  { name = "chill", CHILL, keeps = "1 day", uses = "fridge", chill = true },
]
[[component]]
name  = "bun"
makes = 12
steps = [{ name = "fill", takes = "5 min", hands = true, with = { custard = "50 g" } }]
)";

std::string day(const std::string& chill, const std::string& rule = "none") {
    std::string text = "safety = \"" + rule + "\"\n" + test::plan_for_buns(kCustardAndBun);
    return text.replace(text.find("CHILL"), 5, chill);
}

using Kind = chill::Remark::Kind;

std::vector<chill::Remark> remarks_of(const test::Planned& planned) {
    REQUIRE(planned.timetable);
    return chill::remarks(planned.plan, *planned.timetable);
}

}  // namespace

TEST_CASE("chill: the answer is the conduction of cooling.hpp, for the depth, the food and the place that were said") {
    const auto answer = answer_of({{"from", "70 C"}, {"to", "8 C"}, {"depth", "4 cm"}});
    const cooling::Surroundings fridge = *cooling::find_surroundings("fridge");
    const cooling::Material custard = cooling::mixture(cooling::find_food("custard")->composition, 39).material();
    const double seconds = cooling::Conduction(cooling::slab(0.04, fridge.transfer.usual), custard)
                               .seconds_to(4.0 / 66, cooling::Where::centre);
    CHECK(answer.lines.front().takes.likely == Minutes{static_cast<std::int64_t>(std::ceil(seconds / 60))});
    CHECK(near(answer.lines.front().depth, 0.04) < 1e-12);
    CHECK(*answer.lines.front().takes.earliest < *answer.lines.front().takes.likely);
    CHECK(*answer.lines.front().takes.likely < *answer.lines.front().takes.latest);
}

TEST_CASE("chill: stirred food follows Newton's law") {
    // rho c d / 2h ln(50 / 10), both sides free: arithmetic.
    const auto answer = answer_of({{"from", "60 C"},
                                   {"to", "20 C"},
                                   {"depth", "40 mm"},
                                   {"food", "water"},
                                   {"stirred", "true"},
                                   {"air", "10 C"},
                                   {"transfer", "10 W/m2K"}});
    CHECK(answer.lines.front().even);
    const double seconds = 992.2 * 4179 * 0.04 / (2 * 10.0) * std::log(50.0 / 10);  // water at 40 C (CRC, from memory)
    CHECK(near(static_cast<double>(answer.lines.front().takes.likely->count()) * 60, seconds) < 0.01 * seconds);
}

TEST_CASE("chill: one figure for the air is trusted to a degree, three as they are") {
    const auto one = answer_of({{"from", "60 C"}, {"to", "8 C"}, {"depth", "3 cm"}, {"air", "3 C"}});
    CHECK(one.basis.where.celsius.low == 2);
    CHECK(one.basis.where.celsius.high == 4);
    const auto measured = answer_of({{"from", "60 C"}, {"to", "8 C"}, {"depth", "3 cm"}, {"transfer", "20 W/m2K"}});
    CHECK(measured.basis.where.transfer.low == 16);
    CHECK(measured.basis.where.transfer.high == 24);
    const auto fahrenheit = answer_of({{"from", "140 F"}, {"to", "46.4 F"}, {"depth", "3 cm"}, {"air", "37.4 F"}});
    CHECK(fahrenheit.lines.front().takes.likely == one.lines.front().takes.likely);
}

TEST_CASE("chill: the depth follows from the weight and the floor, and from how many vessels it is spread over") {
    const Words pot{{"from", "70 C"}, {"to", "10 C"}, {"in", "pot"}, {"across", "20 cm"}, {"food", "water"}};
    const auto one = answer_of(pot, 3'141'593, "none", 2);
    // 3.14 l over 314 cm2 of floor: 10 cm, less what water is denser or lighter than 1 kg/l.
    CHECK(near(one.lines.front().depth, 0.1) < 0.001);
    REQUIRE(one.lines.size() == 3);
    CHECK(near(one.lines[1].depth * 2, one.lines[0].depth) < 1e-12);
    CHECK(*one.lines[1].takes.likely < *one.lines[0].takes.likely);

    Words two = pot;
    two.emplace_back("over", "2");
    const auto spread = answer_of(two, 3'141'593, "none", 1);
    CHECK(spread.lines.front().vessels == 2);
    CHECK(spread.lines.front().takes.likely == one.lines[1].takes.likely);
    CHECK(spread.lines.back().vessels == 3);
    CHECK(spread.lines.back().takes.likely == one.lines[2].takes.likely);
    CHECK_FALSE(chill::answer(cools_of(pot), 0, nullptr, Minutes{0}, 0));
}

TEST_CASE("chill: parts by weight are a named food's when they are its own") {
    const auto named = answer_of({{"from", "60 C"}, {"to", "8 C"}, {"depth", "3 cm"}, {"food", "milk"}});
    const std::string step = R"(takes = "2 h", cools = { from = "60 C", to = "8 C", depth = "3 cm", where = "fridge",)"
                             R"( food = { water = 877, protein = 33, fat = 36, carbohydrate = 47, ash = 7 } })";
    const Plan plan = test::plan_of(day(step));
    const auto parts = chill::answer(*plan.components[0].steps[2].cools, 0, nullptr, Minutes{0}, 0);
    REQUIRE(parts);
    CHECK(parts->lines.front().takes.likely == named.lines.front().takes.likely);
    CHECK(parts->lines.front().takes.latest == named.lines.front().takes.latest);
}

TEST_CASE("chill: where the surroundings are not cold enough there is no time, and where they may not be no latest") {
    const auto bench = answer_of({{"from", "60 C"}, {"to", "8 C"}, {"depth", "3 cm"}, {"where", "bench"}});
    CHECK_FALSE(bench.lines.front().takes.likely);
    const auto barely = answer_of({{"from", "60 C"}, {"to", "5 C"}, {"depth", "3 cm"}});  // a fridge has 2 to 6 C
    CHECK(barely.lines.front().takes.likely);
    CHECK_FALSE(barely.lines.front().takes.latest);
}

TEST_CASE("chill: the stages of the Food Code on both sides of the time constant at which they bind") {
    // Newton's law in 3 C from 57 C: both stages bind at 2 / ln 3 = 1.820478 h (FDA Food Code 3-501.14(A), arithmetic).
    // Stirred water: time constant = rho c d / 2h, so the depth that binds follows.
    const auto stages_at = [](const std::string& depth) {
        return answer_of({{"from", "57 C"},
                          {"to", "5 C"},
                          {"depth", depth},
                          {"food", "water"},
                          {"stirred", "true"},
                          {"air", "3 C"},
                          {"transfer", "20 W/m2K"}},
                         0, "us-food-code")
            .stages;
    };
    // 6554 s = rho c d / 40 with 4.15e6 J/m3K: 63 mm; properties move by 1 % between the stages' temperatures.
    const auto thin = stages_at("61 mm"), thick = stages_at("65 mm");
    REQUIRE(thin.size() == 2);
    CHECK(thin[0].text == "57 C to 21 C within 2 h");
    CHECK(thin[0].likely_kept);
    CHECK(thin[1].likely_kept);
    CHECK_FALSE(thin[0].surely_kept);  // a fifth less heat taken is too slow
    CHECK_FALSE(thick[0].likely_kept);
    CHECK_FALSE(thick[1].likely_kept);
    CHECK(near(*thin[0].due, 120) < 1e-9);
    CHECK(near(*thin[1].due, 360) < 1e-9);
    CHECK(stages_at("20 mm")[0].surely_kept);
}

TEST_CASE("chill: remarks where what the plan gives is far from what is worked out, and none where it is not") {
    const std::string cools = R"(, cools = { from = "80 C", to = "10 C", depth = "3 cm" })";
    const auto likely = answer_of({{"from", "80 C"}, {"to", "10 C"}, {"depth", "3 cm"}}).lines.front().takes;
    struct Row {
        std::string name;
        Minutes takes;
        std::vector<Kind> expected;
    };
    const std::vector<Row> rows = {
        {"an hour", Minutes{60}, {Kind::too_short}},
        {"a minute short of likely", *likely.likely - Minutes{1}, {Kind::too_short}},
        {"as likely", *likely.likely, {}},
        {"the latest", *likely.latest, {}},
        {"three times as long", 3 * *likely.likely, {Kind::too_long}},
    };
    for (const Row& row : rows) {
        CAPTURE(row.name);
        const auto planned = test::planned(day("takes = \"" + std::to_string(row.takes.count()) + " min\"" + cools));
        const auto remarks = remarks_of(planned);
        std::vector<Kind> kinds;
        for (const auto& remark : remarks) kinds.push_back(remark.kind);
        CHECK(kinds == row.expected);
        if (!remarks.empty()) CHECK(remarks.front().planned == row.takes);
    }
}

TEST_CASE("chill: the stay that is told is that of the first to leave") {
    std::string text = day(R"(takes = "1 h", cools = { from = "80 C", to = "10 C", depth = "3 cm" })");
    text += "[[order]]\nname = \"evening\"\npickup = 2026-10-03T19:00:00\nitems = { bun = 12 }\n";
    const auto planned = test::planned(text);
    const auto remarks = remarks_of(planned);
    REQUIRE(remarks.size() == 1);
    const Row& chill = planned.timetable->rows[remarks[0].row];
    Instant first = Instant::max();
    for (const Row& row : planned.timetable->rows)
        if (row.component != chill.component) first = std::min(first, row.start);
    CHECK(remarks[0].cold == first - chill.start);
    CHECK(remarks[0].cold < chill.end - chill.start);
}

TEST_CASE("chill: remarks on a chill that never gets there, and on one without a depth") {
    const auto kinds = [](const std::string& chill) {
        std::vector<Kind> found;
        for (const auto& remark : remarks_of(test::planned(day(chill)))) found.push_back(remark.kind);
        return found;
    };
    CHECK(kinds(R"(takes = "2 h", cools = { from = "80 C", to = "10 C", depth = "3 cm", where = "bench" })") ==
          std::vector{Kind::never});
    CHECK(kinds(R"(takes = "2 h", cools = { from = "80 C", to = "10 C" })") == std::vector{Kind::unknown});
    CHECK(kinds(R"(takes = "2 h")").empty());
}

TEST_CASE("chill: the rule's stages in a timetable are counted from when the food was cooked") {
    const auto planned =
        test::planned(day(R"(takes = "6 h", cools = { from = "80 C", to = "8 C", depth = "3 cm" })", "us-food-code"));
    const auto& rows = planned.timetable->rows;
    auto remarks = remarks_of(planned);
    std::erase_if(remarks, [](const chill::Remark& remark) { return remark.kind != Kind::stage; });
    REQUIRE(remarks.size() == 2);
    const auto row = std::find_if(rows.begin(), rows.end(), [](const Row& r) { return r.id == "custard.1.chill"; });
    const auto cook = std::find_if(rows.begin(), rows.end(), [](const Row& r) { return r.id == "custard.1.cook"; });
    CHECK(chill::cooked_at(planned.plan, *planned.timetable, *row) == cook->ready);

    // The clock runs from 57 C, which the food passes in the chill; until then it is taken to be as warm as it went in.
    const auto fall = answer_of({{"from", "80 C"}, {"to", "57 C"}, {"depth", "3 cm"}, {"where", "fridge"}});
    const Minutes passed = *remarks[0].due - row->start - Minutes{120};
    CHECK(passed >= *fall.lines.front().takes.likely - Minutes{15});
    CHECK(passed <= *fall.lines.front().takes.likely + Minutes{15});
    CHECK(*remarks[1].due - *remarks[0].due == Minutes{240});
    CHECK_FALSE(remarks[0].likely_kept);  // three centimetres in still air of 4 C

    const auto cold = test::planned(
        day(R"(takes = "6 h", cools = { from = "80 C", to = "8 C", depth = "1 cm", where = "blast chiller" })",
            "us-food-code"));
    int stages = 0;
    for (const auto& remark : remarks_of(cold)) {
        if (remark.kind != Kind::stage) continue;
        CHECK(remark.surely_kept);
        ++stages;
    }
    CHECK(stages == 2);
}

TEST_CASE("chill: food that was never cooked has no stages") {
    std::string text = day(R"(takes = "6 h", cools = { from = "80 C", to = "8 C", depth = "3 cm" })", "us-food-code");
    text.replace(text.find(", cooked = true"), 15, "");
    for (const auto& remark : remarks_of(test::planned(text))) CHECK(remark.kind != Kind::stage);
}

TEST_CASE("chill: what is believed before a probe is read, by the container or else by the plan's own time") {
    const auto belief_of = [](const std::string& chill) {
        const Plan plan = test::plan_of(day(chill));
        return chill::belief(plan.components[0].steps[2], 0);
    };
    const auto own = belief_of(R"(takes = ["2 h", "3 h", "4 h"], cools = { from = "80 C", to = "10 C" })");
    REQUIRE(own);
    CHECK(near(own->f, 3 * 3600 / std::log10(own->j * 76 / 6)) < 1);
    const auto deep = belief_of(R"(takes = "3 h", cools = { from = "80 C", to = "10 C", depth = "6 cm" })");
    const auto shallow = belief_of(R"(takes = "3 h", cools = { from = "80 C", to = "10 C", depth = "2 cm" })");
    REQUIRE(deep);
    REQUIRE(shallow);
    CHECK(deep->f > 3 * shallow->f);
    const auto stirred =
        belief_of(R"(takes = "3 h", cools = { from = "80 C", to = "10 C", depth = "6 cm", stirred = true })");
    CHECK(stirred->j == 1);
    CHECK(stirred->f < deep->f);
    CHECK_FALSE(belief_of(R"(takes = "3 h")"));
}
