#pragma once
/// The scheduling problem that a plan becomes: activities, time lags, resources and an objective.
///
/// Nothing here knows of ovens, cakes, files or clocks. Ids are dense and index the vectors. Times are whole
/// minutes from the project's origin; every interval is half open. Sources of the words: Neumann, Schwindt and
/// Zimmermann, Project Scheduling with Time Windows and Scarce Resources (2003).

#include <array>
#include <cstdint>
#include <limits>
#include <string>
#include <vector>

#include "oventide/time.hpp"

namespace oventide {

using ActivityId = std::int32_t;
using ResourceId = std::int32_t;
using SettingId = std::int32_t;
using PromiseId = std::int32_t;  ///< says why a constraint is there; meaningful to whoever made the project

inline constexpr Time kNever = std::numeric_limits<Time>::max() / 4;  ///< later than any time in a project
inline constexpr PromiseId kNoPromise = -1;

/// start(to) >= start(from) + lag. A maximum lag from a to b of w is the negative lag -w from b to a.
struct Lag {
    ActivityId from = 0;
    ActivityId to = 0;
    Time lag = 0;
    PromiseId promise = kNoPromise;
    friend bool operator==(const Lag&, const Lag&) = default;
};

/// A moment of an activity: so long after (or before) its start or its end. `start + duration` is 'ready'.
struct Moment {
    enum class Of { start, end };
    Of of = Of::start;
    Time offset = 0;
    friend bool operator==(const Moment&, const Moment&) = default;
};

/// A stage of what a state resource goes through for one activity.
struct Stage {
    SettingId setting = 0;
    Time lasts = 0;
    friend bool operator==(const Stage&, const Stage&) = default;
};

/// `amount` units of exactly one of `choices`, over [from, to). The chosen one stays the same throughout. Where
/// `held_until` names activities, the interval lasts on until the last of them has started.
/// An interval that is empty or turned round demands nothing.
struct Demand {
    std::vector<ResourceId> choices;  ///< never empty, no repeats
    std::int32_t amount = 1;
    Moment from{Moment::Of::start, 0};
    Moment to{Moment::Of::end, 0};
    std::vector<ActivityId> held_until;
    std::vector<Stage> stages;  ///< on a state resource: from the start of the activity, running straight on
    Time sealed = 0;            ///< on a state resource: no other activity's demand on it starts or ends strictly
                                ///< inside (start, start + sealed)
    friend bool operator==(const Demand&, const Demand&) = default;
};

/// Starts at or after `release`, ready (start + duration) by `due`. A fixed activity ends when ready. One with
/// `users` or `held_until` not before ready ends at the latest of: ready, `held_until`, the start of each user;
/// that is at most `keep` after ready.
struct Activity {
    std::string name;  ///< readable and unique
    Time duration = 0;
    bool stretchable = false;
    Time keep = 0;  ///< meaningful where stretchable; kNever: no limit
    std::vector<ActivityId> users;
    Time held_until = -1;  ///< -1: nothing
    Time release = 0;
    Time due = kNever;
    PromiseId due_promise = kNoPromise;
    PromiseId keep_promise = kNoPromise;
    std::vector<Demand> demands;
    PromiseId release_promise = kNoPromise;
};

/// From this time on, until the next step.
struct CapacityStep {
    Time from = 0;
    std::int32_t capacity = 0;
    friend bool operator==(const CapacityStep&, const CapacityStep&) = default;
};

/// A setting of state resources. Demands overlap on one only while their settings are equal, minute by minute,
/// and never while either is at an exclusive setting (another demand may end in the minute in which that begins).
struct SettingInfo {
    std::string name;
    bool exclusive = false;
};

/// Rules of a resource with a state. Indices are SettingIds; the triangle inequality need not hold.
struct StateRules {
    /// `transition[a][b]`: an activity whose first stage is b starts only when, since the end of each earlier
    /// stage at a on this resource, so much time has passed. 0 where a == b and neither is exclusive.
    std::vector<std::vector<Time>> transition;
    /// `startup[b]`: from the initial state. An activity finds the resource in the initial state when no demand on
    /// it started before, or when all demands that did have ended and, between the last end and its own start,
    /// there are Project::reset_after minutes in a row in which nobody attends. It then needs a start-up at exactly
    /// start - startup[b], not before the last end (nor before 0); unless self_starting, somebody attends in that
    /// minute, and between it and the start there are no reset_after minutes in a row in which nobody attends.
    /// Activities that start together share one start-up. `transition` holds all the same.
    std::vector<Time> startup;
    bool self_starting = false;
};

struct Resource {
    std::string name;
    /// Piecewise constant, sorted by time; the first step is at 0. Constant after the last.
    std::vector<CapacityStep> capacity;
    bool wakes = false;  ///< a demand on it counts for Aim::alarm (a person's hands)
    bool has_state = false;
    StateRules state;  ///< meaningful where has_state
};

/// The goals of a project; all are minimised, lexicographically, in the order of Project::goals.
enum class Goal {
    overrun,  ///< sum over Project::freshness of max(0, last use - ready - best_within)
    alarm,    ///< minus the earliest start of a demand on a resource that wakes or of a start-up that is not
              ///< self-starting; where the project has none of either, of any activity
    waiting,  ///< sum over Project::links of weight * (until - ready)
};

/// Food that is best within so long. Ready is that of the earliest of `makers`; the last use is the latest start
/// of `users`, or `last_time` if that is later.
struct Freshness {
    std::vector<ActivityId> makers;
    std::vector<ActivityId> users;
    Time last_time = -1;
    Time best_within = 0;
};

/// Food that waits from ready of `maker` to the start of `user`, or to `time` where user is -1.
struct WaitLink {
    ActivityId maker = 0;
    ActivityId user = -1;
    Time time = 0;
    std::int64_t weight = 1;
};

struct Project {
    std::vector<Activity> activities;
    std::vector<Lag> lags;
    std::vector<Resource> resources;
    std::vector<SettingInfo> settings;
    std::vector<Interval> attended;  ///< sorted, disjoint, merged where they touch: somebody is there
    Time reset_after = 60;           ///< minutes; see StateRules::startup
    Time horizon = 0;                ///< every start and end lies in [0, horizon]; demands may reach past ends
    std::vector<Goal> goals;
    std::vector<Freshness> freshness;
    std::vector<WaitLink> links;
};

/// Empty when the project keeps the rules written above (ids in range, sorted calendars, sensible signs);
/// otherwise what is wrong, for the programmer.
std::string malformed(const Project& project);

}  // namespace oventide
