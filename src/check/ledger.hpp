#pragma once
/// Who needs how much of what, worked out anew from the plan: queues of sales and uses, batches, loads, times.

#include <cstdint>
#include <optional>
#include <vector>

#include "oventide/plan.hpp"
#include "oventide/timetable.hpp"

namespace oventide::referee {

/// Wide enough for any product of two amounts or of an amount and a time.
__extension__ using Wide = __int128;

Wide floor_div(Wide a, Wide b);
Wide ceil_div(Wide a, Wide b);

/// A stretch of a component's queue: a sale, or what one step of one batch of another component draws.
struct Claim {
    Portion share;
    Instant pickup;  ///< of the sale; of a use the earliest that its batch serves
    // a sale
    std::int32_t order = -1;
    std::int32_t item = -1;
    // a use
    ComponentIndex user = -1;
    std::int32_t user_batch = 0;  ///< number, from 1
    StepIndex step = -1;
    std::int32_t draw = -1;
};

/// A batch: its number is its place in the list, from 1.
struct Lot {
    Portion share;  ///< of the queue
    Instant pickup;
    std::int64_t size() const { return share.to - share.from; }
};

struct Queue {
    std::vector<Claim> claims;
    std::vector<Lot> lots;
};

/// One row that the timetable has to have.
struct Piece {
    std::int32_t load = 0;
    Portion share;  ///< of the batch
};

class Ledger {
public:
    explicit Ledger(const Plan& plan);

    const Queue& queue(ComponentIndex component) const { return queues_[component]; }
    const Lot& lot(ComponentIndex component, std::int32_t batch) const { return queues_[component].lots[batch - 1]; }
    std::int32_t batches(ComponentIndex component) const {
        return static_cast<std::int32_t>(queues_[component].lots.size());
    }

    /// The draw that a use is of.
    const Draw& draw_of(const Claim& claim) const {
        return plan_.components[claim.user].steps[claim.step].draws[claim.draw];
    }

    /// The loads in which a step of a batch is done, or the one piece that is the whole batch.
    std::vector<Piece> pieces(ComponentIndex component, StepIndex step, std::int32_t batch) const;

    /// Batches of the drawn component that [from, to) of a user's batch needs: numbers [first, second).
    struct Needed {
        std::int32_t first = 1;
        std::int32_t end = 1;
    };
    Needed needed(ComponentIndex user, std::int32_t batch, StepIndex step, std::int32_t draw, Portion portion) const;

private:
    std::vector<Claim> draws_of(ComponentIndex user, std::int32_t batch, ComponentIndex drawn) const;
    void fill_queue(ComponentIndex component);
    void cut_into_lots(ComponentIndex component);
    std::int64_t end_of_wait(ComponentIndex component, std::int64_t at, std::optional<Minutes> patience) const;
    bool takes_another(ComponentIndex component, std::int64_t at, std::int64_t full, std::optional<Minutes> patience,
                       std::int64_t most) const;
    std::int64_t even_room(ComponentIndex component, std::int64_t at, std::optional<Minutes> patience,
                           std::int64_t most) const;
    Portion drawn(const Draw& draw, ComponentIndex user, Portion portion) const;

    const Plan& plan_;
    std::vector<Queue> queues_;                          ///< by component
    std::vector<std::vector<std::int64_t>> load_sizes_;  ///< by component, by step; 0: batch by batch
};

/// What one batch may hold at most.
std::int64_t largest_batch(const Plan& plan, const Component& component);

/// Minutes that a step takes for so much, rounded up once.
std::int64_t minutes_taken(const Plan& plan, const Component& component, const Step& step, std::int64_t amount);

/// Minutes after the start at which each setting of the step's programme ends; the last is what the step takes.
std::vector<std::int64_t> setting_ends(const Plan& plan, const Component& component, const Step& step,
                                       std::int64_t amount);

}  // namespace oventide::referee
