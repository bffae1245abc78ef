#pragma once
/// The project that is left: what has happened is fixed, and takes away only what it still keeps busy.

#include <optional>
#include <string>
#include <vector>

#include "oventide/replan.hpp"

namespace oventide::replan {

/// A limit from what has happened to a waiting step, or of food under way: `lag` of Project::lags, or, where it is -1,
/// what `keeper` keeps.
struct Limit {
    int lag = -1;
    ActivityId keeper = -1;
    Time value = 0;  ///< as promised
    PromiseId promise = kNoPromise;
};

/// What has been in an oven, or is; while it was broken as well.
struct Baked {
    struct Stage {
        Instant from;
        std::optional<MilliCelsius> setting;
    };
    Span span;
    std::vector<Stage> stages;
};

struct Left {
    Expansion expansion;
    Project whole;                   ///< with all that what has happened keeps busy, for the referee
    std::vector<char> happened;      ///< by ActivityId
    std::vector<Time> fixed;         ///< by ActivityId: the start of what has happened
    std::vector<Time> promised_due;  ///< by ActivityId, of pickups; kNever where there is none
    std::vector<Limit> limits;       ///< those that may have to give way
    std::vector<Broken> broken;      ///< by what has happened since it was announced
    Time now = 0;
    std::vector<Time> soonest;  ///< by ActivityId: the release, but for ovens that are not hot yet
    /// By resource: an oven may have been switched on since then; kNever where that is still to come.
    std::vector<Time> on_since;
    std::vector<std::vector<Baked>> baked;  ///< by resource
};

/// Which limits may have to give way: those that begin with what has happened; or, if that is not enough, all that a
/// batch which has been begun still has before it, but for food safety.
enum class MayGive { of_what_has_happened, of_food_under_way };

/// Whether a batch may get ready before one of an earlier number, where neither that was announced nor both are begun.
enum class Batches { in_order, in_any_order };

struct Terms {
    MayGive may_give = MayGive::of_what_has_happened;
    Batches batches = Batches::in_order;
};

/// `announced` is the schedule published, null where it cannot be read back. Empty where the day cannot be taken apart
/// any more; `why` says so then.
std::optional<Left> what_is_left(const Plan& plan, const Expansion& planned, const Situation& situation,
                                 const Schedule* announced, std::string& why, Terms terms = {});

/// Some batch could not be as announced, because one of an earlier number is later than that.
bool waits_in_line(const Left& left, const Schedule& schedule, const Schedule* announced);

}  // namespace oventide::replan
