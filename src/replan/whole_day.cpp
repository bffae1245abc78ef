#include "replan/whole_day.hpp"

#include <algorithm>
#include <optional>
#include <tuple>
#include <utility>

#include "replan/reheating.hpp"
#include "timetable/jobs.hpp"

namespace oventide::replan {
namespace {

/// What an oven did before the first that `rest` knows of it follows from what was in it.
std::vector<OvenEvent> oven_events(const std::vector<OvenEvent>& happened, const std::vector<OvenEvent>& rest) {
    std::vector<OvenEvent> all = rest;
    for (const OvenEvent& event : happened) {
        const auto later = [&](const OvenEvent& other) { return other.oven != event.oven || event.at < other.at; };
        if (std::ranges::all_of(rest, later)) all.push_back(event);
    }
    std::ranges::stable_sort(all, {}, [](const OvenEvent& event) { return std::tuple(event.at, event.oven); });
    return all;
}

}  // namespace

/// The setting of a load so long after its start.
std::optional<MilliCelsius> heat_at(const Expansion& expansion, const Demand& demand, Time at) {
    for (const Stage& stage : demand.stages) {
        if (at < stage.lasts) return expansion.temperatures[stage.setting];
        at -= stage.lasts;
    }
    return std::nullopt;
}

/// An oven that breaks while something bakes in it, and goes on baking it afterwards, is off, and switched on again.
class Restarts {
public:
    Restarts(const Situation& situation, const Expansion& expansion, const Left& left)
        : situation_(situation), expansion_(expansion), left_(left) {}

    std::vector<OvenEvent> find() const {
        std::vector<OvenEvent> found;
        for (std::size_t k = 0; k < situation_.broken.size(); ++k)
            for (const Span& span : situation_.broken[k]) {
                const auto oven = static_cast<EquipmentIndex>(k);
                const auto heat = baking(oven, span);
                if (!heat || span.from >= span.to) continue;
                const Instant hot = span.to + reheating(situation_.today.kitchen, oven, *heat, span.to - span.from);
                found.push_back({OvenEvent::Kind::off, oven, span.from, std::nullopt});
                found.push_back({OvenEvent::Kind::on, oven, span.to, heat});
                found.push_back({OvenEvent::Kind::hot, oven, hot, heat});
            }
        return found;
    }

private:
    std::optional<MilliCelsius> baking(EquipmentIndex oven, const Span& span) const {
        const auto from = static_cast<Time>((span.from - expansion_.origin).count());
        const auto to = static_cast<Time>((span.to - expansion_.origin).count());
        for (std::size_t id = 0; id < left_.happened.size(); ++id) {
            const Activity& activity = expansion_.project.activities[id];
            const Time start = left_.fixed[id];
            if (!left_.happened[id] || start >= from || start + activity.duration <= to) continue;
            for (const Demand& demand : left_.expansion.project.activities[id].demands)
                if (const auto heat = in(oven, id, demand, from - start)) return heat;
        }
        return std::nullopt;
    }

    std::optional<MilliCelsius> in(EquipmentIndex oven, std::size_t id, const Demand& fixed, Time at) const {
        const auto index = &fixed - left_.expansion.project.activities[id].demands.data();
        const Demand& demand = expansion_.project.activities[id].demands[static_cast<std::size_t>(index)];
        if (demand.stages.empty() || expansion_.resources[fixed.choices.front()].equipment != oven) return std::nullopt;
        return heat_at(expansion_, demand, at);
    }

    const Situation& situation_;
    const Expansion& expansion_;
    const Left& left_;
};

Timetable whole_day(const Situation& situation, const Left& left, const Outcome& outcome) {
    Expansion expansion = left.expansion;
    expansion.project = left.whole;
    Outcome whole = outcome;
    complete(expansion.project, *whole.schedule);
    Timetable day = make_timetable(situation.today, expansion, whole, {});
    day.oven = oven_events(day.oven, make_timetable(situation.today, left.expansion, outcome, {}).oven);
    const auto restarts = Restarts(situation, expansion, left).find();
    day.oven.insert(day.oven.end(), restarts.begin(), restarts.end());
    std::ranges::stable_sort(day.oven, {}, [](const OvenEvent& event) { return std::tuple(event.at, event.oven); });
    day.jobs.clear();
    add_jobs(situation.today, day);
    return day;
}

}  // namespace oventide::replan
