/// The exact search against the stupid oracle: the same verdict, and the same best value in all goals.

#include "prove/prove.hpp"

#include <doctest/doctest.h>

#include <cstdint>
#include <cstdlib>
#include <string>

#include "oventide/check.hpp"
#include "support/exhaustive.hpp"
#include "support/random_project.hpp"

using namespace oventide;

namespace {

struct Family {
    std::string name;
    support::RandomProjectOptions options;
    std::uint64_t seeds;
};

/// OVENTIDE_SEEDS multiplies the number of seeds, for a long night.
std::uint64_t effort() {
    const char* const factor = std::getenv("OVENTIDE_SEEDS");
    return factor ? std::strtoull(factor, nullptr, 10) : 1;
}

constexpr support::RandomProjectOptions kEverything{5, 14, 2'000, true, true, true};

prove::Proof prove_with(const Project& project, std::int64_t nodes) {
    prove::ProofOptions options;
    options.nodes = nodes;
    return prove::prove(project, options);
}

/// True: there is a schedule.
bool compare(const Project& project) {
    const support::Exhaustive truth = support::try_everything(project);
    const prove::Proof proof = prove_with(project, 1'000'000);
    if (proof.schedule)
        for (const Violation& violation : check(project, *proof.schedule)) FAIL_CHECK(violation.what);
    REQUIRE(proof.verdict == (truth.schedule ? prove::Verdict::optimal : prove::Verdict::infeasible));
    if (!truth.schedule) return false;
    CHECK(proof.value == truth.value);
    CHECK(evaluate(project, *proof.schedule) == truth.value);
    CHECK(proof.bound == truth.value);
    return true;
}

}  // namespace

TEST_CASE("the exact search finds what trying everything finds") {
    const Family families[] = {
        {"lags and capacities", {6, 12, 3'000, false, false, false}, 250},
        {"stretched and held", {5, 12, 3'000, false, true, false}, 250},
        {"choices", {5, 10, 2'000, false, false, true}, 200},
        {"states", {5, 14, 3'000, true, false, false}, 400},
        {"everything", {5, 14, 2'000, true, true, true}, 400},
        {"programmes and demands apart", {4, 12, 2'000, true, true, true, true}, 200},
        {"eight activities", {8, 16, 6'000, true, true, true}, 60},
    };
    for (const Family& family : families) {
        std::uint64_t possible = 0;
        for (std::uint64_t seed = 1; seed <= family.seeds * effort(); ++seed) {
            CAPTURE(family.name);
            CAPTURE(seed);
            possible += compare(support::random_project(seed, family.options));
        }
        CAPTURE(possible);
        CHECK(possible > family.seeds * effort() / 5);
        CHECK(possible < family.seeds * effort() * 9 / 10);
    }
}

TEST_CASE("with too few nodes the bounds and the verdict are still right") {
    int undecided = 0;
    for (std::uint64_t seed = 1; seed <= 300 * effort(); ++seed) {
        const Project project = support::random_project(seed, kEverything);
        const support::Exhaustive truth = support::try_everything(project);
        for (const std::int64_t nodes : {0, 1, 3, 10}) {
            CAPTURE(seed);
            CAPTURE(nodes);
            const prove::Proof proof = prove_with(project, nodes);
            if (proof.verdict == prove::Verdict::infeasible) CHECK_FALSE(truth.schedule);
            if (proof.verdict == prove::Verdict::optimal) CHECK(proof.value == truth.value);
            undecided += proof.verdict == prove::Verdict::unknown || proof.verdict == prove::Verdict::feasible;
            if (proof.schedule) CHECK(check(project, *proof.schedule).empty());
            if (!truth.schedule || project.goals.empty()) continue;
            REQUIRE(proof.verdict != prove::Verdict::infeasible);
            CHECK(proof.bound <= truth.value);
            CHECK(proof.bound[0] <= truth.value[0]);
        }
    }
    CHECK(undecided > 50);
}
