#include <doctest/doctest.h>

#include "profile/state_line.hpp"
#include "profile/step_profile.hpp"

using namespace oventide;
using profile::BusySpan;
using profile::StateLine;
using profile::StepProfile;

namespace {

BusySpan lasting(Time length) { return {{0, -kNever}, {length, -kNever}}; }

Demand visit(std::vector<Stage> stages, Time sealed = 0) {
    Demand demand;
    demand.choices = {0};
    demand.stages = std::move(stages);
    demand.sealed = sealed;
    return demand;
}

enum Set : SettingId { kLow, kHigh, kOff };

/// Up in 10, down in 30; off is nobody else's; from cold to low 20, to high 30. Somebody is there 100 to 400.
Project oven() {
    Project project;
    project.settings = {{"low", false}, {"high", false}, {"off", true}};
    project.attended = {{100, 400}};
    project.horizon = 1000;
    Resource resource;
    resource.capacity = {{0, 2}};
    resource.has_state = true;
    resource.state.transition = {{0, 10, 0}, {30, 0, 0}, {15, 25, 0}};
    resource.state.startup = {20, 30, 0};
    project.resources = {resource};
    return project;
}

Time latest(const Project& project, const std::vector<std::pair<Demand, Time>>& there, const Demand& demand,
            Time length, Time from) {
    StateLine line(project, 0);
    for (const auto& [other, start] : there) {
        Time end = start;
        for (const Stage& stage : other.stages) end += stage.lasts;
        line.add(profile::programme_of(other), start, {start, end});
    }
    return line.latest_fit(profile::programme_of(demand), lasting(length), from).start;
}

}  // namespace

//  free   2 |#####     |
//         1 |   ####   |
//  time     0  10  20  30
TEST_CASE("Free capacity follows the calendar and what is taken") {
    StepProfile profile({{0, 2}, {30, 0}});
    profile.take({0, 10}, 1);
    profile.take({5, 20}, 1);
    CHECK(profile.least_free({0, 5}) == 1);
    CHECK(profile.least_free({5, 10}) == 0);
    CHECK(profile.least_free({10, 20}) == 1);
    CHECK(profile.least_free({20, 30}) == 2);
    CHECK(profile.least_free({29, 31}) == 0);
    CHECK(profile.fits({20, 30}, 2));
    CHECK_FALSE(profile.fits({19, 30}, 2));
    CHECK(profile.latest_fit(lasting(5), 2, 100).start == 25);
    CHECK(profile.latest_fit(lasting(11), 1, 100).start == 19);
    CHECK(profile.latest_fit(lasting(21), 1, 100).start == -kNever);  // nothing is there before the origin
    profile.give_back({5, 20}, 1);
    CHECK(profile.latest_fit(lasting(21), 1, 100).start == 9);
    profile.give_back({0, 10}, 1);
    CHECK(profile.latest_fit(lasting(30), 2, 100).start == 0);
}

TEST_CASE("An end that does not move says how far it would have to come down") {
    StepProfile profile({{0, 1}});
    profile.take({50, 60}, 1);
    const BusySpan held{{0, -kNever}, {10, 80}};  // lasts until 80 whenever it starts
    const auto fit = profile.latest_fit(held, 1, 70);
    CHECK(fit.start == 70);
    const auto blocked = profile.latest_fit({{0, -kNever}, {10, 80}}, 1, 55);
    CHECK_FALSE(blocked.found());
    CHECK(blocked.blocked_from == 50);
}

//  low  |-----|          another low may share it, a high one ends 10 before or starts 30 after
//      200   240
TEST_CASE("Settings are shared, or lie as far apart as heating and cooling take") {
    const Project project = oven();
    const Demand low = visit({{kLow, 40}});
    const Demand high = visit({{kHigh, 40}});
    CHECK(latest(project, {{low, 200}}, low, 40, 230) == 230);
    CHECK(latest(project, {{low, 200}}, high, 40, 250) == 250);  // low to high: 10
    CHECK(latest(project, {{low, 200}}, high, 40, 249) == 130);  // ends 170, cooling 30
    CHECK(latest(project, {{high, 200}}, low, 40, 269) == 150);  // ends 190, heating 10
    CHECK(latest(project, {{high, 200}}, low, 40, 270) == 270);
    // The end of every earlier stage counts, not only of the last.
    const Demand falling = visit({{kHigh, 10}, {kLow, 30}});
    CHECK(latest(project, {{falling, 200}}, visit({{kLow, 20}}), 20, 245) == 245);
    CHECK(latest(project, {{falling, 200}}, visit({{kLow, 20}}), 20, 239) == 170);
    // While it is off nobody else is in, but one may come out as it goes off.
    const Demand drying = visit({{kLow, 20}, {kOff, 20}});
    CHECK(latest(project, {{drying, 200}}, visit({{kLow, 20}}), 20, 239) == 200);
    CHECK(latest(project, {{drying, 200}}, visit({{kLow, 21}}), 21, 239) == 199);
    CHECK(latest(project, {{drying, 200}}, visit({{kLow, 20}}), 20, 255) == 255);  // off to low: 15
}

TEST_CASE("A shut door lets nothing in or out, but a change in the same minute is allowed") {
    const Project project = oven();
    const Demand low = visit({{kLow, 40}});
    const Demand sealed = visit({{kLow, 40}}, 25);
    CHECK(latest(project, {{sealed, 200}}, low, 40, 224) == 200);
    CHECK(latest(project, {{sealed, 200}}, low, 40, 225) == 225);
    CHECK(latest(project, {{sealed, 200}}, low, 40, 184) == 160);  // would come out at 224
    CHECK(latest(project, {{low, 200}}, sealed, 40, 199) == 175);  // the other goes in at 200
    CHECK(latest(project, {{low, 200}}, sealed, 40, 239) == 215);  // the other comes out at 240
}

TEST_CASE("Somebody must be there to switch the oven on, and again when it was left alone") {
    Project project = oven();
    const Demand low = visit({{kLow, 40}});
    CHECK(latest(project, {}, low, 40, 600) == 419);  // on at 399, the last minute that anybody is there
    CHECK(latest(project, {}, low, 40, 119) == -kNever);
    project.attended = {{100, 400}, {500, 700}};
    // Left alone from 400 to 500: what goes in at 530 must be switched on for, and an earlier one ends by then.
    CHECK(latest(project, {{low, 530}}, low, 40, 529) == 529);
    CHECK(latest(project, {{low, 530}}, low, 40, 520) == 520);
    CHECK(latest(project, {{low, 530}}, low, 40, 519) == 419);
    project.resources[0].state.self_starting = true;
    CHECK(latest(project, {}, low, 40, 600) == 600);
}
