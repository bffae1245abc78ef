#pragma once
/// A schedule in the cook's words: what every report is made from, and what the checker reads back.

#include <cstdint>
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
    std::optional<Minutes> slip;  ///< total float; absent where it was not computed
};

struct OvenEvent {
    enum class Kind { on, set, off, hot };  ///< `hot`: a load may go in at this setting
    Kind kind = Kind::on;
    EquipmentIndex oven = 0;
    Instant at;
    std::optional<MilliCelsius> temperature;  ///< absent for off
};

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
    std::vector<GoalLine> goals;
    bool optimal = false;
    std::optional<Instant> alarm;  ///< the earliest start of hands, or of switching on an oven without a timer
};

Timetable make_timetable(const Plan& plan, const Expansion& expansion, const Outcome& outcome,
                         const std::vector<Time>& slips);

}  // namespace oventide
