#pragma once
/// Why a plan has no timetable, and what would help: conditions that contradict each other, and single changes tried.
///
/// The set of conditions is found by QuickXplain (Junker, QUICKXPLAIN: Preferred Explanations and Relaxations for
/// Over-Constrained Problems, 2004). 'Impossible' is said only where it is proven, 'possible' only where there is a
/// schedule; what the search could not decide within its effort is told as undecided. What steps are made of, how
/// long they take and their bare order are given, and never questioned.

#include <atomic>
#include <cstddef>
#include <cstdint>
#include <optional>
#include <string>
#include <variant>
#include <vector>

#include "oventide/expand.hpp"
#include "oventide/plan.hpp"
#include "oventide/scheduler.hpp"
#include "oventide/timetable.hpp"

namespace oventide::ways {

/// For each plan that is tried; small, since many are.
struct Effort {
    std::int64_t schedules = 60;
    std::int64_t nodes = 2'000;
    std::uint64_t seed = 1;
    const std::atomic<bool>* stop = nullptr;
};

// ------------------------------------------------------------------------------------------------- why not

/// Something that the plan or the kitchen insists on.
struct Condition {
    enum class Kind {
        pickup,  ///< an order is done by its pickup less its margin: `promise`
        within,  ///< `promise`, as are the next three
        keeps,   ///< of a component (until its pickup, too) or of a step
        safety,
        rest,
        door,    ///< `step` of `component` has the oven's door shut for a while
        wash,    ///< `step` of `component` is washed up after the minute it ends
        last,    ///< `step` of `component` keeps, and has hands in its last minutes: just before it is used
        closed,  ///< `equipment` is closed at times
        heat,    ///< an oven has one setting at a time, and takes time to heat and to cool: all ovens
        amount,  ///< of `equipment` there is so much
        hours,   ///< `person` has hours
        hands,   ///< `person` does one thing at a time
        from,    ///< nothing starts before the plan's beginning
    };
    Kind kind = Kind::pickup;
    PromiseId promise = kNoPromise;
    ComponentIndex component = -1;
    StepIndex step = -1;
    EquipmentIndex equipment = -1;
    PersonIndex person = -1;
    Place place;
    friend bool operator==(const Condition& a, const Condition& b) {
        return a.kind == b.kind && a.promise == b.promise && a.component == b.component && a.step == b.step &&
               a.equipment == b.equipment && a.person == b.person;
    }
};

/// Every condition of the plan, those first that a cook would rather hear named.
std::vector<Condition> conditions_of(const Plan& plan, const Expansion& expansion);

/// A schedule in which only `kept` of the plan's conditions count; no goals. Outside the days for which the plan says
/// anything of hours, everybody is there.
Outcome solve_with(const Plan& plan, const Expansion& expansion, const std::vector<Condition>& kept,
                   const Effort& effort);

struct WhyNot {
    bool proven = false;                ///< these contradict each other
    std::vector<Condition> conditions;  ///< empty unless proven
    /// By condition: a schedule was found that keeps all of the others. Where it is false the search could not decide.
    std::vector<bool> needed;
    /// Lags that make up the contradiction where times alone do (see Outcome::contradiction).
    std::vector<Lag> chain;
};

/// Meaningful for a plan without a timetable: an irreducible set of conditions that contradict each other.
WhyNot why_not(const Plan& plan, const Expansion& expansion, const Effort& effort = {});

// ------------------------------------------------------------------------------------------ single changes
// In the order of the upset that they are, the least first.

/// Stretch `stretch` of somebody's hours begins earlier, or goes on for longer.
struct LongerHours {
    PersonIndex person = 0;
    std::int32_t stretch = 0;
    Minutes earlier{0};
    Minutes longer{0};
};
/// Somebody comes at another time as well: the evening before. Without a time: whenever wanted.
struct ExtraHours {
    PersonIndex person = 0;
    std::optional<Span> only;
};
struct EarlierBeginning {
    Minutes earlier{0};
};
struct LaterPickup {
    std::int32_t order = 0;
    Minutes later{0};
};
/// Closed time `closing` of the equipment begins later, or ends earlier.
struct ShorterClosing {
    EquipmentIndex equipment = 0;
    std::int32_t closing = 0;
    Minutes begins_later{0};
    Minutes ends_earlier{0};
};
/// Somebody who is there whenever anybody is; or only in that time.
struct AnotherPerson {
    std::optional<Span> only;
};
/// One more machine, ring, shelf or piece; one more tray in an oven.
struct OneMore {
    EquipmentIndex equipment = 0;
    std::optional<Span> only;
};
struct AnotherOven {
    EquipmentIndex like = 0;
    std::optional<Span> only;
};
/// Something keeps longer, or may wait longer, or need not rest for so long.
struct EasierPromise {
    Promise promise;  ///< within, keeps or rest
    Minutes by{0};
};
/// A step that is done batch by batch is done load by load.
struct ByLoad {
    ComponentIndex component = 0;
    StepIndex step = 0;
};
/// Batches of at most so much, which suit the orders: where so much goes together, which the cook alone knows.
struct BatchSize {
    ComponentIndex component = 0;
    std::int64_t most = 0;
};
/// The usual times instead of the long ones.
struct UsualTimes {};
struct SmallerOrder {
    std::int32_t order = 0;
    std::int32_t item = 0;
    std::int64_t fewer = 0;  ///< pieces or milligrams; all: left out
};

using Change = std::variant<LongerHours, ExtraHours, EarlierBeginning, LaterPickup, ShorterClosing, AnotherPerson,
                            OneMore, AnotherOven, EasierPromise, ByLoad, BatchSize, UsualTimes, SmallerOrder>;

Plan changed(const Plan& plan, const Change& change);

struct WayOut {
    Change change;
    /// Proven: a minute (a piece) less of the same change does not do. For one without an amount: true.
    bool least = false;
    std::optional<Instant> alarm;  ///< in the timetable that was found, which a longer search may better
};

struct WaysOut {
    std::vector<WayOut> ways;  ///< each by itself gives a timetable that the checker has passed; least upset first
    std::vector<Change> undecided;
    std::int32_t tried = 0;  ///< kinds of change, each up to the most that makes sense
};

/// Tries changes on a plan without a timetable. Where it is proven why there is none, only such as touch that.
/// `only_pickups`: no others.
WaysOut ways_out(const Plan& plan, const Expansion& expansion, const WhyNot& why, const Effort& effort = {},
                 bool only_pickups = false);

// ----------------------------------------------------------------------------------------------- gains

struct Gain {
    Change change;
    std::vector<GoalLine> goals;  ///< with the change, in the order of the plan's aims
};

struct Gains {
    std::vector<GoalLine> now;
    std::vector<Gain> gains;      ///< the greatest first; each is that of a checked timetable, and may be greater yet
    std::vector<Change> nothing;  ///< tried, and no better timetable was found
};

/// What changes would win for a plan that has a timetable, whose goals are `now`.
Gains gains(const Plan& plan, const Expansion& expansion, const std::vector<GoalLine>& now, const Effort& effort = {});

}  // namespace oventide::ways
