#pragma once
/// What the plan says of an activity.

#include "oventide/expand.hpp"
#include "oventide/plan.hpp"

namespace oventide::replan {

inline const Step& step_of(const Plan& plan, const Expansion& expansion, ActivityId id) {
    const Task& task = expansion.tasks[id];
    return plan.components[expansion.batches[task.batch].component].steps[task.step];
}

/// Neither hands nor a place, and it is not put where it is cold: it begins when what it is made of is ready.
inline bool wants_nobody(const Plan& plan, const Expansion& expansion, ActivityId id) {
    const Step& step = step_of(plan, expansion, id);
    return expansion.project.activities[id].demands.empty() && !step.chill && !step.cools;
}

}  // namespace oventide::replan
