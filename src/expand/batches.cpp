#include <algorithm>

#include "expand/arithmetic.hpp"
#include "expand/draft.hpp"

namespace oventide::expansion {
namespace {

Portion common(Portion a, Portion b) { return {std::max(a.from, b.from), std::min(a.to, b.to)}; }

std::vector<Batch::Sale> sales(const Queue& queue, const Serving& serving) {
    std::vector<Batch::Sale> result;
    for (std::int32_t i = serving.first_claim; i < serving.claims_end; ++i) {
        const Claim& claim = queue.claims[i];
        if (claim.user >= 0) continue;
        const Portion sold = common(claim.share, serving.share);
        result.push_back({claim.order, sold.to - sold.from});
    }
    return result;
}

/// What batch `from` gives to its users.
void add_food(Draft& draft, const Queue& queue, const Serving& serving, std::int32_t from) {
    for (std::int32_t i = serving.first_claim; i < serving.claims_end; ++i) {
        const Claim& claim = queue.claims[i];
        if (claim.user < 0) continue;
        const Portion given = common(claim.share, serving.share);
        const std::int64_t weight = part_of(claim.weight, claim.share.to - claim.share.from,
                                            given.from - claim.share.from, given.to - claim.share.from);
        draft.expansion.food.push_back(
            {from, draft.first_batch[claim.user] + claim.user_batch, claim.step, given.to - given.from, weight});
    }
}

}  // namespace

void add_batches(Draft& draft) {
    std::int32_t count = 0;
    for (const Queue& queue : draft.queues) {
        draft.first_batch.push_back(count);
        count += static_cast<std::int32_t>(queue.batches.size());
    }
    draft.first_batch.push_back(count);

    for (std::size_t component = 0; component < draft.queues.size(); ++component) {
        const Queue& queue = draft.queues[component];
        for (std::size_t i = 0; i < queue.batches.size(); ++i) {
            const Serving& serving = queue.batches[i];
            add_food(draft, queue, serving, static_cast<std::int32_t>(draft.expansion.batches.size()));
            Batch batch;
            batch.component = static_cast<ComponentIndex>(component);
            batch.number = static_cast<std::int32_t>(i) + 1;
            batch.share = serving.share;
            batch.sales = sales(queue, serving);
            batch.weight = serving.weight;
            draft.expansion.batches.push_back(std::move(batch));
        }
    }
}

}  // namespace oventide::expansion
