#pragma once
/// A schedule in the cook's words: what every report is made from, and what the checker reads back.

#include <cstdint>
#include <functional>
#include <optional>
#include <string>
#include <vector>

#include "oventide/expand.hpp"
#include "oventide/plan.hpp"
#include "oventide/schedule.hpp"
#include "oventide/scheduler.hpp"
#include "oventide/time.hpp"

namespace oventide {

struct EquipmentUse {
    EquipmentIndex equipment = 0;
    std::int32_t amount = 0;
    Span span;
};

struct HandsUse {
    PersonIndex person = 0;
    Span span;
    bool washing = false;
};

/// What an oven is at for a while, as the load that is in it wants it.
struct Heat {
    Span span;
    std::optional<MilliCelsius> temperature;  ///< absent: off
    bool ajar = false;                        ///< the door stands ajar; only where it is off
    bool broken = false;                      ///< it is off for that, or not hot again yet; no part of the bake
};

/// One step of one batch (or load).
struct Row {
    std::string id;  ///< readable and stable: "tart-case.1.bake.2" (component, batch, step, load)
    ComponentIndex component = 0;
    StepIndex step = 0;
    std::int32_t batch = 1;   ///< number, from 1
    std::int32_t load = 0;    ///< from 1; 0: the whole batch
    std::int64_t amount = 0;  ///< pieces or milligrams of the batch or load
    std::int64_t from = 0;    ///< where that amount begins in its batch
    Instant start;
    Instant ready;
    Instant end;
    std::vector<EquipmentUse> equipment;
    std::vector<HandsUse> hands;
    std::vector<Heat> heat;             ///< of a bake, one after another from start to ready
    std::optional<Instant> shut_until;  ///< of a bake: nobody opens the oven's door before
    std::optional<Minutes> slip;        ///< total float; absent where it was not computed, or nothing holds it back
    /// Likewise, were every order's margin nothing: how much later it can start before a pickup itself moves.
    std::optional<Minutes> slip_to_pickup;
};

struct OvenEvent {
    enum class Kind { on, set, off, hot };  ///< `hot`: a load may go in at this setting
    Kind kind = Kind::on;
    EquipmentIndex oven = 0;
    Instant at;
    std::optional<MilliCelsius> temperature;  ///< absent for off
    std::optional<PersonIndex> by{};          ///< who does it; absent for `hot`, a timer, or where nobody is there
    /// Of a turn while food is in there: when the first of it comes out. Absent where the oven is empty.
    std::optional<Instant> leave_until{};
    bool ajar = false;      ///< the door stands ajar until then
    bool breaks = false;    ///< off, and nobody's doing
    bool by_timer = false;  ///< it comes on by itself, for nobody is at work then
};

/// What somebody does, from one minute to another or in passing: every demand for hands, every turn of an oven, and
/// what moves into an oven or a fridge or out of an oven, or is put out, where the plan asks for no hands.
struct Job {
    enum class Kind {
        work,        ///< all that the step takes, or something in the middle of it
        into,        ///< an oven or a fridge
        out,         ///< of an oven or a fridge
        begin,       ///< the first minutes of the step
        end,         ///< the last ones
        afterwards,  ///< past the step's end
        washing,
        oven,     ///< an oven is switched or turned
        timer,    ///< an oven's timer is set, so that it comes on by itself
        put_out,  ///< what the step begins with, out of the store or the cold: nobody has it in hand then
    };
    Kind kind = Kind::work;
    Span span;                          ///< empty for what is done in passing
    std::optional<PersonIndex> person;  ///< absent: in nobody's hours
    std::int32_t row = -1;              ///< index into Timetable::rows; -1 for an oven's turn
    std::int32_t event = -1;  ///< index into Timetable::oven; -1 but for an oven's turn, or what its timer does
    std::optional<EquipmentIndex> place{};  ///< for into and out: the oven or the fridge; else the oven
};

/// A working day of one person, or a night: from the first time that hands are needed (or an oven switched on) after
/// a rest of kNightsRest or more to the last job before the next such rest.
struct Shift {
    PersonIndex person = 0;
    Span span;
    std::int32_t first = 0;  ///< index into Timetable::jobs
};

inline constexpr Minutes kNightsRest{5 * 60};

/// Food that goes from one row's batch to another's step.
struct Handover {
    ComponentIndex from = 0;
    std::int32_t from_batch = 1;
    ComponentIndex to = 0;
    std::int32_t to_batch = 1;
    StepIndex step = 0;
    std::int64_t amount = 0;
};

struct PickupLine {
    std::int32_t order = 0;
    Instant pickup;
    Instant done;  ///< when its last step is ready
    /// Which batches serve which item, and with how much.
    struct Serving {
        std::int32_t item = 0;
        std::int32_t batch = 1;
        std::int64_t amount = 0;
    };
    std::vector<Serving> servings;
};

/// Food that is collected, or goes into something, later than it is at its best.
struct PastBest {
    ComponentIndex component = 0;
    std::int32_t batch = 1;
    std::int64_t amount = 0;
    Instant ready;  ///< its first load, where it has several
    Instant used;
    std::optional<std::int32_t> order;  ///< by whom it is collected; absent: it goes into `row`
    std::int32_t row = -1;              ///< index into Timetable::rows
};

/// Goals in the plan's order of aims.
struct GoalLine {
    Aim aim = Aim::alarm;
    std::int64_t value = 0;  ///< minutes, or piece-minutes; for the alarm minutes since the epoch (UTC)
    std::int64_t best = 0;   ///< what no timetable can better, in the same unit
    bool proven = false;
};

struct Timetable {
    std::vector<Row> rows;  ///< by start, then id
    std::vector<OvenEvent> oven;
    std::vector<Handover> handovers;
    std::vector<PickupLine> pickups;
    std::vector<PastBest> past_best;  ///< as batches are numbered, then by use
    std::vector<Job> jobs;  ///< by start; at one minute ovens first, then what comes out, then what is done in passing
    std::vector<Shift> shifts;  ///< by start, then person
    std::vector<GoalLine> goals;
    std::int64_t pieces = 0;  ///< collected in all, as the aim 'waiting' counts them
    bool optimal = false;
    std::optional<Instant> alarm;  ///< the earliest start of hands, or of switching on an oven without a timer
};

/// Times stay as they are; where one of those who lend hands to a step is free for all of them, that one does.
void steady_hands(const Expansion& expansion, Schedule& schedule);

/// Total float by activity; either may be empty: not computed.
struct Slips {
    std::vector<Time> to_margin;
    std::vector<Time> to_pickup;
};

Timetable make_timetable(const Plan& plan, const Expansion& expansion, const Outcome& outcome, const Slips& slips);

/// A step that begins by itself, when what it needs is ready, and stands in the timetable later than that.
struct PutOff {
    std::int32_t row = 0;  ///< index into Timetable::rows
    Instant possible;
};

/// Of the steps that nobody has in hand, on the bench, a rack or in a fridge, those that begin a quarter of an hour or
/// more later than what they need is ready; in the order of rows.
std::vector<PutOff> put_off(const Plan& plan, const Expansion& expansion, const Timetable& timetable);

/// From when a load may go in after this turn of an oven; absent where none does.
std::optional<Instant> hot_after(const Timetable& timetable, std::size_t event);

/// "180 C"; "340 F" where the plan says so of an oven.
std::string heat_text(const Plan& plan, MilliCelsius temperature);

// ------------------------------------------------------------------------- in words, the same ones on every page

/// "a", "b", ... "z", "aa": the component in a picture's bars.
std::string letter(ComponentIndex component);

/// How a page tells a time of the day.
using ClockWords = std::function<std::string(Instant)>;

/// "180 C, 30 min, then off, 12 min; door shut until 13:39"; empty for what is not baked.
std::string baking(const Plan& plan, const Row& row, const ClockWords& clock);

/// What is done of the step: "into oven at 180 C, 30 min", "begin"; empty for work and washing.
std::string doing(const Plan& plan, const Timetable& timetable, const Job& job, const ClockWords& clock);

/// "switch on, 180 C, ready 13:14", "switch off; leave it in, door shut, until 13:56"; for an index into
/// Timetable::oven.
std::string turning(const Plan& plan, const Timetable& timetable, std::int32_t event, const ClockWords& clock);

/// What goes into that oven between this turn and the next; where food is left in, what is in it: " - for pear tart",
/// " - in it: pear tart". `name` writes a component's name.
std::string turned_for(const Timetable& timetable, std::int32_t event,
                       const std::function<std::string(ComponentIndex)>& name);

}  // namespace oventide
