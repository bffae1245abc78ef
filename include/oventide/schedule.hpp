#pragma once
/// An answer to a project: a start, an end and the chosen resources of every activity.

#include <array>
#include <cstdint>
#include <vector>

#include "oventide/project.hpp"
#include "oventide/time.hpp"

namespace oventide {

/// A state resource is switched on at `at`, to be at `setting` when activities start at `ready`.
struct StartUp {
    ResourceId resource = 0;
    Time at = 0;
    Time ready = 0;
    SettingId setting = 0;
    friend bool operator==(const StartUp&, const StartUp&) = default;
};

struct Schedule {
    std::vector<Time> start;                      ///< by ActivityId
    std::vector<Time> end;                        ///< by ActivityId
    std::vector<std::vector<ResourceId>> chosen;  ///< by ActivityId, by demand
    std::vector<StartUp> start_ups;               ///< sorted by time, then resource
    friend bool operator==(const Schedule&, const Schedule&) = default;
};

/// The goals' values in the order of Project::goals; smaller is better, compared lexicographically.
using Value = std::array<std::int64_t, 3>;

/// Fills `end` and `start_ups` from `start` and `chosen`. The ends follow from the starts (see Activity).
void complete(const Project& project, Schedule& schedule);

/// The interval of one demand under a schedule; `from >= to` where it demands nothing.
Interval demand_interval(const Project& project, const Schedule& schedule, ActivityId activity, int demand);

Value evaluate(const Project& project, const Schedule& schedule);

}  // namespace oventide
