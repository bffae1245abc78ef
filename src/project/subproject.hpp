#pragma once
/// A part of a project: some activities are free, all others stand where a schedule has them. The smaller project says
/// what that leaves to decide, so that a window of a season costs what a day costs.

#include <optional>
#include <vector>

#include "oventide/project.hpp"
#include "oventide/schedule.hpp"

namespace oventide {

struct Division {
    std::vector<char> free;  ///< by activity
    /// Free activities start and are ready in it, and what lies far from it is left out. Empty: no such limit.
    std::optional<Interval> range;
    /// What is held is known to keep every rule. Otherwise that is looked at, too: here, or by whoever solves the part.
    bool held_is_right = true;
};

/// Its goals are those of the whole, but for constants, and one on which the part has no influence is left out.
struct Subproject {
    Project project;
    std::vector<ActivityId> of;  ///< in the whole project, by activity of the part; -1: stands for something held
    Time origin = 0;             ///< the part's minute 0 in the whole
};

/// Of `schedule` it reads what is held; its ends and start-ups have to be complete. Empty where what is held breaks a
/// rule, or leaves a free activity no time.
std::optional<Subproject> subproject_of(const Project& project, const Schedule& schedule, const Division& division);

/// The schedule of the whole, seen from the part.
Schedule seen_from(const Subproject& sub, const Schedule& whole);

/// The schedule of the whole, with what is in the part as the part's own schedule has it.
Schedule joined(const Project& project, Schedule whole, const Subproject& sub, const Schedule& of_sub);

}  // namespace oventide
