#pragma once
/// How little food can wait, at least: a lower bound on Goal::waiting by Lagrangian relaxation.
///
/// Resources get a price a minute instead of a capacity (Fisher, The Lagrangian relaxation method, 1981; for projects:
/// Christofides, Alvarez-Valdes and Tamarit 1987; Moehring, Schulz, Stork and Uetz, Solving project scheduling problems
/// by minimum cut computations, 2003). What remains are starts with a cost for each minute, tied by lags: exact by
/// dynamic programming over a spanning forest of the ties, the others being priced too. A resource with a state sells
/// its best sequence of settings, transitions kept. Prices rise where more is wanted than there is (subgradient: Held,
/// Wolfe and Crowder 1974). Whole numbers throughout, and a budget in counts: the same bound on every machine.

#include <cstdint>
#include <functional>
#include <optional>
#include <vector>

#include "schedule/model.hpp"

namespace oventide::scheduling {

struct WaitingCase {
    std::int64_t best = 0;        ///< of a schedule known: what the bound is to come near to
    Time not_before = 0;          ///< nobody wakes earlier, held by a goal before this one; 0: no such goal
    std::optional<Time> overrun;  ///< all food together overruns by no more, held by a goal before this one
    /// Called now and then with the relaxation's starts, by unit: resources may be wanted twice, but as a list they
    /// lead near good schedules. Answers what the best schedule known is worth then.
    std::function<std::int64_t(const std::vector<Time>&)> offer;
    std::int64_t work = 0;  ///< starts that may be looked at, over all rounds
};

/// Empty where the relaxation says nothing: no links, one with a negative weight, or a work too small for one round.
std::optional<std::int64_t> relaxed_waiting(const Model& model, const WaitingCase& asked);

}  // namespace oventide::scheduling
