#pragma once
/// Decides a project: a schedule is found, or none exists, proven; and the best one, proven, goal by goal.
///
/// The search learns a clause from every dead end (lazy clause generation: Ohrimenko, Stuckey and Codish,
/// Propagation via lazy clause generation, 2009; for scheduling with time windows: Schutt, Feydy, Stuckey and
/// Wallace, Solving RCPSP/max by lazy clause generation, 2013). It covers every rule that project.hpp documents and
/// is complete: with enough nodes the verdict is never `unknown`.

#include <atomic>
#include <cstdint>
#include <optional>
#include <vector>

#include "oventide/project.hpp"
#include "oventide/schedule.hpp"

namespace oventide::prove {

struct ProofOptions {
    std::int64_t nodes = 20'000;  ///< dead ends, or tens of decisions, over all goals; 0: propagation only
    /// A schedule known to be right: the search only looks for better ones and starts near it.
    std::optional<Schedule> incumbent;
    /// One that need not be right: until something is found the search goes by the time, and keeps near it.
    std::optional<Schedule> near;
    const std::atomic<bool>* stop = nullptr;  ///< set from elsewhere: what is known so far is returned soon
};

enum class Verdict {
    optimal,     ///< there is a schedule, and `schedule` is best, lexicographically in all goals
    feasible,    ///< there is a schedule; how far from the best it can be is told by `bound`
    infeasible,  ///< proven: there is none
    unknown,     ///< neither found nor excluded within the nodes
};

/// What a contradiction that needs no search is made of; ids sorted.
struct Contradiction {
    std::vector<std::int32_t> lags;      ///< indices into Project::lags
    std::vector<ResourceId> resources;   ///< whose capacity or rules take part
    std::vector<ActivityId> activities;  ///< whose release, due, keep or horizon takes part
};

struct Proof {
    Verdict verdict = Verdict::unknown;
    std::optional<Schedule> schedule;  ///< the best found, complete with ends and start-ups; or the incumbent
    Value value{};                     ///< of `schedule`
    /// Lower bounds on the goals in their order; the bound on a goal holds for schedules that have the goals before
    /// it at their bounds (where those are proven) or for all schedules (where not).
    Value bound{};
    std::int64_t nodes = 0;  ///< spent
    std::int64_t conflicts = 0;
    std::optional<Contradiction> contradiction;  ///< where infeasible without any search
};

Proof prove(const Project& project, const ProofOptions& options = {});

}  // namespace oventide::prove
