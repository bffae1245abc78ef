#pragma once
/// What has happened and the plan to a timetable of what is left, with the least upset.
///
/// What is finished stays as it happened, what runs keeps its start and gets its forecast end, what has not started
/// starts now or later. In this order: as few minutes late as can be found; as little of the limits broken that what
/// has happened makes hard to keep (limits between steps that are both still to come are never broken); as few minutes
/// beyond what food is best within, over what was announced; as little changed of what was announced: steps earlier,
/// steps moved, minutes moved, other people or equipment; what the plan aims at. A delay first moves only what it must
/// in the announced order, with the announced people and equipment, into the orders' margins; where that does not keep
/// everything, ever more steps around it may change their order. Where what was announced last was so because of news
/// that holds no longer (taken back, mended or back earlier than said), what was announced before that news comes
/// first.

#include <cstdint>
#include <functional>
#include <memory>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "oventide/expand.hpp"
#include "oventide/journal.hpp"
#include "oventide/plan.hpp"
#include "oventide/scheduler.hpp"
#include "oventide/timetable.hpp"

namespace oventide::replan {

enum class State { waiting, running, finished };

struct StepState {
    State state = State::waiting;
    Instant start;                      ///< meaningful where it has started
    Instant ready;                      ///< of a running step the forecast; never before now, but where `ready_then`
    Instant expected;                   ///< of a running step the forecast, even where that is past
    bool inferred = false;              ///< no entry says so: a step that needs it has started
    bool by_itself = false;             ///< no entry says so: it wants neither hands nor a place, and all is ready
    bool ready_then = false;            ///< running, and ready without anybody's doing when it was expected to be
    std::optional<Instant> announced;   ///< its start in the timetable published last
    std::optional<Instant> told_ready;  ///< likewise, when it was to be ready
    /// Of a running bake: the setting that runs at that minute goes on for so much longer; by time.
    std::vector<std::pair<Instant, Minutes>> stretched;
};

/// Equipment broke while a step, or the food that it keeps, was in it, and nobody has said since what becomes of it.
struct Interruption {
    ActivityId step = 0;
    EquipmentIndex equipment = 0;
    Span span;                           ///< broken while it was in there; ends now where nobody knows until when
    bool open = false;                   ///< nobody knows until when
    bool kept = false;                   ///< it was ready, and only stands there
    Minutes moved{0};                    ///< its end is taken to be so much later; 0 in a fridge
    std::optional<std::int32_t> noted;   ///< number of the entry that says that it has started
    std::optional<MilliCelsius> heat{};  ///< of a bake: at that; `moved` has the time to be hot again
    MilliCelsius lost{};                 ///< likewise: so much was wanting still when it broke, after an earlier break
    Minutes heating{};                   ///< likewise: to be made good in so long, which that break's `moved` has
};

/// A note that hardly fits the plan or the other notes. It counts, since the kitchen is right; but the cook is asked.
struct Question {
    enum class Kind {
        needs_open,   ///< `step` began at `at`, before `other`, which it needs, was ready or was to be: `expected`
        not_started,  ///< finished at `at`, without a start, before it was to start: `expected`
        too_warm,     ///< finished at `at`, though the last probe read `reading`, and `wanted` is what it is to come to
        too_soon,     ///< finished at `at`, after less than half of its time, which ends at `expected`
        too_hot,      ///< a probe read `reading` at `at`, out of the oven and off the hob
        no_room,      ///< began at `at`, when `equipment` was full: `other` is in there until `expected`
        other_heat    ///< likewise, when the oven was at `reading` for `other`, and `wanted` is what `step` bakes at
    };
    Kind kind = Kind::needs_open;
    ActivityId step = 0;
    std::optional<ActivityId> other;
    Instant at;
    std::optional<Instant> expected;  ///< too warm: when the probe was read
    MilliCelsius reading = 0;
    std::optional<std::int32_t> entry;  ///< number of the entry that says so
    MilliCelsius wanted = 0;
    std::optional<EquipmentIndex> equipment = {};
};

/// A note by which somebody is there who is there anyway.
struct Idle {
    PersonIndex person = 0;
    Span span;   ///< as noted
    Span hours;  ///< theirs, that have it all
    std::int32_t entry = 0;
};

/// To what an oven was announced to be turned, at a time that has passed.
struct Turned {
    Instant at;
    std::optional<MilliCelsius> setting;  ///< absent: off
};

/// What the journal names and the plan lacks: a step, once; equipment, a person or an order, by every entry that says
/// something of it, and that does not count.
struct Unknown {
    std::string name;
    std::int32_t entry = 0;  ///< number of the entry
    bool step = false;
};

/// The day as the journal and the clock have it.
struct Situation {
    Instant now;
    std::vector<StepState> steps;                 ///< by ActivityId of the plan's expansion
    Plan today;                                   ///< with what is closed, who is away, and the pickups as they are now
    std::vector<Instant> usable_from;             ///< by equipment: broken until then; now where it is not broken
    std::vector<Unknown> unknown;                 ///< in the order of the journal
    std::vector<std::vector<Span>> away;          ///< by person
    std::vector<std::vector<Span>> broken;        ///< by equipment
    std::vector<std::vector<Turned>> told_turns;  ///< by equipment, by time: as had been announced by then
    std::vector<Instant> told_pickups;            ///< by order: as they were when a timetable was published last
    std::vector<Question> questions;              ///< but for those that the cook has confirmed
    std::vector<Idle> idle;                       ///< likewise
    std::vector<Interruption> interruptions;      ///< by step
    std::vector<std::optional<Instant>> open_since;  ///< by equipment: broken then, until nobody knows when
    bool edited = false;  ///< the plan, since it was announced: what was announced was of other amounts, perhaps
    std::vector<std::string> open_end;  ///< broken or away until nobody knows when: taken as for the rest of the day
};

/// When a running step will be ready, as far as the temperatures measured so far tell; empty where they do not.
using Forecast =
    std::function<std::optional<Instant>(ActivityId step, Instant start, const std::vector<journal::Probe>& readings)>;

/// `plan` and its expansion as read; the journal's entries that stand. What is expected of a running step: what the
/// cook has said, or what a later probe makes of it by `forecast`, or else what the plan says; and, where equipment
/// broke while it was in it and nothing was noted about it since, so much later as that lasts, but for a fridge. What
/// was announced to have started and is not noted has not; but for what begins without anybody's doing, such as a
/// prove on the bench, once all that it needs is noted to be ready: that has begun then, and what it keeps counts.
Situation situation(const Plan& plan, const Expansion& expansion, const journal::Journal& journal, Instant now,
                    const Forecast& forecast = {});

/// The same day, had `published` been announced last.
Situation as_announced(Situation situation, const Plan& plan, const Expansion& expansion,
                       const journal::Journal& journal, const journal::Published& published);

/// A waiting step that is not as announced; `from` is absent where it was not announced at all.
struct Change {
    ActivityId step = 0;
    std::optional<Instant> from;
    Instant to;
    bool other_people = false;
    bool other_equipment = false;
};

/// An oven's turn that is not as announced; `from` or `to` is absent where it was not, or is no more.
struct TurnChange {
    EquipmentIndex oven = 0;
    std::optional<MilliCelsius> temperature;  ///< absent: off
    std::optional<Instant> from;
    std::optional<Instant> to;
};

/// Washing up after `step`, likewise, or by somebody else.
struct WashingChange {
    ActivityId step = 0;
    PersonIndex person = 0;
    std::optional<Instant> from;
    Instant to;
};

/// A limit from what has happened to what is still to come that cannot be kept.
struct Broken {
    ActivityId step = 0;  ///< the step that comes too late
    std::string promise;  ///< in the cook's words
    Minutes over{0};
};

/// Why `step` does not start earlier.
struct HoldUp {
    enum class Cause {
        step,    ///< it follows `by`
        busy,    ///< `by` has `resource` until then
        closed,  ///< `resource` is not there before: a person, or what is closed or broken
        cold,    ///< oven `resource` is not hot before
        stood,   ///< it has begun, and stood still while `resource` was broken, and until that was hot again
        now      ///< it starts now
    };
    Cause cause = Cause::now;
    ActivityId step = 0;
    std::optional<ActivityId> by;
    std::optional<ResourceId> resource;
};

/// What must be for there to be a timetable; it was tried.
struct Need {
    enum class Kind {
        stays,  ///< person `what` until `at`; their hours end at `instead`
        comes,  ///< person `what` from `at`; their hours begin at `instead`
        back,   ///< person `what` is away, and must be back by `at`
        mended  ///< equipment `what` by `at`; later, more is late, or a limit is broken by more
    };
    Kind kind = Kind::stays;
    std::int32_t what = 0;
    Instant at;
    std::optional<Instant> instead;
};

/// One change that helps where a pickup cannot be kept, or food would stand over night; it was tried, and `late` is
/// what is late in spite of it.
struct WayOut {
    enum class Kind {
        spread,      ///< the chill `what`, which is under way, lies `depth` deep from `by` on, and is cold at `ready`
        hours,       ///< `hours` are longer
        borrow,      ///< one more of equipment `what`
        helper,      ///< somebody who does what person `what` does, from now on
        serve_late,  ///< order `what` alone is late
        leave_out,   ///< batch `what` of the expansion is not made
    };
    Kind kind = Kind::borrow;
    std::int32_t what = 0;
    struct Late {
        std::int32_t order = 0;
        Minutes by{0};
    };
    std::vector<Late> late;
    std::vector<Need> hours{};
    bool over_night = false;  ///< food stands over night in spite of it
    std::int64_t depth = 0;   ///< micrometres; so many `times` as many trays
    int times = 1;
    Instant by{};
    Instant ready{};
};

/// What `step` made stands over a night in which nobody is there, though it was announced to be used before.
struct OverNight {
    ActivityId step = 0;
    Instant from;  ///< ready
    Instant to;    ///< used
};

/// Were the one thing that is needed mended, or the one person back, only then.
struct Later {
    Instant at;
    Minutes late{0};  ///< of all orders
    Minutes over{0};  ///< past limits between steps
};

/// Where there is no timetable: no earlier, with all the hands and equipment that there could be.
struct Earliest {
    std::int32_t order = 0;
    Instant at;
};

/// Likewise the batch of the expansion.
struct BatchAtBest {
    std::int32_t batch = 0;
    Instant at;
};

/// An order gets fewer of something than it says, and that is all that can be found.
struct Fewer {
    std::string order;
    ComponentIndex component = 0;
    std::int64_t ordered = 0;  ///< of a component made by mass: milligrams
    std::int64_t left = 0;
    std::optional<Instant> not_before;  ///< the others cannot be ready before, were everybody and everything always
                                        ///< free; absent where that is in time
};

/// `step` can be done with nothing else than `equipment`, which is broken until nobody knows when.
struct Standstill {
    ActivityId step = 0;
    EquipmentIndex equipment = 0;
    std::optional<Instant> until;  ///< what it is made of waits no longer; absent: as long as it likes
    std::string promise;           ///< that says so, in the cook's words
    Minutes heating{0};            ///< of an oven, from cold: so long before that it must be mended
};

/// Somebody has a step that has begun in hand, or washes up after it.
struct HandsOn {
    PersonIndex person = 0;
    ActivityId step = 0;
    Span span;  ///< not before now
    bool washing = false;
};

/// Somebody has their last work of a day later than was announced.
struct Longer {
    PersonIndex person = 0;
    std::optional<Instant> from;  ///< as announced; absent: nothing to do that day
    Instant to;
};

/// Somebody is there now and has nothing to do until then, no oven to turn and nothing to wash up either; absent:
/// nothing any more.
struct Free {
    PersonIndex person = 0;
    std::optional<Instant> until;
};

struct Pickup {
    std::int32_t order = 0;
    Instant at;                      ///< as it is now
    Instant told;                    ///< as it was when a timetable was published last
    std::optional<Instant> before;   ///< ready, as announced
    Instant done;                    ///< ready, as replanned
    std::optional<ActivityId> last;  ///< of a late one: the step that is ready last
    std::vector<HoldUp> held_up;     ///< of a late one: from its last step back
};

/// An order is collected later than was announced, and a batch that is collected with it is made as early as before,
/// for all the plan says. With everything else as it is, what is left of it could be done so much later; 0: no later.
struct Fresher {
    std::int32_t order = 0;
    std::int32_t batch = 0;  ///< of the expansion
    Instant begins;          ///< the first of what is left of it, as replanned
    Minutes by{0};
};

/// `order` is later than was announced because `to` is collected earlier; it was tried: were `to` not, `order` would be
/// ready at `otherwise`, and `to` so much past its new pickup.
struct GaveWay {
    std::int32_t order = 0;
    std::int32_t to = 0;
    Instant otherwise;
    Minutes late{0};
};

struct Replanned {
    enum class Way {
        unchanged,    ///< everything as announced
        returned,     ///< the order and assignments announced before news that holds no longer, as near as can be
        shifted,      ///< announced order and assignments, as little later as can be
        reordered,    ///< some of the work in another order, or with other equipment or people
        conditional,  ///< nothing was found as things are; what there is if `needs` hold
        impossible    ///< nothing was found, late or not
    };
    Way way = Way::impossible;
    std::optional<Expansion> expansion;  ///< of what is left; the same ids
    Outcome outcome;
    std::optional<Timetable> timetable;  ///< of the whole day: what has happened as it did, and what is left
    std::vector<Change> changes;         ///< by new start, then id
    std::vector<TurnChange> turns;       ///< by time; none where no turns were announced
    std::vector<WashingChange> washing;  ///< by time, likewise
    std::vector<Longer> longer;          ///< by person, then by time
    std::vector<Pickup> pickups;         ///< by order
    std::vector<Broken> broken;          ///< by step; of what is past, what was not announced so
    std::vector<HandsOn> hands_on;       ///< by person
    std::vector<Free> free;              ///< by person
    std::vector<OverNight> over_night;   ///< by step
    std::vector<Fresher> fresher;        ///< by order, then batch
    std::vector<GaveWay> gave_way;       ///< by order
    std::vector<WayOut> ways;            ///< where a pickup is late, or food stands over night: the best first
    std::vector<ActivityId> overdue;     ///< announced to have started, no entry: taken as not started
    std::vector<std::string> unsound;    ///< what the referees say: empty, or this program is wrong
    std::vector<std::string> diagnosis;  ///< for Way::impossible: what could not be placed
    std::vector<Need> needs;             ///< for Way::conditional
    std::vector<Later> later;            ///< for Way::conditional, by time
    std::vector<Standstill> standstill;  ///< for Way::conditional and impossible
    std::vector<ActivityId> may_begin;   ///< for Way::impossible: all that they need is ready now
    std::vector<Earliest> earliest;      ///< for Way::impossible: by order
    std::vector<BatchAtBest> at_best;    ///< for Way::impossible: by batch
    std::vector<Fewer> fewer;            ///< for Way::conditional: what is not in it
    bool margins_tried = false;          ///< more of the margins was looked for
};

/// Something has no time yet, for it waits for equipment that is broken until nobody knows when.
struct Waiting {
    ActivityId step = 0;
    EquipmentIndex equipment = 0;
    bool in_there = false;  ///< it has begun, and stands still in it
};

/// A day while equipment is broken until nobody knows when.
struct OpenDay {
    Timetable timetable;  ///< without what waits; of a pickup that waits `done` means nothing
    std::vector<Waiting> steps;
    std::vector<std::optional<EquipmentIndex>> orders;  ///< by order: what it waits for
};

struct Options {
    std::int64_t schedules = 2;     ///< of each search
    std::int64_t nodes = 200;       ///< decisions of the exact search, where something better is looked for
    std::int64_t thorough = 2'000;  ///< likewise, where it is decided what must give way
    int searches = 64;              ///< at most so many
    std::uint64_t seed = 1;
    bool keep_margins = false;  ///< where no pickup is late: as much of the margins as can be, whatever else moves
};

/// How many minutes each order would be late, were a step that is under way ready only then. Empty where no timetable
/// is found for that.
std::vector<Minutes> late_if(const Plan& plan, const Expansion& expansion, const journal::Journal& journal,
                             const Situation& situation, ActivityId step, Instant ready, const Options& options = {});

/// When a chill that is under way would be cold enough, were it spread to `depth` micrometres at `at`; absent where
/// nothing tells how it would cool.
using ColdIfSpread = std::function<std::optional<Instant>(ActivityId chill, std::int64_t depth, Instant at)>;

/// Adds to the ways out which chill it would help to spread thinner, and how thin: as little as does.
void offer_spreading(const Plan& plan, const Expansion& expansion, const journal::Journal& journal,
                     const Situation& situation, const ColdIfSpread& cold, Replanned& result);

/// Of a day that needs nothing but such equipment to be mended: what has happened, and what need not wait for it. With
/// what comes behind a step that waits, what must soon be used for it waits too. Empty for every other day.
std::optional<OpenDay> open_day(const Situation& situation, const Replanned& result);

/// Needs a published timetable in the journal; every other state of it is answered.
Replanned replan(const Plan& plan, const Expansion& expansion, const journal::Journal& journal,
                 const Situation& situation, const Options& options = {});

/// A plan in which fewer pieces are ordered, and its day; its ids are its own.
struct Instead {
    Plan plan;
    Expansion expansion;
    Situation situation;
    Replanned result;
};
using ForecastFor = std::function<Forecast(const Plan& plan, const Expansion& expansion)>;

/// Where there is no timetable whatever is mended and whoever stays: what there is with as many batches fewer as it
/// takes, of those that are not begun; first without those that were not announced. Null where nothing is found, or
/// `result` has a timetable.
std::unique_ptr<Instead> with_fewer(const Plan& plan, const Expansion& expansion, const journal::Journal& journal,
                                    const Situation& situation, const Replanned& result, const ForecastFor& forecast,
                                    const Options& options = {});

}  // namespace oventide::replan
