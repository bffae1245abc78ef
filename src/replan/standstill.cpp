#include "replan/standstill.hpp"

#include <algorithm>
#include <optional>

namespace oventide::replan {
namespace {

class Line {
public:
    Line(const Situation& situation, const Left& left) : situation_(situation), left_(left) {}

    std::vector<Standstill> find() const {
        std::vector<Standstill> found;
        for (ActivityId id = 0; id < static_cast<ActivityId>(left_.happened.size()); ++id)
            if (const auto equipment = waits_for(id); equipment && is_next(id)) found.push_back(told(id, *equipment));
        std::ranges::stable_sort(found, {}, &Standstill::equipment);
        return found;
    }

private:
    const Project& project() const { return left_.expansion.project; }

    /// It can use nothing else.
    std::optional<EquipmentIndex> waits_for(ActivityId id) const {
        if (left_.happened[id]) return std::nullopt;
        const auto broken = [&](ResourceId choice) {
            const auto equipment = left_.expansion.resources[choice].equipment;
            return equipment && situation_.open_since[*equipment];
        };
        for (const Demand& demand : project().activities[id].demands)
            if (std::ranges::all_of(demand.choices, broken))
                return left_.expansion.resources[demand.choices.front()].equipment;
        return std::nullopt;
    }

    bool is_next(ActivityId id) const {
        return std::ranges::none_of(
            project().lags, [&](const Lag& lag) { return lag.to == id && lag.lag >= 0 && !left_.happened[lag.from]; });
    }

    /// With the first limit that it would break.
    Standstill told(ActivityId id, EquipmentIndex equipment) const {
        Standstill one{id, equipment, std::nullopt, {}, heating(id)};
        for (const Limit& limit : left_.limits) {
            const auto until = last_start(id, limit);
            if (!until || (one.until && *one.until <= *until)) continue;
            one.until = until;
            one.promise = limit.promise == kNoPromise ? "" : left_.expansion.promises[limit.promise].text;
        }
        return one;
    }

    Minutes heating(ActivityId id) const {
        for (const Demand& demand : project().activities[id].demands)
            if (!demand.stages.empty())
                return Minutes{
                    project().resources[demand.choices.front()].state.startup[demand.stages.front().setting]};
        return Minutes{0};
    }

    std::optional<Instant> last_start(ActivityId id, const Limit& limit) const {
        if (limit.lag >= 0) {
            const Lag& lag = project().lags[limit.lag];
            if (lag.from != id) return std::nullopt;
            return left_.expansion.origin + Minutes{left_.fixed[lag.to] - lag.lag};
        }
        const Activity& keeper = project().activities[limit.keeper];
        if (std::ranges::find(keeper.users, id) == keeper.users.end()) return std::nullopt;
        return left_.expansion.origin + Minutes{left_.fixed[limit.keeper] + keeper.duration + limit.value};
    }

    const Situation& situation_;
    const Left& left_;
};

}  // namespace

bool stands_still(const Situation& situation, const Interruption& one) {
    const bool cold = situation.today.kitchen.equipment[one.equipment].kind == EquipmentKind::fridge;
    return one.open && !one.kept && !cold;
}

std::vector<Standstill> standstill(const Situation& situation, const Left& left) {
    return Line(situation, left).find();
}

}  // namespace oventide::replan
