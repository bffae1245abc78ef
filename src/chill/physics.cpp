#include "chill/physics.hpp"

#include "oventide/chill.hpp"

namespace oventide::chill {
namespace {

constexpr double kMetre = 1e6;     // micrometres
constexpr double kKilogram = 1e6;  // milligrams

cooling::Range range(const Figures<std::int64_t>& thousandths) {
    return {static_cast<double>(thousandths.low) / kThousand, static_cast<double>(thousandths.usual) / kThousand,
            static_cast<double>(thousandths.high) / kThousand};
}

cooling::Vessel::Outline outline(const Cools& cools) {
    if (cools.vessel == Vessel::pot) return cooling::Vessel::Outline::round;
    return cools.across > 0 ? cooling::Vessel::Outline::rectangle : cooling::Vessel::Outline::layer;
}

}  // namespace

cooling::Composition composition(const Cools& cools) {
    if (!cools.parts) {
        const auto food = cooling::find_food(cools.food);
        return food ? food->composition : cooling::Composition{};
    }
    const FoodParts& parts = *cools.parts;
    const double all = parts.water + parts.protein + parts.fat + parts.carbohydrate + parts.fibre + parts.ash;
    return {parts.water / all, parts.protein / all, parts.fat / all, parts.carbohydrate / all,
            parts.fibre / all, parts.ash / all,     parts.air};
}

cooling::Layer layer(const Cools& cools, std::int64_t milligrams) {
    cooling::Layer layer;
    layer.food = composition(cools);
    layer.kilograms = static_cast<double>(milligrams) / kKilogram / cools.over;
    if (cools.depth > 0) layer.depth = static_cast<double>(cools.depth) / kMetre;
    layer.vessel = {outline(cools), static_cast<double>(cools.across) / kMetre,
                    static_cast<double>(cools.wide) / kMetre, cools.underneath};
    layer.stirred = cools.stirred;
    return layer;
}

std::int64_t milligrams_of(const Component& component, std::int64_t amount) {
    return component.makes.unit == Amount::Unit::milligrams ? amount : 0;
}

cooling::Surroundings surroundings(const Cold& cold) {
    cooling::Surroundings result;
    if (const auto found = cooling::find_surroundings(cold.like)) result = *found;
    if (cold.air) result.celsius = range(*cold.air);
    if (cold.transfer) result.transfer = range(*cold.transfer);
    return result;
}

std::optional<cooling::Belief> belief(const Step& step, std::int64_t milligrams) {
    if (!step.cools) return std::nullopt;
    const Cools& cools = *step.cools;
    const cooling::Surroundings where = surroundings(cools.where);
    const double from = degrees(cools.from), to = degrees(cools.to);
    if (const auto known = cooling::belief(layer(cools, milligrams), where, from, to)) return known;
    const auto seconds = [](Seconds time) { return static_cast<double>(time.count()); };
    return cooling::belief(
        cooling::Range{seconds(step.takes.shortest), seconds(step.takes.usual), seconds(step.takes.longest)}, from, to,
        where.celsius.usual);
}

}  // namespace oventide::chill
