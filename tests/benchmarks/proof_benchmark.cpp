/// How many benchmark instances the exact search decides and proves, and how fast.
///
///     proof_benchmark FOLDER NODES [SET ...]
///
/// FOLDER holds the sets (or the environment's OVENTIDE_BENCHMARKS); every schedule passes the checker, and every
/// verdict is held against optimum.csv. Times are of the processor: the search is one thread.

#include <fmt/core.h>

#include <algorithm>
#include <cstdlib>
#include <ctime>
#include <string>
#include <vector>

#include "oventide/check.hpp"
#include "prove/prove.hpp"
#include "support/instances.hpp"

namespace {

using namespace oventide;

struct Tally {
    int instances = 0;
    int decided = 0;
    int proven = 0;
    int proven_in_300_ms = 0;
    int proven_in_1_s = 0;
    int wrong = 0;
    double total_seconds = 0;
    double slowest = 0;
};

bool is_wrong(const Project& project, const prove::Proof& proof, const support::Known& known) {
    if (proof.verdict == prove::Verdict::infeasible) return !known.unsat;
    if (!proof.schedule) return false;
    if (known.unsat || !check(project, *proof.schedule).empty()) return true;
    const Time length = support::makespan(project, *proof.schedule);
    return length < known.lower || (proof.verdict == prove::Verdict::optimal && length > known.upper);
}

void run_one(const support::Instance& instance, const support::Known& known, std::int64_t nodes, Tally& tally) {
    const std::clock_t begin = std::clock();
    prove::ProofOptions options;
    options.nodes = nodes;
    const prove::Proof proof = prove::prove(instance.project, options);
    const double took = static_cast<double>(std::clock() - begin) / CLOCKS_PER_SEC;
    const bool proven = proof.verdict == prove::Verdict::optimal || proof.verdict == prove::Verdict::infeasible;
    ++tally.instances;
    tally.decided += proof.verdict != prove::Verdict::unknown;
    tally.proven += proven;
    tally.proven_in_300_ms += proven && took <= 0.3;
    tally.proven_in_1_s += proven && took <= 1.0;
    tally.total_seconds += took;
    tally.slowest = std::max(tally.slowest, took);
    if (is_wrong(instance.project, proof, known)) {
        ++tally.wrong;
        fmt::print("WRONG {}: {} against {}..{}\n", instance.name,
                   proof.schedule ? support::makespan(instance.project, *proof.schedule) : -1, known.lower,
                   known.upper);
    }
    if (std::getenv("OVENTIDE_EACH"))
        fmt::print("{} {} {:.3f} s, {} nodes, {} conflicts, {} (bound {}), known {}..{}\n", instance.name,
                   static_cast<int>(proof.verdict), took, proof.nodes, proof.conflicts,
                   proof.schedule ? support::makespan(instance.project, *proof.schedule) : -1,
                   instance.project.horizon + proof.bound[0], known.lower, known.upper);
}

void run_set(const std::string& folder, const std::string& set, std::int64_t nodes) {
    const auto instances = support::read_folder(folder + "/" + set);
    auto known = support::read_known(folder + "/" + set);
    if (instances.empty()) {
        fmt::print("{:<18} skipped: not there\n", set);
        return;
    }
    Tally tally;
    for (const auto& instance : instances) run_one(instance, known[instance.name], nodes, tally);
    fmt::print("{:<18} {:>6} {:>8} {:>7} {:>6} {:>9} {:>7} {:>9.4f} {:>8.3f}\n", set, tally.instances, tally.decided,
               tally.proven, tally.wrong, tally.proven_in_300_ms, tally.proven_in_1_s,
               tally.total_seconds / tally.instances, tally.slowest);
    std::fflush(stdout);
}

}  // namespace

int main(int argc, char** argv) {
    const std::string folder = support::benchmark_folder(argc, argv);
    if (folder.empty()) {
        fmt::print("skipped: no folder of benchmark sets given\n");
        return 0;
    }
    const std::int64_t nodes = argc > 2 ? std::atoll(argv[2]) : 1'000'000;
    std::vector<std::string> sets(argv + std::min(argc, 3), argv + argc);
    if (sets.empty()) sets = {"rcpsp-max/ubo10", "rcpsp-max/ubo20", "rcpsp-max/sm_j10", "psplib/j30", "psplib/j60"};
    fmt::print("{:<18} {:>6} {:>8} {:>7} {:>6} {:>9} {:>7} {:>9} {:>8}\n", "set", "number", "decided", "proven",
               "wrong", "in 0.3 s", "in 1 s", "mean s", "max s");
    for (const std::string& set : sets) run_set(folder, set, nodes);
}
