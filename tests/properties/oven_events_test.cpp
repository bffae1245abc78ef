/// Whoever does to the ovens what the timetable says has them at the right setting for every load, minute by minute.

#include <doctest/doctest.h>

#include <algorithm>
#include <string>

#include "oventide/scheduler.hpp"
#include "oventide/timetable.hpp"
#include "support/expansion_text.hpp"
#include "support/plan_text.hpp"
#include "support/random_plan.hpp"

namespace oventide::test {
namespace {

struct Load {
    const Row* row;
    const Demand* demand;
    EquipmentIndex oven;
};

std::vector<Load> loads_of(const Expansion& expansion, const Timetable& timetable) {
    std::vector<Load> loads;
    for (const Row& row : timetable.rows) {
        const ActivityId id = activity_named(expansion, row.id);
        const auto& demands = expansion.project.activities[id].demands;
        for (const Demand& demand : demands) {
            if (demand.stages.empty()) continue;
            for (const EquipmentUse& use : row.equipment)
                if (std::find(demand.choices.begin(), demand.choices.end(), use.equipment) != demand.choices.end())
                    loads.push_back({&row, &demand, use.equipment});
        }
    }
    return loads;
}

/// What the last event up to a minute leaves the oven at; nothing: off, or never switched on.
std::optional<MilliCelsius> state_at(const Timetable& timetable, EquipmentIndex oven, Instant at) {
    std::optional<MilliCelsius> state;
    for (const OvenEvent& event : timetable.oven)
        if (event.oven == oven && event.at <= at && event.kind != OvenEvent::Kind::hot) state = event.temperature;
    return state;
}

/// The oven is at each stage of the load in each of its minutes, and was hot before the load went in.
void check_load(const Expansion& expansion, const Timetable& timetable, const Load& load) {
    CAPTURE(load.row->id);
    Instant at = load.row->start;
    for (const Stage& stage : load.demand->stages) {
        for (Time minute = 0; minute < stage.lasts; ++minute, at += Minutes{1})
            REQUIRE(state_at(timetable, load.oven, at) == expansion.temperatures[stage.setting]);
    }
    const auto first = expansion.temperatures[load.demand->stages.front().setting];
    CHECK(std::any_of(timetable.oven.begin(), timetable.oven.end(), [&](const OvenEvent& event) {
        return event.oven == load.oven && event.kind == OvenEvent::Kind::hot && event.temperature == first &&
               event.at <= load.row->start;
    }));
}

/// What the row says of its heat is what the oven is at, and it fills the row.
void check_heat(const Timetable& timetable, const Load& load) {
    CAPTURE(load.row->id);
    Instant at = load.row->start;
    for (const Heat& heat : load.row->heat) {
        CHECK(heat.span.from == at);
        for (; at < heat.span.to; at += Minutes{1}) REQUIRE(state_at(timetable, load.oven, at) == heat.temperature);
    }
    CHECK(at == load.row->ready);
}

/// A turn with food in there says when the first of it comes out, and no other turn says so.
void check_left_in(const Timetable& timetable, const std::vector<Load>& loads) {
    for (const OvenEvent& event : timetable.oven) {
        std::optional<Instant> first_out;
        for (const Load& load : loads)
            if (load.oven == event.oven && load.row->start < event.at && event.at < load.row->ready)
                first_out = std::min(first_out.value_or(load.row->end), load.row->end);
        CHECK(event.leave_until == (event.kind == OvenEvent::Kind::hot ? std::nullopt : first_out));
    }
}

/// Nothing is switched on that is on, or off that is off; a change is a change; all is off in the end.
void check_story(const Plan& plan, const Timetable& timetable) {
    for (std::size_t i = 0; i < plan.kitchen.equipment.size(); ++i) {
        std::optional<MilliCelsius> state;
        for (const OvenEvent& event : timetable.oven) {
            if (event.oven != static_cast<EquipmentIndex>(i)) continue;
            switch (event.kind) {
                case OvenEvent::Kind::on:
                    CHECK_FALSE(state.has_value());
                    break;
                case OvenEvent::Kind::set:
                    CHECK(state.has_value());
                    CHECK(state != event.temperature);
                    break;
                case OvenEvent::Kind::off:
                    CHECK(state.has_value());
                    break;
                case OvenEvent::Kind::hot:
                    CHECK(state == event.temperature);
                    break;
            }
            state = event.temperature;
        }
        CHECK_FALSE(state.has_value());
    }
}

/// Each switching on that the schedule knows is in the story, and no `on` comes without it unless the oven was hot
/// before, earlier in the day.
void check_start_ups(const Expansion& expansion, const Schedule& schedule, const Timetable& timetable) {
    for (const StartUp& start_up : schedule.start_ups) {
        const Instant at = expansion.origin + Minutes{start_up.at};
        CHECK(std::any_of(timetable.oven.begin(), timetable.oven.end(), [&](const OvenEvent& event) {
            return event.kind == OvenEvent::Kind::on && event.at == at &&
                   event.oven == *expansion.resources[start_up.resource].equipment &&
                   event.temperature == expansion.temperatures[start_up.setting];
        }));
    }
}

TEST_CASE("the ovens' story fits every load of random plans") {
    int loads = 0;
    for (std::uint64_t seed = 1; seed <= 80; ++seed) {
        CAPTURE(seed);
        support::RandomPlanOptions options;
        options.goods = 1 + static_cast<int>(seed % 5);
        options.pieces = 6 + static_cast<int>(seed % 60);
        const Plan plan = plan_of(support::random_plan(seed, options));
        const Expansion expansion = expansion_of(plan);
        SearchOptions search;
        search.schedules = 20;
        search.seed = seed;
        const Outcome outcome = solve(expansion.project, search);
        if (!outcome.schedule) continue;
        const Timetable timetable = make_timetable(plan, expansion, outcome, {});
        const std::vector<Load> all = loads_of(expansion, timetable);
        for (const Load& load : all) {
            check_load(expansion, timetable, load);
            check_heat(timetable, load);
            ++loads;
        }
        check_left_in(timetable, all);
        check_story(plan, timetable);
        check_start_ups(expansion, *outcome.schedule, timetable);
    }
    CHECK(loads > 200);
}

}  // namespace
}  // namespace oventide::test
