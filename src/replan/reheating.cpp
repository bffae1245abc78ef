#include "replan/reheating.hpp"

#include <algorithm>

namespace oventide::replan {

Minutes reheating(const Kitchen& kitchen, EquipmentIndex oven, MilliCelsius heat, Minutes cold_for) {
    const Equipment& one = kitchen.equipment[oven];
    const MilliCelsius lost = std::clamp<MilliCelsius>(heat - kitchen.room, 0, one.cools * cold_for.count());
    return Minutes{(lost + one.heats - 1) / one.heats};
}

}  // namespace oventide::replan
