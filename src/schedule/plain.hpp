#pragma once
/// Plain projects: nothing but constant capacities, fixed demands, lags that lead one way, and the earliest start to be
/// as late as possible (for a deadline that all share this is the shortest makespan).
///
/// Both directions of time are the same here, so the pass is written once, from the anchored end on, for a Side: the
/// backward side counts times from the deadline back, the forward side from the beginning. A pass on one side is worth
/// as much as one on the other. Usage of all resources stands in one 64-bit word a minute, each in a field of its own
/// with a guard bit on top: a demand fits where no guard is borrowed from.

#include <array>
#include <cstdint>
#include <optional>
#include <vector>

#include "schedule/model.hpp"
#include "schedule/serial_pass.hpp"

namespace oventide::scheduling {

/// One direction of time.
struct Side {
    Lists<Link> before;         ///< start(unit) >= start(link.unit) + lag
    std::vector<Time> release;  ///< by unit: starts no earlier, counted from this side's anchor
    std::vector<Time> tail;     ///< by unit: at least so much follows its finish
    std::vector<Time> from;     ///< by unit: where its demand begins, from its start
};

struct PlainModel {
    std::array<Side, 2> sides;          ///< backward, forward
    std::vector<Time> length;           ///< by unit: start to finish
    std::vector<Time> busy;             ///< by unit: how long its demand lasts
    std::vector<std::uint64_t> demand;  ///< by unit: packed
    std::uint64_t capacity = 0;         ///< packed, guards set
    std::uint64_t guards = 0;
    Time unit_time = 1;  ///< all times are multiples of this many minutes and counted in it
    Time deadline = 0;
    Time longest = 0;  ///< no pass reaches further

    std::int32_t count() const { return static_cast<std::int32_t>(length.size()); }
};

/// Nothing where the project is not plain.
std::optional<PlainModel> make_plain(const Model& model);

enum class Direction : std::uint8_t { backward = 0, forward = 1 };
inline Direction opposite(Direction direction) {
    return direction == Direction::backward ? Direction::forward : Direction::backward;
}

class PlainPass {
public:
    explicit PlainPass(const PlainModel& model);

    /// Serial generation over a list in which `before` stands before. Returns the makespan, tails included.
    Time run(Direction direction, const UnitId* list);

    const std::vector<Time>& starts() const { return start_; }  ///< by unit, on the side of the last run

private:
    /// All that a pass reads of a unit, side by side in memory.
    struct Compact {
        std::uint64_t demand = 0;
        Time release = 0;
        Time from = 0;
        Time busy = 0;
        Time length_and_tail = 0;
        std::int32_t first_before = 0;
        std::int32_t last_before = 0;
    };
    static std::vector<Compact> compact(const PlainModel& model, const Side& side);

    const PlainModel& model_;
    std::array<std::vector<Compact>, 2> units_;  ///< by side, by unit
    std::vector<std::uint64_t> free_;
    std::vector<Time> start_;
    Time used_to_ = 0;
};

/// Starts in the project's time, by unit, from those of a side with that makespan.
std::vector<Time> project_starts(const PlainModel& model, Direction direction, const std::vector<Time>& starts,
                                 Time makespan);

}  // namespace oventide::scheduling
