#include "sheet/oven_heat.hpp"

#include <algorithm>

namespace oventide::sheet {
namespace {

class Oven {
public:
    Oven(const Equipment& equipment, MilliCelsius room)
        : heats_(std::max<MilliCelsius>(equipment.heats, 1)),
          cools_(std::max<MilliCelsius>(equipment.cools, 1)),
          now_(room),
          target_(room) {}

    /// Adds where the curve bends between the last point and `at`.
    void run_to(Instant at, std::vector<HeatPoint>& curve) {
        if (curve.empty()) {
            curve.push_back({at, now_});
            return;
        }
        const Minutes lasts = at - curve.back().at;
        if (lasts <= Minutes{0}) return;
        const MilliCelsius rate = target_ > now_ ? heats_ : cools_;
        const MilliCelsius way = target_ > now_ ? target_ - now_ : now_ - target_;
        const Minutes needed{(way + rate - 1) / rate};
        if (needed < lasts) {
            if (needed > Minutes{0}) curve.push_back({curve.back().at + needed, target_});
            now_ = target_;
        } else if (needed == lasts) {
            now_ = target_;
        } else {
            now_ += (target_ > now_ ? rate : -rate) * lasts.count();
        }
        curve.push_back({at, now_});
    }

    void aim_at(MilliCelsius target) { target_ = target; }

private:
    MilliCelsius heats_;
    MilliCelsius cools_;
    MilliCelsius now_;
    MilliCelsius target_;
};

}  // namespace

std::vector<HeatPoint> heat_curve(const Plan& plan, EquipmentIndex index, const std::vector<OvenEvent>& events,
                                  Instant until) {
    std::vector<HeatPoint> curve;
    Oven oven(plan.kitchen.equipment[index], plan.kitchen.room);
    for (const OvenEvent& event : events) {
        if (event.oven != index || event.kind == OvenEvent::Kind::hot) continue;
        oven.run_to(event.at, curve);
        oven.aim_at(event.temperature.value_or(plan.kitchen.room));
    }
    if (!curve.empty()) oven.run_to(until, curve);
    return curve;
}

}  // namespace oventide::sheet
