#pragma once
/// Project to schedule. Deterministic: the same project, options and seed give the same answer on every machine.

#include <atomic>
#include <cstdint>
#include <functional>
#include <optional>
#include <string>
#include <vector>

#include "oventide/project.hpp"
#include "oventide/schedule.hpp"

namespace oventide {

struct SearchOptions {
    /// How many schedules may be generated: every pass over the activities, in either direction, counts one.
    std::int64_t schedules = 1'000;
    /// Decisions that the exact search may take besides, over all its calls; 0: none. -1: two a schedule, and more for
    /// a first schedule that nothing else has found. Where they are too few for a project of that size it looks for
    /// nothing else.
    std::int64_t nodes = -1;
    std::uint64_t seed = 1;
    /// A schedule that need not be right: where a first one is looked for, it is looked for near this one.
    std::optional<Schedule> near;
    /// A schedule that is right: a better one is looked for.
    std::optional<Schedule> first;
    /// Called now and then with what is known so far; the caller decides whether a second has passed.
    struct Progress {
        std::int64_t schedules = 0;
        std::optional<Value> best;
    };
    std::function<void(const Progress&)> progress;
    /// Set from elsewhere (Ctrl-C): the best so far is returned soon.
    const std::atomic<bool>* stop = nullptr;
};

/// Why an activity could not be placed, for the cook's report: data, not text.
struct Obstacle {
    ActivityId activity = -1;
    Time earliest = 0;  ///< the window in which it had to start, inclusive
    Time latest = 0;
    /// What stood in the way. For `resource` and `state`: `resource` and, sorted, the activities on it in that window.
    enum class Cause { window, resource, state, start_up } cause = Cause::window;
    ResourceId resource = -1;
    std::vector<ActivityId> holders;
};

struct Outcome {
    std::optional<Schedule> schedule;
    Value value{};  ///< meaningful with a schedule
    /// Best possible, per goal in the order of Project::goals, the goals before it at their bound: lower bounds on
    /// `value`.
    Value bound{};
    bool optimal = false;     ///< value proven best, lexicographically
    bool infeasible = false;  ///< proven: there is no schedule
    /// Lags that contradict each other or the windows, each beginning where the one before ends: a cycle that is too
    /// long, or a path from an activity that cannot start earlier to one that is due too soon (an activity by itself
    /// as a lag of 0 from it to it). Empty unless the windows alone are impossible.
    std::vector<Lag> contradiction;
    std::vector<Obstacle> obstacles;  ///< where there is no schedule: what could not be placed, the likeliest first
    std::int64_t schedules = 0;       ///< generated
};

Outcome solve(const Project& project, const SearchOptions& options = {});

}  // namespace oventide
