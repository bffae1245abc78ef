#include "oventide/watch.hpp"

#include <doctest/doctest.h>

#include <cmath>
#include <numbers>
#include <string>
#include <vector>

using namespace oventide;

namespace {

const SafetyRule& rule(std::string_view key) {
    for (const SafetyRule& candidate : safety_rules()) {
        if (candidate.key == key) return candidate;
    }
    FAIL("no such rule");
    return safety_rules().front();
}

std::vector<Standing> standings(const std::vector<LimitWatch>& limits) {
    std::vector<Standing> result;
    for (const LimitWatch& limit : limits) result.push_back(limit.standing);
    return result;
}

Course measured(std::vector<Measured> readings, double now) { return {std::move(readings), std::nullopt, 0.0, now}; }

double near(double value, double other) { return std::abs(value - other); }

}  // namespace

TEST_CASE("watch: the time constant on which both stages of the Food Code bind") {
    // Newton cooling in surroundings of 3 C: 57 to 21 takes tau ln 3, 57 to 5 three times that, so both limits bind at
    // tau = 2 / ln 3 = 1.820478 h (arithmetic on FDA Food Code 3-501.14(A)).
    const double binding = 2 / std::log(3.0);  // hours
    CHECK(near(binding, 1.820478) < 5e-7);
    const auto limits_at = [&](double hours) {
        Course course = measured({{0, 57}}, 0);
        course.ahead = Ahead{3, hours * 60 * std::numbers::ln10};
        return watch(rule("us-food-code"), Duty::cooling, course);
    };
    const double hair = 1e-6;
    using enum Standing;
    CHECK(standings(limits_at(binding * (1 - hair))) == std::vector{on_course, on_course});
    CHECK(standings(limits_at(binding * (1 + hair))) == std::vector{will_break, will_break});
    const auto limits = limits_at(binding * (1 - hair));
    CHECK(near(*limits[0].happens, 120) < 1e-3);
    CHECK(near(*limits[1].happens, 360) < 1e-3);
    CHECK(*limits[0].due == 120);
    CHECK(*limits[1].due == 360);
    CHECK(limits[0].text == "57 C to 21 C within 2 h");
    CHECK(limits[1].text == "57 C to 5 C within 6 h");
}

TEST_CASE("watch: readings against the stages") {
    using enum Standing;
    struct Row {
        std::string name;
        std::string rule;
        Course course;
        std::vector<Standing> expected;
    };
    const std::vector<Row> rows = {
        {"both met", "us-food-code", measured({{0, 80}, {10, 57}, {100, 20}, {300, 4}}, 310), {met, met, met}},
        {"first broken: still warm when due", "us-food-code", measured({{0, 57}, {125, 25}}, 130), {broken, open}},
        {"not yet due", "us-food-code", measured({{0, 57}, {60, 40}}, 70), {open, open}},
        {"due, no reading tells", "us-food-code", measured({{0, 57}, {100, 24}}, 130), {unrecorded, open}},
        {"between the readings, it may have been late",
         "us-food-code",
         measured({{0, 57}, {110, 24}, {140, 20}}, 140),
         {unrecorded, open}},
        {"between the readings, even the straight line is in time",
         "us-food-code",
         measured({{0, 57}, {100, 30}, {125, 10}}, 130),
         {met, open}},
        {"counted from the last reading above",
         "us-food-code",
         measured({{0, 90}, {30, 60}, {60, 40}, {149, 21}}, 150),
         {met, open}},
        {"too late, so counted",
         "us-food-code",
         measured({{0, 90}, {30, 60}, {60, 40}, {151, 22}}, 151),
         {broken, open}},
        {"the further four hours count from 21",
         "australia-nz",
         measured({{0, 60}, {90, 21}, {329, 5}}, 330),
         {met, met}},
        {"and are over", "australia-nz", measured({{0, 60}, {90, 21}, {331, 6}}, 331), {met, broken}},
        {"still above 21: the second does not count yet",
         "australia-nz",
         measured({{0, 60}, {90, 30}}, 95),
         {open, open}},
        {"in under two hours means under", "france", measured({{0, 63}, {120, 10}}, 120), {unrecorded}},
        {"just under", "france", measured({{0, 63}, {119, 10}}, 120), {met}},
        {"from the end of cooking", "ireland", measured({{20, 80}, {150, 3}}, 150), {met, met}},
        {"a reading after it is too warm", "ireland", measured({{20, 80}, {150, 4}}, 150), {broken}},
    };
    for (const Row& row : rows) {
        CAPTURE(row.name);
        CHECK(standings(watch(rule(row.rule), Duty::cooling, row.course)) == row.expected);
    }
}

TEST_CASE("watch: food that was never read above the first temperature counts from the end of cooking") {
    const auto limits = watch(rule("us-food-code"), Duty::cooling, measured({{30, 50}}, 40));
    CHECK(*limits[0].counted_from == 0);
    CHECK(*limits[0].due == 120);
}

TEST_CASE("watch: food that is warmer still has no deadline yet") {
    const auto limits = watch(rule("us-food-code"), Duty::cooling, measured({{0, 95}, {10, 88}}, 12));
    CHECK_FALSE(limits[0].due);
    CHECK(limits[0].standing == Standing::open);
    Course course = measured({{0, 95}, {10, 88}}, 12);
    course.ahead = Ahead{4, 200};
    const auto ahead = watch(rule("us-food-code"), Duty::cooling, course);
    const double crossing = 10 + 200 * std::log10(84.0 / 53);
    CHECK(near(*ahead[0].counted_from, crossing) < 1e-9);
    CHECK(near(*ahead[0].happens, 10 + 200 * std::log10(84.0 / 17)) < 1e-9);
}

TEST_CASE("watch: a forecast that never gets there") {
    Course course = measured({{0, 57}, {30, 40}}, 31);
    course.ahead = Ahead{22, 60};  // a warm bench
    CHECK(watch(rule("us-food-code"), Duty::cooling, course)[0].standing == Standing::will_break);
}

TEST_CASE("watch: when the chill begins") {
    using enum Standing;
    struct Row {
        std::string rule;
        std::optional<double> began;
        double now;
        Standing expected;
        double due;
    };
    for (const Row& row : std::vector<Row>{{"90-minutes", std::nullopt, 60, open, 90},
                                           {"90-minutes", std::nullopt, 90, open, 90},
                                           {"90-minutes", std::nullopt, 91, broken, 90},
                                           {"90-minutes", 90.0, 200, met, 90},
                                           {"90-minutes", 95.0, 200, broken, 90},
                                           {"30-minutes", 31.0, 40, broken, 30},
                                           {"uk-8-degrees", 31.0, 40, met, 240}}) {
        Course course;
        course.chill_began = row.began;
        course.now = row.now;
        const auto limits = watch(rule(row.rule), Duty::cooling, course);
        REQUIRE(limits.size() == 1);
        CHECK(limits[0].kind == LimitWatch::Kind::chill_start);
        CHECK(limits[0].standing == row.expected);
        CHECK(*limits[0].due == row.due);
    }
}

TEST_CASE("watch: holding, and a tolerance that is used once") {
    using enum Standing;
    struct Row {
        std::string name;
        std::string rule;
        Duty duty;
        Course course;
        Standing expected;
        std::optional<double> due;
    };
    const std::vector<Row> rows = {
        {"cold throughout", "uk-8-degrees", Duty::held_cold, measured({{0, 4}, {60, 8}}, 61), met, {}},
        {"nothing read", "uk-8-degrees", Duty::held_cold, measured({}, 61), open, {}},
        {"out since the last reading within", "uk-8-degrees", Duty::held_cold, measured({{0, 4}, {60, 12}}, 100), open,
         240.0},
        {"under four hours and back", "uk-8-degrees", Duty::held_cold, measured({{0, 4}, {60, 12}, {239, 7}}, 300), met,
         240.0},
        {"four hours are not under four hours", "uk-8-degrees", Duty::held_cold,
         measured({{0, 4}, {60, 12}, {240, 7}}, 300), broken, 240.0},
        {"still out", "uk-8-degrees", Duty::held_cold, measured({{0, 4}, {60, 12}}, 241), broken, 240.0},
        {"a second time", "uk-8-degrees", Duty::held_cold, measured({{0, 4}, {30, 9}, {60, 5}, {90, 9}}, 91), broken,
         240.0},
        {"hot", "uk-8-degrees", Duty::held_hot, measured({{0, 70}, {60, 63}}, 61), met, {}},
        {"not hot for two hours", "uk-8-degrees", Duty::held_hot, measured({{0, 70}, {60, 55}}, 121), broken, 120.0},
        // Food Code 3-501.19: four hours at any temperature, or six where it never exceeds 21 C.
        {"cool enough for six", "us-food-code", Duty::held_cold, measured({{0, 5}, {300, 20}}, 355), open, 360.0},
        {"too warm for six", "us-food-code", Duty::held_cold, measured({{0, 5}, {200, 22}}, 241), broken, 240.0},
        {"nothing tolerates it", "ireland", Duty::held_cold, measured({{0, 3}, {10, 4}}, 10), broken, 0.0},
    };
    for (const Row& row : rows) {
        CAPTURE(row.name);
        const auto limits = watch(rule(row.rule), row.duty, row.course);
        REQUIRE(limits.size() == 1);
        CHECK(limits[0].standing == row.expected);
        CHECK(limits[0].due == row.due);
    }
}

TEST_CASE("watch: a clock time is never after what is due") {
    const Instant cooked{Minutes{29'000'000}};
    CHECK(clock_time(cooked, 120) == cooked + Minutes{120});
    CHECK(clock_time(cooked, 119.999) == cooked + Minutes{119});
    CHECK(clock_time(cooked, 0.4) == cooked);
}

TEST_CASE("watch: no wording promises anything") {
    CHECK(kWatchCaution.find("safe") == std::string_view::npos);
    for (const SafetyRule& each : safety_rules()) {
        for (const LimitWatch& limit : watch(each, Duty::cooling, measured({{0, 95}, {500, 2}}, 600))) {
            CHECK(limit.text.find("safe") == std::string::npos);
        }
    }
}
