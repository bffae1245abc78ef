#pragma once
/// The schedule that was published, read back from names and times.

#include <optional>

#include "oventide/expand.hpp"
#include "oventide/journal.hpp"
#include "oventide/plan.hpp"
#include "oventide/schedule.hpp"

namespace oventide::replan {

/// With the resources that the names stand for; where names leave a choice, whoever is free then. Steps that were not
/// published (the plan was edited since) stand as late as can be, with any resources. Empty where none was.
std::optional<Schedule> announced_schedule(const Plan& plan, const Expansion& expansion,
                                           const journal::Published& published);

}  // namespace oventide::replan
