#pragma once
/// One activity slips to the right and pushes others as little as it must.

#include <optional>
#include <queue>
#include <tuple>
#include <vector>

#include "oventide/project.hpp"
#include "slack/bonds.hpp"

namespace oventide::slack {

class Slip {
public:
    /// Refers to all of them for as long as it lives.
    Slip(const Project& project, const Schedule& schedule, const Bonds& bonds);

    /// See oventide::total_float.
    Time total(ActivityId slipped);

    /// See oventide::least_shift.
    std::optional<std::vector<Time>> shift(const std::vector<Time>& starts);

private:
    /// Starts that are being pushed until everything holds.
    struct Push {
        std::vector<Time> starts;
        std::vector<ActivityId> moved;  ///< whose ties have not been followed yet
        std::vector<int> suspects;      ///< guards that have not been looked at yet
        std::vector<char> is_suspect;
        std::vector<int> undecided;  ///< guards that can be mended in several ways
    };

    /// Something may happen to the moving starts when they have moved so far: an arc reaches `activity`, or `guard`
    /// must be looked at.
    struct Event {
        Time moved = 0;
        ActivityId activity = -1;
        int guard = -1;
        /// For a heap with the nearest event on top; ties by ids, so that the order is the same everywhere.
        friend bool operator<(const Event& a, const Event& b) {
            return std::tie(a.moved, a.activity, a.guard) > std::tie(b.moved, b.activity, b.guard);
        }
    };

    void set_off(ActivityId slipped);
    void join(ActivityId id);
    void glide();
    void stand_still();
    bool step(ActivityId slipped, Time target, bool within_horizon);
    bool settle(Push& push);
    bool follow_arcs(Push& push) const;
    bool mend_what_is_forced(Push& push) const;
    bool choose(Push& push);
    bool raise(Push& push, const Raise& raise) const;
    void suspect(Push& push, int guard) const;
    Time latest(ActivityId id) const;

    const Project& project_;
    const Schedule& schedule_;
    const Bonds& bonds_;
    std::vector<Time> starts_;
    std::vector<char> moving_;
    std::vector<ActivityId> movers_;  ///< their starts are written down less `moved_`
    Time moved_ = 0;
    Time most_ = 0;  ///< the first of the movers may move no further
    std::priority_queue<Event> events_;
    bool chose_ = false;  ///< the present starts came from a choice between ways to mend
    // of the step that is being tried
    ActivityId slipped_ = -1;
    Time target_ = 0;
    bool within_horizon_ = true;
    int choices_left_ = 0;
};

}  // namespace oventide::slack
