#pragma once
/// The schedule that was published, read back from names and times.

#include <optional>
#include <vector>

#include "oventide/expand.hpp"
#include "oventide/journal.hpp"
#include "oventide/plan.hpp"
#include "oventide/schedule.hpp"

namespace oventide::replan {

/// With the resources that the names stand for; where names leave a choice, whoever is free then. Steps that were not
/// published (the plan was edited since) stand as late as can be, with any resources. Empty where none was.
std::optional<Schedule> announced_schedule(const Plan& plan, const Expansion& expansion,
                                           const journal::Published& published);

/// By order, the pickups as they were when that was announced. Null: nothing was, and they are as in the plan.
std::vector<Instant> told_pickups(const Plan& plan, const journal::Journal& journal,
                                  const journal::Published* published);

}  // namespace oventide::replan
