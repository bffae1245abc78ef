/// The relaxation against the stupid oracle: never above the least that food can wait, and seldom far below.

#include "schedule/relaxation.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <cstdint>
#include <string>

#include "schedule/bound.hpp"
#include "schedule/model.hpp"
#include "support/exhaustive.hpp"
#include "support/random_project.hpp"

using namespace oventide;

namespace {

struct Family {
    std::string name;
    support::RandomProjectOptions options;
    std::uint64_t seeds;
};

struct Tally {
    int cases = 0;
    int reached = 0;  ///< the bound is the least there is
    int raised = 0;   ///< it is above what lags alone say
};

scheduling::WaitingCase held_at(const Project& project, const Value& value) {
    scheduling::WaitingCase held;
    for (std::size_t goal = 0; goal < project.goals.size(); ++goal) {
        if (project.goals[goal] == Goal::waiting) {
            held.best = value[goal];
            break;
        }
        if (project.goals[goal] == Goal::alarm) held.not_before = static_cast<Time>(-value[goal]);
        if (project.goals[goal] == Goal::overrun) held.overrun = static_cast<Time>(value[goal]);
    }
    held.work = 1'000'000;
    return held;
}

void compare(const Project& project, Tally& tally) {
    const auto goal = std::find(project.goals.begin(), project.goals.end(), Goal::waiting) - project.goals.begin();
    const support::Exhaustive truth = support::try_everything(project);
    if (!truth.schedule) return;
    const scheduling::Model model = scheduling::make_model(project);
    const auto bound = scheduling::relaxed_waiting(model, held_at(project, truth.value));
    const bool links =
        std::any_of(project.links.begin(), project.links.end(), [](const WaitLink& l) { return l.weight > 0; });
    if (!links) return;
    REQUIRE(bound);
    REQUIRE(*bound <= truth.value[goal]);
    ++tally.cases;
    tally.reached += *bound == truth.value[goal];
    tally.raised += *bound > scheduling::lower_bound(model)[goal];
}

}  // namespace

TEST_CASE("no schedule lets food wait less than the relaxation says") {
    const Family families[] = {
        {"lags and capacities", {6, 12, 3'000, false, false, false}, 300},
        {"choices", {5, 10, 2'000, false, false, true}, 200},
        {"states", {5, 14, 3'000, true, false, false}, 300},
        {"everything", {5, 14, 2'000, true, true, true}, 300},
        {"programmes and demands apart", {4, 12, 2'000, true, true, true, true}, 300},
    };
    for (const Family& family : families) {
        for (const bool alone : {true, false}) {
            CAPTURE(family.name);
            CAPTURE(alone);
            Tally tally;
            for (std::uint64_t seed = 1; seed <= family.seeds; ++seed) {
                CAPTURE(seed);
                Project project = support::random_project(seed, family.options);
                project.goals = alone ? std::vector<Goal>{Goal::waiting}
                                      : std::vector<Goal>{Goal::overrun, Goal::alarm, Goal::waiting};
                compare(project, tally);
            }
            CAPTURE(tally.cases);
            CAPTURE(tally.reached);
            CAPTURE(tally.raised);
            CHECK(tally.cases > 20);
            CHECK(tally.reached > tally.cases / 2);
            CHECK(tally.raised > tally.cases / 20);
        }
    }
}
