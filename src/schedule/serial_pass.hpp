#pragma once
/// The method, in one place: a backward serial list scheduler with repair.
///
/// Serial schedule generation (Kelley 1963; Kolisch 1996): take the units of a list one after the other and start each
/// as late as its window and the resources allow, users before what they use. A list is any order in which everything
/// stands behind what must be placed before it.
///
/// Where a maximum lag (or a hold) would break, what asked for it is unscheduled and moved earlier by what was
/// missing, with all that was placed after it (Neumann, Schwindt and Zimmermann 2003, section 2.6, mirrored: there the
/// pass runs forward and moves later). Where nothing asked for it, resources being taken, the unit goes to the front of
/// what took them and the pass resumes from there (squeaky wheel, Joslin and Clements 1999). Steps of repair are
/// counted and bounded, never timed.

#include <optional>
#include <vector>

#include "oventide/scheduler.hpp"
#include "profile/state_line.hpp"
#include "profile/step_profile.hpp"
#include "schedule/model.hpp"

namespace oventide::scheduling {

using List = std::vector<UnitId>;

class SerialPass {
public:
    explicit SerialPass(const Model& model);

    /// Places every unit; the list is rearranged where that repairs it. False: obstacle() says what is in the way.
    bool run(List& list, std::int32_t repairs);

    Schedule schedule() const;
    Obstacle obstacle() const;
    /// Placings that the last run took back: what its repair has cost.
    std::int64_t undone() const { return undone_; }

private:
    /// Never reached by a bake day; a season's plan is given up rather than repaired for minutes.
    static constexpr std::int64_t kMostUndone = 200'000;

    /// Why a unit could not be placed where it had to be.
    struct Failure {
        UnitId unit = -1;
        UnitId asker = -1;  ///< a placed unit that would have to start earlier; -1: none
        Time shift = 0;     ///< by so much
        Time low = 0;       ///< the window that was open
        Time high = 0;
        Obstacle::Cause cause = Obstacle::Cause::window;
        ResourceId resource = -1;
    };
    struct Bound {
        Time time = 0;
        UnitId asker = -1;  ///< the placed unit that it comes from
    };
    /// A unit's place in this pass. Together, since large projects do not fit into the processor's caches.
    struct Placing {
        Bound low;
        Bound high;
        Time cap = kNever;           ///< what repairs have moved it down to
        std::int32_t position = -1;  ///< in the order of placing; -1: not placed
        Time start = 0;
        Time busy_to = 0;  ///< the latest end of a demand
    };
    struct Change {
        bool low;
        UnitId unit;
        Bound before;
    };
    /// Starts of one kind of unit that are known not to fit: (low, high].
    struct Refused {
        Time low = 0;
        Time high = -1;
        std::int32_t round = -1;
    };

    /// What a need has, once its unit is placed.
    struct Taken {
        profile::BusySpan span;
        UnitId span_from = -1;  ///< the unit whose start fixes the end; -1: none
        ResourceId chosen = -1;
        Interval busy;
    };

    void reset();
    bool place(UnitId unit);
    bool open_window(UnitId unit, Bound& low, Bound& high);
    void fail_between(UnitId unit, const Bound& low, const Bound& high);
    void aim_spans(UnitId unit);
    Time latest_start(UnitId unit, Time low, Time floor, Time high);
    bool fits_everywhere(UnitId unit, Time& start);
    profile::Fit best_choice(std::int32_t need, Time start);
    bool take(UnitId unit, std::int32_t need, Time start);
    void occupy(std::int32_t need, ResourceId resource, Time start, Interval busy);
    void vacate(std::int32_t need);
    void commit(UnitId unit, Time start);
    bool spread(UnitId unit);
    void tighten(bool low, UnitId unit, Bound bound);
    bool spread_from_queue();

    std::optional<std::size_t> repair(List& list, std::size_t position);
    std::optional<std::size_t> move_asker(std::size_t position);
    std::optional<std::size_t> move_forward(List& list, std::size_t position);
    bool in_the_way(UnitId unit, UnitId other) const;
    void mark_needed_before(UnitId unit);
    void undo_to(std::size_t position);
    bool ends_hold();

    const Model& model_;
    const Project& project_;
    std::vector<profile::StepProfile> profiles_;
    std::vector<profile::StateLine> lines_;

    std::vector<Placing> placings_;  ///< by unit
    std::vector<Taken> taken_;       ///< by need
    std::vector<Change> changes_;
    std::vector<std::size_t> change_mark_;  ///< by position
    std::vector<UnitId> placed_;            ///< by position
    std::vector<UnitId> queue_;
    std::vector<char> queued_;
    std::vector<char> needed_before_;
    std::int64_t undone_ = 0;

    std::vector<Refused> refused_;
    std::int32_t round_ = 0;  ///< counts undone placements: what was refused before may fit now
    Failure failure_;
};

}  // namespace oventide::scheduling
