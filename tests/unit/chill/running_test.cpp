// Probe readings, as they stand in a journal, and what they say of a chill under way.

#include <doctest/doctest.h>

#include <cmath>
#include <string>

#include "oventide/chilling.hpp"
#include "oventide/clock.hpp"
#include "oventide/journal.hpp"
#include "support/plan_text.hpp"

using namespace oventide;

namespace {

double near(double value, double other) { return std::abs(value - other); }

const Instant kStart = Instant{Minutes{29'846'880}};  // some midnight, UTC

Step step_of(const std::string& cools) {
    const Plan plan =
        test::plan_of(test::plan_for_buns("[[component]]\nname = \"bun\"\nmakes = 12\nsteps = [{ name = "
                                          "\"chill\", takes = \"2 h\", cools = { " +
                                          cools + " } }]\n"));
    return plan.components.front().steps.front();
}

/// Minutes and degrees into a journal's text and out again, as a day has them.
std::vector<chill::Probed> through_the_journal(const std::vector<std::pair<int, double>>& readings) {
    const auto zone = clock::Zone::find("UTC");
    std::string text = journal::header_text("UTC");
    std::int32_t number = 0;
    for (const auto& [minutes, celsius] : readings) {
        const Instant at = kStart + Minutes{minutes};
        const journal::Probe probe{"bun.1.chill", at, static_cast<MilliCelsius>(std::llround(celsius * 1000))};
        text += journal::entry_text({++number, at, probe}, *zone);
    }
    const journal::Parsed parsed = journal::parse(text);
    REQUIRE_FALSE(parsed.damage);
    std::vector<chill::Probed> probed;
    for (const journal::Entry* entry : parsed.journal.standing()) {
        const auto& probe = std::get<journal::Probe>(entry->event);
        probed.push_back({probe.at, static_cast<double>(probe.temperature) / 1000});
    }
    REQUIRE(probed.size() == readings.size());
    return probed;
}

double minutes_to(const chill::Running& running) {
    REQUIRE(running.likely);
    return static_cast<double>((*running.likely - kStart).count());
}

double from_fahrenheit(double f) { return (f - 32) / 1.8; }

}  // namespace

TEST_CASE("running chill: textbook examples of Newton's law as two readings in the journal") {
    struct Row {
        std::string source;
        double around;  // F, as all
        double first;
        double second;
        int second_at;  // minutes
        double target;
        double computed;  // minutes
    };
    for (const Row& row : {Row{"cheesecake, OpenStax College Algebra 6.7", 35, 165, 150, 10, 70, 107.028},
                           Row{"pizza, OpenStax Calculus 2, m53704", 75, 200, 190, 1, 150, 6.12636},
                           Row{"cake, OpenStax Calculus 2, m53704", 70, 450, 330, 10, 75, 114.120},
                           Row{"coffee, OpenStax Calculus 1, m53651", 70, 200, 180, 2, 155, 5.08677}}) {
        CAPTURE(row.source);
        const auto f = [](double value) { return "\"" + std::to_string(value) + " F\""; };
        const double from = std::min(row.first, 300.0);  // a plan's 'from' ends at 150 C; it says nothing here
        const Step step = step_of("from = " + f(from) + ", to = " + f(row.target) + ", air = [" + f(row.around) + ", " +
                                  f(row.around) + ", " + f(row.around) + "]");
        const auto result = chill::running(
            step, 0, kStart,
            through_the_journal({{0, from_fahrenheit(row.first)}, {row.second_at, from_fahrenheit(row.second)}}));
        REQUIRE(result);
        CHECK(result->forecast.basis == cooling::Basis::fitted);
        // Up to the whole minute; the journal keeps thousandths of a degree.
        CHECK(minutes_to(*result) >= row.computed - 0.01 * row.computed);
        CHECK(minutes_to(*result) <= row.computed + 1 + 0.01 * row.computed);
        CHECK(*result->earliest <= *result->likely);
    }
}

TEST_CASE("running chill: no reading, one reading, two: estimated, corrected, fitted") {
    const Step step = step_of(R"(from = "70 C", to = "8 C", depth = "3 cm", where = "fridge")");
    const auto none = chill::running(step, 0, kStart, {});
    REQUIRE(none);
    CHECK(none->forecast.basis == cooling::Basis::estimate);
    // Slower than believed: twice the f of the estimate.
    const double f = 2 * none->forecast.f / 60;
    const auto at = [&](int minutes) { return 4 + 66 * std::pow(10, -minutes / f); };
    const auto one = chill::running(step, 0, kStart, through_the_journal({{60, at(60)}}));
    CHECK(one->forecast.basis == cooling::Basis::corrected);
    const auto three =
        chill::running(step, 0, kStart, through_the_journal({{60, at(60)}, {120, at(120)}, {180, at(180)}}));
    CHECK(three->forecast.basis == cooling::Basis::fitted);
    const double truth = f * std::log10(66.0 / 4);
    CHECK(near(minutes_to(*one), truth) < near(minutes_to(*none), truth));
    CHECK(near(minutes_to(*three), truth) < near(minutes_to(*one), truth));
    CHECK(*three->earliest <= kStart + Minutes{static_cast<int>(truth)});
}

TEST_CASE("running chill: without a container the plan's own time is the estimate") {
    const Step step = step_of(R"(from = "60 C", to = "8 C", where = "fridge")");
    const auto none = chill::running(step, 0, kStart, {});
    REQUIRE(none);
    CHECK(near(minutes_to(*none), 120) <= 1);
    CHECK_FALSE(chill::running(Step{}, 0, kStart, {}));
}

TEST_CASE("running chill: a reading typed wrong is named by its place among those given") {
    const Step step = step_of(R"(from = "62 C", to = "10 C", where = "fridge")");
    std::vector<std::pair<int, double>> readings{{-5, 62}};  // before the chill: says nothing of it
    for (const int minutes : {10, 25, 40, 55, 70}) readings.emplace_back(minutes, 4 + 58 * std::exp(-minutes / 83.0));
    const auto good = chill::running(step, 0, kStart, through_the_journal(readings));
    CHECK(good->doubted.empty());
    readings[3].second += 30;
    const auto result = chill::running(step, 0, kStart, through_the_journal(readings));
    CHECK(result->doubted == std::vector<std::size_t>{3});
    CHECK(near(minutes_to(*result), minutes_to(*good)) < 0.05 * minutes_to(*good));
}

TEST_CASE("running chill: a reading as it goes in is how warm it went in") {
    const Step step = step_of(R"(from = "85 C", to = "8 C", depth = "3 cm", where = "fridge")");
    const auto cooler = chill::running(step, 0, kStart, through_the_journal({{0, 60}}));
    const auto planned = chill::running(step, 0, kStart, {});
    const auto said =
        chill::running(step_of(R"(from = "60 C", to = "8 C", depth = "3 cm", where = "fridge")"), 0, kStart, {});
    CHECK(*cooler->likely < *planned->likely);
    CHECK(near(minutes_to(*cooler), minutes_to(*said)) <= 0.02 * minutes_to(*said));
}

TEST_CASE("running chill: the Food Code's stages by readings, with their clock times") {
    const SafetyRule rule = *find_safety_rule("us-food-code");
    const Step step = step_of(R"(from = "57 C", to = "5 C", air = ["3 C", "3 C", "3 C"])");
    // Both stages bind at a time constant of 1.820478 h (arithmetic on 3-501.14(A)): five per cent on either side.
    for (const double factor : {0.95, 1.05}) {
        CAPTURE(factor);
        const double constant = 1.820478 * 60 * factor;
        std::vector<std::pair<int, double>> readings;
        for (const int minutes : {0, 20, 40, 60, 80})
            readings.emplace_back(minutes, 3 + 54 * std::exp(-minutes / constant));
        const auto probed = through_the_journal(readings);
        const auto running = chill::running(step, 0, kStart, probed);
        const auto limits = chill::limits(rule, kStart, kStart, kStart + Minutes{85}, probed, running);
        REQUIRE(limits.size() == 2);
        const Standing expected = factor < 1 ? Standing::on_course : Standing::will_break;
        CHECK(limits[0].text == "57 C to 21 C within 2 h");
        CHECK(limits[0].standing == expected);
        CHECK(limits[1].standing == expected);
        CHECK(*limits[0].due == kStart + Minutes{120});
        CHECK(*limits[1].due == kStart + Minutes{360});
        CHECK(near(static_cast<double>((*limits[0].happens - kStart).count()), constant * std::log(3.0)) < 2);
    }
}

TEST_CASE("running chill: warnings once the clock shows what no reading does, and of a chill begun too late") {
    const auto probed = through_the_journal({{0, 57}, {60, 45}});
    const Step step = step_of(R"(from = "57 C", to = "5 C", air = "3 C")");
    const auto running = chill::running(step, 0, kStart, probed);
    const auto late =
        chill::limits(*find_safety_rule("us-food-code"), kStart, kStart, kStart + Minutes{130}, probed, running);
    CHECK(late[0].standing == Standing::unrecorded);
    const auto warm = through_the_journal({{0, 57}, {125, 30}});
    CHECK(chill::limits(*find_safety_rule("us-food-code"), kStart, kStart, kStart + Minutes{130}, warm, running)[0]
              .standing == Standing::broken);

    const SafetyRule ninety = *find_safety_rule("90-minutes");
    const Instant cooked = kStart - Minutes{100};
    const auto begun = chill::limits(ninety, cooked, kStart, kStart + Minutes{5}, {}, std::nullopt);
    REQUIRE(begun.size() == 1);
    CHECK(begun[0].standing == Standing::broken);
    CHECK(*begun[0].due == cooked + Minutes{90});
    CHECK(chill::limits(ninety, kStart - Minutes{80}, kStart, kStart, {}, std::nullopt)[0].standing == Standing::met);
}

TEST_CASE("running chill: while the lag lasts the forecast does not fall at once from the last reading") {
    const SafetyRule rule = *find_safety_rule("us-food-code");
    const Step step = step_of(R"(from = "57 C", to = "5 C", depth = "5 cm", where = "blast chiller")");
    const auto probed = through_the_journal({{0, 57}, {4, 57}});
    const auto running = chill::running(step, 0, kStart, probed);
    REQUIRE(running);
    const auto limits = chill::limits(rule, kStart, kStart, kStart + Minutes{4}, probed, running);
    const cooling::Forecast& law = running->forecast;
    const double to_21 = law.f / 60 * std::log10((57 - law.around) / (21 - law.around));  // as if without a lag
    CHECK(static_cast<double>((*limits[0].happens - kStart).count()) > 4 + to_21 + 2);
}
