#include "replan/reheating.hpp"

#include <algorithm>

namespace oventide::replan {
namespace {

MilliCelsius fallen(const Kitchen& kitchen, EquipmentIndex oven, MilliCelsius heat, Minutes cold_for,
                    MilliCelsius lost) {
    const MilliCelsius falls = lost + kitchen.equipment[oven].cools * cold_for.count();
    return std::clamp<MilliCelsius>(heat - kitchen.room, 0, falls);
}

Minutes time_for(const Equipment& oven, MilliCelsius lost) { return Minutes{(lost + oven.heats - 1) / oven.heats}; }

}  // namespace

Minutes reheating(const Kitchen& kitchen, EquipmentIndex oven, MilliCelsius heat, Minutes cold_for, MilliCelsius lost) {
    return time_for(kitchen.equipment[oven], fallen(kitchen, oven, heat, cold_for, lost));
}

MilliCelsius Reheating::lost(Instant at) const {
    return std::max<MilliCelsius>(0, lost_ - kitchen_.equipment[oven_].heats * (at - mended_).count());
}

Minutes Reheating::left(Instant at) const { return time_for(kitchen_.equipment[oven_], lost(at)); }

Minutes Reheating::after(Span broken, MilliCelsius heat) {
    lost_ = fallen(kitchen_, oven_, heat, broken.to - broken.from, lost(broken.from));
    mended_ = broken.to;
    return left(mended_);
}

}  // namespace oventide::replan
