#pragma once
/// How long an oven takes to be as hot again as it was.

#include "oventide/plan.hpp"

namespace oventide::replan {

/// After so long without heat, by the plan's own figures, in whole minutes.
Minutes reheating(const Kitchen& kitchen, EquipmentIndex oven, MilliCelsius heat, Minutes cold_for);

}  // namespace oventide::replan
