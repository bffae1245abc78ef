#pragma once
/// What ties the activities of one schedule together once every order in it is decided.
///
/// With the orders kept, a slipped start only ever pushes others later. Most ties are arcs between two starts; the
/// rest (calendars, switching on, ends that several users decide) are guards, which answer two questions: how far
/// may these starts glide to the right, and, where a guard is broken, which starts could mend it.

#include <optional>
#include <variant>
#include <vector>

#include "oventide/project.hpp"
#include "oventide/schedule.hpp"
#include "oventide/slack.hpp"

namespace oventide::slack {

/// Starts of activities, some of which are on the move: those lie so much later than written down.
class Starts {
public:
    Starts(const std::vector<Time>& starts) : starts_(starts) {}  // NOLINT: plain starts are starts, too
    Starts(const std::vector<Time>& starts, const std::vector<char>& moving, Time moved)
        : starts_(starts), moving_(&moving), moved_(moved) {}
    Time operator[](ActivityId id) const { return starts_[id] + (moving_ != nullptr && (*moving_)[id] ? moved_ : 0); }

private:
    const std::vector<Time>& starts_;
    const std::vector<char>* moving_ = nullptr;
    Time moved_ = 0;
};

/// So long after the start of an activity.
struct Term {
    ActivityId of = 0;
    Time offset = 0;
};

/// The latest of some terms, and never before `fixed`.
struct Latest {
    std::vector<Term> terms;
    Time fixed = -kNever;
    Time at(const Starts& starts) const;
};

/// One demand under the schedule: the interval in which it keeps its chosen resource busy.
struct Busy {
    ActivityId activity = 0;
    const Demand* demand = nullptr;
    std::size_t index = 0;  ///< of the demand
    ResourceId resource = 0;
    Latest from;
    Latest to;
    Time shortest = 0;  ///< `to` is at least so long after `from`, whatever moves; may be negative
};

/// start(to) >= start of the activity that the arc belongs to + lag.
struct Arc {
    ActivityId to = 0;
    Time lag = 0;
};

/// The start of `activity` goes up to `to`.
struct Raise {
    ActivityId activity = 0;
    Time to = 0;
};

/// A busy interval keeps clear of the times at which its resource has too little capacity for it.
struct OpenHours {
    int busy = 0;
    int closed = 0;  ///< index of a list of closed intervals
};

/// `before` ends no later than `after` begins, where several starts could decide when that is.
struct KeptOrder {
    int before = 0;
    int after = 0;
};

/// A stay on a state resource finds it warm, or is preceded by a start-up that somebody can attend.
struct Warm {
    ResourceId resource = 0;
    ActivityId first = 0;
    SettingId setting = 0;
    std::vector<int> previous;  ///< busy intervals of the stay before; empty for the first stay
};

/// An end that may move keeps out of the time in which the resource is sealed for another activity.
struct Shut {
    int busy = 0;
    ActivityId sealed = 0;
    Time lasts = 0;
};

/// The sum of the demands fits; only where pairwise order does not see to that.
struct Sum {
    ResourceId resource = 0;
    std::vector<int> busy;
};

using Guard = std::variant<OpenHours, KeptOrder, Warm, Shut, Sum>;

/// Stretches in which nobody attends for Project::reset_after minutes or more.
using Absences = std::vector<Interval>;

class Bonds {
public:
    /// Refers to all for as long as it lives. The schedule must be a correct one of the project; or, with `kept`, one
    /// that was correct before the project changed.
    Bonds(const Project& project, const Schedule& schedule, const KeptOrders* kept = nullptr);

    const std::vector<Arc>& arcs(ActivityId from) const { return arcs_[from]; }
    /// The guards that look at the start of this activity.
    const std::vector<int>& guards_on(ActivityId activity) const { return guards_on_[activity]; }
    std::size_t guard_count() const { return guards_.size(); }

    /// How far the moving starts may all go right before this guard must be looked at again; never too much.
    Time room(int guard, const Starts& starts, const std::vector<char>& moving) const;
    /// Ways to mend the guard, of which every correct schedule with starts no earlier than these takes at least
    /// one. Absent: it holds.
    std::optional<std::vector<Raise>> mend(int guard, const Starts& starts) const;

private:
    /// Overlapping activities on a state resource, which move together.
    using Stay = std::vector<int>;

    void add_lags();
    void add_busy();
    void add_orders(std::vector<int> on_resource);
    void add_order(int before, int after);
    void add_sum(ResourceId resource, const std::vector<int>& on_resource);
    void add_state(ResourceId resource, const std::vector<int>& on_resource);
    std::vector<Stay> stays_of(std::vector<int> on_resource) const;
    void add_rigid(const Stay& stay);
    void add_shut(const Stay& stay, const Stay* next);
    void add_changes(ResourceId resource, const std::vector<Stay>& stays);
    void add_guard(Guard guard, std::vector<ActivityId> looks_at);
    void add_arc(ActivityId from, ActivityId to, Time lag);
    Latest end_of(ActivityId id) const;
    Latest moment_of(ActivityId id, const Moment& moment) const;
    void drop_dominated(Latest& latest) const;
    int closed_times(ResourceId resource, std::int32_t amount);
    Interval now(int busy) const;
    /// An arc from a decision; what has happened does not follow any.
    void add_kept_arc(ActivityId from, ActivityId to, Time lag);
    bool happened(ActivityId id) const { return kept_ != nullptr && kept_->happened[id]; }

    Time room_for(const OpenHours& guard, const Starts& starts, const std::vector<char>& moving) const;
    Time room_for(const KeptOrder& guard, const Starts& starts, const std::vector<char>& moving) const;
    Time room_for(const Warm& guard, const Starts& starts, const std::vector<char>& moving) const;
    Time room_for(const Shut&, const Starts&, const std::vector<char>&) const { return 0; }
    Time room_for(const Sum&, const Starts&, const std::vector<char>&) const { return 0; }

    using Mending = std::optional<std::vector<Raise>>;
    Mending mend_it(const OpenHours& guard, const Starts& starts) const;
    Mending mend_it(const KeptOrder& guard, const Starts& starts) const;
    Mending mend_it(const Warm& guard, const Starts& starts) const;
    Mending mend_it(const Shut& guard, const Starts& starts) const;
    Mending mend_it(const Sum& guard, const Starts& starts) const;
    Time end_of_stay(const std::vector<int>& stay, const Starts& starts) const;

    const Project& project_;
    const Schedule& schedule_;
    const KeptOrders* kept_;
    std::vector<Busy> busy_;
    std::vector<std::vector<Arc>> arcs_;
    std::vector<Guard> guards_;
    std::vector<std::vector<int>> guards_on_;
    std::vector<std::vector<Interval>> closed_;
    std::vector<std::vector<std::pair<std::int32_t, int>>> closed_by_amount_;  ///< by resource
    Absences absences_;
};

}  // namespace oventide::slack
