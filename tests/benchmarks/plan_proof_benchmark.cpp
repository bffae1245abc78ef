/// How far the exact search gets alone on plans: the shipped ones, and generated ones of rising size.
///
///     plan_proof_benchmark NODES [PLAN.toml ... | SEEDS]

#include <fmt/core.h>

#include <chrono>
#include <cstdlib>
#include <string>

#include "oventide/check.hpp"
#include "oventide/expand.hpp"
#include "oventide/plan_file.hpp"
#include "prove/prove.hpp"
#include "support/random_plan.hpp"

namespace {

using namespace oventide;

const char* name_of(prove::Verdict verdict) {
    switch (verdict) {
        case prove::Verdict::optimal:
            return "optimal";
        case prove::Verdict::feasible:
            return "feasible";
        case prove::Verdict::infeasible:
            return "infeasible";
        case prove::Verdict::unknown:
            break;
    }
    return "unknown";
}

void run(const std::string& name, const PlanReading& reading, std::int64_t nodes) {
    if (!reading.plan) {
        fmt::print("{:<28} not a plan\n", name);
        return;
    }
    const ExpandResult expanded = expand(*reading.plan);
    if (!expanded.expansion) {
        fmt::print("{:<28} does not expand\n", name);
        return;
    }
    const Project& project = expanded.expansion->project;
    prove::ProofOptions options;
    options.nodes = nodes;
    const auto begin = std::chrono::steady_clock::now();
    const prove::Proof proof = prove::prove(project, options);
    const std::chrono::duration<double> took = std::chrono::steady_clock::now() - begin;
    fmt::print("{:<28} {:>5} {:<10} {:>8.3f} s {:>7} nodes {:>7} conflicts ", name, project.activities.size(),
               name_of(proof.verdict), took.count(), proof.nodes, proof.conflicts);
    for (std::size_t goal = 0; proof.schedule && goal < project.goals.size(); ++goal)
        fmt::print(" {} (bound {})", proof.value[goal], proof.bound[goal]);
    fmt::print("\n");
    if (proof.schedule)
        for (const Violation& violation : check(project, *proof.schedule)) fmt::print("  WRONG {}\n", violation.what);
    std::fflush(stdout);
}

}  // namespace

int main(int argc, char** argv) {
    const std::int64_t nodes = argc > 1 ? std::atoll(argv[1]) : 20'000;
    if (argc > 2 && std::string(argv[2]).ends_with(".toml")) {
        for (int i = 2; i < argc; ++i) run(argv[i], read_plan(argv[i]), nodes);
        return 0;
    }
    const std::uint64_t seeds = argc > 2 ? std::strtoull(argv[2], nullptr, 10) : 10;
    for (const int goods : {1, 2, 3, 6})
        for (std::uint64_t seed = 1; seed <= seeds; ++seed) {
            support::RandomPlanOptions options;
            options.goods = goods;
            options.tight = seed % 2 == 0;
            run(fmt::format("{} goods, seed {}", goods, seed), parse_plan(support::random_plan(seed, options), "plan"),
                nodes);
        }
}
