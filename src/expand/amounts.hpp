#pragma once
/// Who needs how much of what: a queue of sales and uses for each component, cut into batches.

#include <cstdint>
#include <vector>

#include "expand/loads.hpp"
#include "oventide/expand.hpp"

namespace oventide::expansion {

/// A place in a component's queue: a sale, or what one step of one batch of another component draws.
struct Claim {
    Portion share;            ///< of the queue
    Instant pickup;           ///< of the sale; of a use the earliest that its batch serves
    Instant done_by;          ///< likewise, the earliest pickup less its margin
    std::int64_t weight = 0;  ///< pieces that it counts for in waiting
    std::int32_t order = -1;  ///< of a sale
    // of a use
    ComponentIndex user = -1;
    std::int32_t user_batch = 0;  ///< from 0
    StepIndex step = 0;
    std::int32_t draw = 0;  ///< index into Step::draws
};

/// What a batch of a queue serves: claims[first_claim, claims_end) meet it.
struct Serving {
    Portion share;
    std::int32_t first_claim = 0;
    std::int32_t claims_end = 0;
    std::int64_t weight = 0;
    std::int32_t first_order = -1;  ///< the order that it, or what it goes into, has to be done for first
    Instant pickup;
    Instant done_by;
};

/// Claims in the order of their pickups; where they are equal sales before uses, then as written.
struct Queue {
    std::vector<Claim> claims;
    std::vector<Serving> batches;
    std::int64_t total = 0;
};

/// By component.
using Queues = std::vector<Queue>;

/// Empty queues where a diagnostic is an error. `sizes` are the load sizes by component.
Queues share_out(const Plan& plan, const std::vector<LoadSizes>& sizes, std::vector<Diagnostic>& diagnostics);

/// Batches of a queue that meet [from, to): indices [first, end).
struct Meeting {
    std::int32_t first = 0;
    std::int32_t end = 0;
};
Meeting batches_that_meet(const Queue& queue, Portion portion);

/// What [from, to) of a user's batch of `size` draws, as a portion of the giver's queue: every piece of the user is
/// covered whole. `claim` is the batch's claim.
Portion drawn_portion(const Plan& plan, const Claim& claim, std::int64_t size, Portion of_user);

}  // namespace oventide::expansion
