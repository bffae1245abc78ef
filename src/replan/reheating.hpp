#pragma once
/// How long an oven takes to be as hot again as it was.

#include "oventide/plan.hpp"

namespace oventide::replan {

/// After so long without heat, by the plan's own figures, in whole minutes. So much was `lost` already before.
Minutes reheating(const Kitchen& kitchen, EquipmentIndex oven, MilliCelsius heat, Minutes cold_for,
                  MilliCelsius lost = 0);

/// An oven that breaks again before it is as hot as it was: what it had not made good is wanting all the same.
class Reheating {
public:
    Reheating(const Kitchen& kitchen, EquipmentIndex oven) : kitchen_(kitchen), oven_(oven) {}

    /// What is wanting still at a time after the last break, and how long that takes.
    MilliCelsius lost(Instant at) const;
    Minutes left(Instant at) const;

    /// Until it is at `heat` again, from the end of a break on that begins after the one before.
    Minutes after(Span broken, MilliCelsius heat);

private:
    const Kitchen& kitchen_;
    EquipmentIndex oven_;
    MilliCelsius lost_ = 0;
    Instant mended_;
};

}  // namespace oventide::replan
