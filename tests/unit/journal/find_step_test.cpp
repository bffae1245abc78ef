#include <doctest/doctest.h>

#include <string>
#include <vector>

#include "oventide/journal.hpp"

using namespace oventide::journal;

TEST_CASE("steps are found by id, by a beginning of only one, or not at all with a word of advice") {
    const std::vector<std::string> ids = {"tart-case.1.mix",     "tart-case.1.bake.1", "tart-case.1.bake.2",
                                          "tart-case.1.bake.21", "custard.1.heat",     "custard.1.chill"};
    struct Row {
        std::string typed;
        std::string id;
        std::vector<std::string> candidates;
        bool several;
    };
    for (const Row& row : std::vector<Row>{
             {"custard.1.chill", "custard.1.chill", {}, false},
             {"tart-case.1.bake.2", "tart-case.1.bake.2", {}, false},  // though another id begins so
             {"custard.1.c", "custard.1.chill", {}, false},
             {"T", "", {"tart-case.1.mix", "tart-case.1.bake.1", "tart-case.1.bake.2", "tart-case.1.bake.21"}, true},
             {"TART-CASE.1.M", "tart-case.1.mix", {}, false},
             {"custard.1", "", {"custard.1.heat", "custard.1.chill"}, true},
             {"custard.1.chil", "custard.1.chill", {}, false},
             {"custrad.1.chill", "", {"custard.1.chill", "custard.1.heat"}, false},
             {"custad", "", {"custard.1.heat", "custard.1.chill"}, false},
             {"zzzzzz", "", {}, false},
             {"", "", {}, false},
         }) {
        CAPTURE(row.typed);
        const StepName found = find_step(row.typed, ids);
        CHECK(found.id == row.id);
        CHECK(found.several == row.several);
        CHECK(found.candidates == row.candidates);
    }
}

TEST_CASE("a beginning typed wrong: the nearest first") {
    const std::vector<std::string> ids = {"custard.1.heat", "tart-case.1.bake.1", "tart-case.1.mix"};
    CHECK(find_step("tart-csae.1.m", ids).candidates.front() == "tart-case.1.mix");
    CHECK(find_step("tart-csae.1.bake", ids).candidates.front() == "tart-case.1.bake.1");
}

TEST_CASE("no more than five candidates") {
    std::vector<std::string> ids;
    for (int i = 1; i <= 40; ++i) ids.push_back("roll." + std::to_string(i) + ".shape");
    CHECK(find_step("roll", ids).candidates.size() == 5);
    CHECK(find_step("rlol.7.shape", ids).candidates.size() <= 5);
    CHECK(find_step("rlol.7.shape", ids).candidates.front() == "roll.7.shape");
}
