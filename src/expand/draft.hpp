#pragma once
/// An expansion in the making: what its steps hand to each other.

#include <optional>
#include <string>
#include <vector>

#include "expand/amounts.hpp"
#include "expand/loads.hpp"
#include "expand/promises.hpp"
#include "oventide/expand.hpp"

namespace oventide::expansion {

/// Activities of one step of one batch, by load: ids [first, end).
struct ActivityRange {
    ActivityId first = 0;
    ActivityId end = 0;
};

struct Draft {
    Draft(const Plan& what, const Actual* on_the_day) : plan(what), actual(on_the_day), promises(what) {}

    const Plan& plan;
    const Actual* actual;  ///< null: as planned
    Time horizon = 0;
    std::vector<LoadSizes> load_sizes;       ///< by component
    Queues queues;                           ///< by component
    std::vector<std::int32_t> first_batch;   ///< by component, and one past the last: index into Expansion::batches
    std::vector<std::int32_t> first_slot;    ///< by batch: where its steps begin in first_activity
    std::vector<ActivityId> first_activity;  ///< by batch and step, and one past the last
    PromiseBook promises;
    Expansion expansion;
    std::vector<Diagnostic> diagnostics;

    bool failed() const;
    /// What an activity of that name really takes, where that is known.
    std::optional<Time> actual_duration(const std::string& name) const;
    std::vector<Actual::Stretched> stretched(const std::string& name) const;
    bool made(ComponentIndex component) const { return first_batch[component] < first_batch[component + 1]; }
    const Component& component_of(const Batch& batch) const { return plan.components[batch.component]; }
    const Serving& serving(std::int32_t batch) const;
    ActivityRange activities(std::int32_t batch, StepIndex step) const;
    /// Those of the step that hands the food on.
    ActivityRange last_activities(std::int32_t batch) const;
    Time project_time(Instant at) const;
    void error(const Place& place, std::string message, std::string suggestion);
};

/// Batches with what they serve, numbered by component, and the food that goes from one to another.
void add_batches(Draft& draft);
/// An activity for each step of each batch or load: what it is, how long it takes, how long it keeps.
void add_activities(Draft& draft);
/// What a step wants and no kitchen time can give.
void check_capacities(Draft& draft);
/// Equipment, ovens, hands and washing; the resources' oven rules.
void add_demands(Draft& draft);
/// Lags, users, waiting and freshness.
void add_links(Draft& draft);
/// Due times, what is held until a pickup, and the earliest start of what would not keep until then.
void add_deadlines(Draft& draft);

}  // namespace oventide::expansion
