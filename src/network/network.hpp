#pragma once
/// Time lags alone: longest paths, start windows, rigid blocks. Knows no equipment.
///
/// An activity-on-node network with start-to-start lags (Roy's potentials, MPM): a maximum lag is a negative lag the
/// other way round, so cycles are normal and only a cycle of positive length is a contradiction (Bartusch, Moehring,
/// Radermacher 1988). Every function is deterministic and near-linear where there are few maximum lags.

#include <cstdint>
#include <vector>

#include "oventide/project.hpp"

namespace oventide::network {

/// Project::lags and what follows from `keep`: a user starts at most `keep` after ready.
std::vector<Lag> all_lags(const Project& project);

struct Windows {
    std::vector<Time> earliest;  ///< by activity: of its start
    std::vector<Time> latest;
    /// Empty where the windows are possible. Otherwise lags, each beginning where the one before ends: a cycle of
    /// positive length (the last ends where the first begins), or a path from an activity that cannot start earlier
    /// to one that is due too soon for it (one with itself where its own window is too short).
    std::vector<Lag> contradiction;
};

/// From releases, dues, the horizon, Activity::held_until and the lags (those of all_lags).
Windows start_windows(const Project& project, const std::vector<Lag>& lags);

/// Sets of activities that cannot move against each other, and how they lie.
struct Blocks {
    std::vector<std::int32_t> block;  ///< by activity; numbered by their first activity
    std::vector<Time> offset;         ///< by activity: from the start of its block's earliest activity
    std::int32_t count = 0;
};

/// `potential` keeps every lag: potential[to] >= potential[from] + lag, as Windows::earliest does.
Blocks rigid_blocks(const std::vector<Lag>& lags, const std::vector<Time>& potential);

/// Strong components of a directed graph; numbered so that an edge never leads to a higher number (sinks first).
struct Edge {
    std::int32_t from = 0;
    std::int32_t to = 0;
};
std::vector<std::int32_t> strong_components(std::int32_t vertices, const std::vector<Edge>& edges);

/// The longest path from `source` to every activity; -kNever where there is none. Windows are not looked at.
std::vector<Time> longest_paths(std::int32_t activities, const std::vector<Lag>& lags, ActivityId source);

}  // namespace oventide::network
