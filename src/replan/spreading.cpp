#include <algorithm>

#include "replan/sooner.hpp"
#include "replan/steps.hpp"
#include "replan/ways_out.hpp"

namespace oventide::replan {
namespace {

constexpr int kMostTrays = 4;  ///< as many times as many as there are
constexpr Minutes kSoon{15};
constexpr std::int64_t kMillimetre = 1000;

class Spreader {
public:
    Spreader(const Plan& plan, const Expansion& expansion, const journal::Journal& journal, const Situation& situation,
             const ColdIfSpread& cold, const Replanned& result)
        : plan_(plan), expansion_(expansion), journal_(journal), situation_(situation), cold_(cold), result_(result) {}

    std::optional<WayOut> thinner(ActivityId id) const {
        const StepState& step = situation_.steps[id];
        if (step.state != State::running || !holds_up(id)) return std::nullopt;
        // Cold when it was planned to be is as good as can be; nearly so will do before more trays are taken.
        const Instant planned = planned_ready(id);
        auto way = spread(id, 2, situation_.now);
        for (int times = 3; times <= kMostTrays && way && way->ready > planned + kSoon; ++times)
            way = spread(id, times, situation_.now);
        if (!way || way->ready >= step.ready || !helps(*way)) return std::nullopt;
        if (const auto later = spread(id, way->times, situation_.now + kSoon); later && later->ready <= planned)
            way->by = later->by;
        return way;
    }

private:
    Instant planned_ready(ActivityId id) const {
        return situation_.steps[id].start + Minutes{expansion_.project.activities[id].duration};
    }

    /// It takes longer than was planned, or all else waits for it.
    bool holds_up(ActivityId id) const {
        const auto is_late = [](const Pickup& pickup) { return pickup.last.has_value(); };
        if (std::ranges::none_of(result_.pickups, is_late)) return false;
        if (situation_.steps[id].ready > planned_ready(id)) return true;
        return std::ranges::any_of(result_.pickups, [&](const Pickup& pickup) {
            return std::ranges::any_of(pickup.held_up,
                                       [&](const HoldUp& one) { return one.step == id || one.by == id; });
        });
    }

    /// Absent where nothing tells how it would cool.
    std::optional<WayOut> spread(ActivityId id, int times, Instant at) const {
        const std::int64_t depth = depth_of(id) / times / kMillimetre * kMillimetre;
        const auto ready = depth > 0 ? cold_(id, depth, at) : std::nullopt;
        if (!ready) return std::nullopt;
        WayOut way;
        way.kind = WayOut::Kind::spread;
        way.what = id;
        way.depth = depth;
        way.times = times;
        way.by = at;
        way.ready = *ready;
        return way;
    }

    bool helps(WayOut& way) const {
        std::vector<Time> late;
        for (const Pickup& pickup : result_.pickups)
            late.push_back(static_cast<Time>(std::max(Minutes{0}, pickup.done - pickup.at).count()));
        const auto after = sooner_if(plan_, expansion_, journal_, situation_, way.what, way.ready, late);
        for (std::size_t order = 0; order < after.size(); ++order)
            if (after[order] > Minutes{0}) way.late.push_back({static_cast<std::int32_t>(order), after[order]});
        return !after.empty();
    }

    std::int64_t depth_of(ActivityId id) const {
        if (const auto* noted = journal::last_spread(journal_, expansion_.project.activities[id].name))
            return noted->depth;
        const auto& cools = step_of(plan_, expansion_, id).cools;
        return cools ? cools->depth : 0;
    }

    const Plan& plan_;
    const Expansion& expansion_;
    const journal::Journal& journal_;
    const Situation& situation_;
    const ColdIfSpread& cold_;
    const Replanned& result_;
};

}  // namespace

void offer_spreading(const Plan& plan, const Expansion& expansion, const journal::Journal& journal,
                     const Situation& situation, const ColdIfSpread& cold, Replanned& result) {
    if (!result.timetable || result.way == Replanned::Way::conditional) return;
    const Spreader spreader(plan, expansion, journal, situation, cold, result);
    std::vector<WayOut> ways;
    for (std::size_t id = 0; id < situation.steps.size(); ++id)
        if (auto way = spreader.thinner(static_cast<ActivityId>(id))) ways.push_back(std::move(*way));
    result.ways.insert(result.ways.end(), ways.begin(), ways.end());
    best_first(result.ways);
}

}  // namespace oventide::replan
