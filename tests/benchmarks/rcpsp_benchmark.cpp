/// rcpsp_benchmark [FOLDER [SEEDS [EVERY]]]: how good the search is on open instances, and how fast.
///
/// FOLDER holds the sets (psplib/j30, ...), else OVENTIDE_BENCHMARKS; with EVERY = 4 only each fourth instance is run.
/// One configuration for all sets. A schedule is one pass over the activities in either direction; the exact search is
/// off in the first table and alone decides the others. Every schedule passes through the checker, and what betters the
/// best known is checked once more, by a count of each minute.

#include <algorithm>
#include <cstdio>
#include <cstdlib>
#include <ctime>
#include <map>
#include <string>
#include <vector>

#include "oventide/check.hpp"
#include "oventide/scheduler.hpp"
#include "support/instances.hpp"

namespace {

using namespace oventide;
using support::Instance;
using support::Known;

int wrong = 0;  ///< schedules that the checker refused, and verdicts that cannot be

/// Processor time of this program, which runs on one core: others on the machine do not count.
double now() { return static_cast<double>(std::clock()) / CLOCKS_PER_SEC; }
double solving = 0;  ///< seconds spent in solve()

struct Set {
    std::string name;
    std::vector<Instance> instances;
    std::map<std::string, Known> known;
};

Set load(const std::string& folder, const std::string& name, std::size_t every) {
    Set set{name, {}, support::read_known(folder + "/" + name)};
    auto all = support::read_folder(folder + "/" + name);
    for (std::size_t k = 0; k < all.size(); k += every) set.instances.push_back(std::move(all[k]));
    if (set.instances.empty()) std::printf("%s: SKIPPED, no instances in %s\n", name.c_str(), folder.c_str());
    return set;
}

/// What betters the best known is checked twice: here by counting each minute, as nothing in the library does.
bool holds_minute_by_minute(const Project& project, const Schedule& schedule) {
    for (const Lag& lag : project.lags)
        if (schedule.start[lag.to] - schedule.start[lag.from] < lag.lag) return false;
    for (std::size_t resource = 0; resource < project.resources.size(); ++resource) {
        std::vector<int> used(static_cast<std::size_t>(project.horizon), 0);
        for (std::size_t id = 0; id < project.activities.size(); ++id)
            for (const Demand& demand : project.activities[id].demands)
                for (Time minute = 0; minute < project.activities[id].duration; ++minute)
                    if (demand.choices.front() == static_cast<ResourceId>(resource))
                        used.at(static_cast<std::size_t>(schedule.start[id] + minute)) += demand.amount;
        if (*std::max_element(used.begin(), used.end()) > project.resources[resource].capacity.front().capacity)
            return false;
    }
    return true;
}

/// Solves and checks: a wrong schedule, one shorter than possible, or a false proof is counted and named.
Outcome solved(const Set& set, const Instance& instance, const SearchOptions& options, Time factor = 1) {
    const double begin = now();
    const Outcome outcome = solve(instance.project, options);
    solving += now() - begin;
    const Known known = set.known.count(instance.name) ? set.known.at(instance.name) : Known{};
    const auto complain = [&](const char* what) {
        ++wrong;
        std::printf("WRONG %s %s: %s\n", set.name.c_str(), instance.name.c_str(), what);
    };
    if (outcome.infeasible && !known.unsat) complain("said to have no schedule");
    if (!outcome.schedule) return outcome;
    const Time makespan = support::makespan(instance.project, *outcome.schedule);
    if (known.unsat) complain("has no schedule, one was reported");
    if (!check(instance.project, *outcome.schedule).empty()) complain("the checker refuses the schedule");
    if (makespan < known.lower * factor) complain("shorter than possible");
    if (outcome.optimal && makespan > known.upper * factor) complain("said to be best, a shorter one is known");
    if (makespan < known.upper * factor) {
        std::printf("%s: %d betters the best known\n", instance.name.c_str(), makespan);
        if (!holds_minute_by_minute(instance.project, *outcome.schedule)) complain("a count of each minute refuses it");
    }
    return outcome;
}

/// Per cent above the optimum (or best known) and above the critical path, and schedules a second.
void run_row(const Set& set, std::int64_t schedules, int seeds, Time factor) {
    double above_best = 0;
    double above_path = 0;
    solving = 0;
    std::int64_t passes = 0;
    int runs = 0;
    for (const Instance& original : set.instances) {
        const Instance instance{original.name,
                                factor == 1 ? original.project : support::scaled(original.project, factor)};
        const double path = support::critical_path(instance.project);
        const double best = set.known.at(instance.name).upper * factor;
        for (int seed = 1; seed <= seeds; ++seed) {
            SearchOptions options;
            options.schedules = schedules;
            options.nodes = 0;
            options.seed = static_cast<std::uint64_t>(seed);
            const Outcome outcome = solved(set, instance, options, factor);
            passes += outcome.schedules;
            ++runs;
            const double makespan = support::makespan(instance.project, *outcome.schedule);
            above_best += 100 * (makespan - best) / best;
            above_path += 100 * (makespan - path) / path;
        }
    }
    std::printf("| %-10s | x%-2d | %6lld | %8.3f | %8.3f | %9.0f |\n", set.name.c_str(), factor,
                static_cast<long long>(schedules), above_best / runs, above_path / runs,
                static_cast<double>(passes) / solving);
    std::fflush(stdout);
}

void run_proofs(const Set& set, std::int64_t schedules, std::int64_t nodes) {
    int proven = 0;
    int none = 0;
    int open = 0;
    double longest = 0;
    double total = 0;
    int slow = 0;
    for (const Instance& instance : set.instances) {
        SearchOptions options;
        options.schedules = schedules;
        options.nodes = nodes;
        solving = 0;
        const Outcome outcome = solved(set, instance, options);
        const double took = solving;
        longest = std::max(longest, took);
        total += took;
        slow += took > 1;
        if (outcome.infeasible)
            ++none;
        else if (outcome.optimal)
            ++proven;
        else
            ++open;
    }
    const double count = static_cast<double>(set.instances.size());
    std::printf("| %-16s | %6.1f %% | %5d | %5d | %5d | %7.3f | %7.3f | %5d |\n", set.name.c_str(),
                100 * (proven + none) / count, proven, none, open, total / count, longest, slow);
    std::fflush(stdout);
}

}  // namespace

int main(int argc, char** argv) {
    const std::string folder = support::benchmark_folder(argc, argv);
    const int seeds = argc > 2 ? std::atoi(argv[2]) : 5;
    const auto every = static_cast<std::size_t>(argc > 3 ? std::atoi(argv[3]) : 1);
    if (folder.empty()) {
        std::printf("SKIPPED: no folder of benchmark instances (an argument, or OVENTIDE_BENCHMARKS)\n");
        return 0;
    }
    const Set j30 = load(folder, "psplib/j30", every);
    const Set j60 = load(folder, "psplib/j60", every);
    std::printf("\nThe search alone, mean of %d seeds, passes in a second of processor time\n", seeds);
    std::printf("| set        | res | passes | %% > best | %% > path | passes/s  |\n");
    for (const Set* set : {&j30, &j60}) {
        if (set->instances.empty()) continue;
        for (const std::int64_t schedules : {1'000, 5'000, 50'000}) run_row(*set, schedules, seeds, 1);
        for (const Time factor : {10, 60}) run_row(*set, 5'000, 1, factor);
    }
    std::printf("\nWith the exact search: 1,000 passes, then decisions\n");
    std::printf("| set              | decided  | best  | none  | open  | mean s  | most s  | > 1 s |\n");
    const std::pair<const char*, std::int64_t> sets[] = {{"rcpsp-max/ubo10", 20'000},
                                                         {"rcpsp-max/ubo20", 20'000},
                                                         {"rcpsp-max/sm_j10", 20'000},
                                                         {"psplib/j30", 8'000},
                                                         {"psplib/j60", 8'000}};
    for (const auto& [name, nodes] : sets) {
        const Set set = load(folder, name, every);
        if (!set.instances.empty()) run_proofs(set, 1'000, nodes);
    }
    std::printf("\n%d wrong\n", wrong);
    return wrong == 0 ? 0 : 1;
}
