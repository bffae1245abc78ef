#include <algorithm>
#include <utility>

#include "oventide/replan.hpp"
#include "replan/standstill.hpp"
#include "timetable/jobs.hpp"

namespace oventide::replan {
namespace {

/// Common sense, no source: what must be used so soon is not begun before it is known for when.
constexpr Time kSoon = 120;

class Stripper {
public:
    Stripper(const Situation& situation, const Replanned& result)
        : situation_(situation),
          expansion_(*result.expansion),
          schedule_(*result.outcome.schedule),
          whole_(*result.timetable) {}

    OpenDay strip() {
        const auto count = static_cast<ActivityId>(situation_.steps.size());
        waits_for_.resize(situation_.steps.size());
        for (const Interruption& one : situation_.interruptions)
            if (stands_still(situation_, one)) waits_for_[one.step] = one.equipment;
        for (ActivityId id = 0; id < count; ++id)
            if (waits(id) && !waits_for_[id]) waits_for_[id] = lacks(id);
        while (spread()) {
        }
        OpenDay day{whole_, {}, std::vector<std::optional<EquipmentIndex>>(situation_.today.orders.size())};
        for (ActivityId id = 0; id < count; ++id)
            if (waits_for_[id]) day.steps.push_back({id, *waits_for_[id], !waits(id)});
        drop_rows(day.timetable);
        drop_turns(day.timetable);
        name_orders(day);
        day.timetable.jobs.clear();
        add_jobs(situation_.today, day.timetable);
        return day;
    }

private:
    bool waits(ActivityId id) const { return situation_.steps[id].state == State::waiting; }

    /// That another is there that could have it does not help: nothing is planned there.
    std::optional<EquipmentIndex> lacks(ActivityId id) const {
        for (const ResourceId chosen : schedule_.chosen[id]) {
            const auto equipment = expansion_.resources[chosen].equipment;
            if (equipment && situation_.open_since[*equipment]) return equipment;
        }
        return std::nullopt;
    }

    bool infect(ActivityId from, ActivityId to) {
        if (!waits_for_[from] || waits_for_[to] || !waits(to)) return false;
        waits_for_[to] = waits_for_[from];
        return true;
    }

    /// What comes behind, and what must be used soon after it is made.
    bool spread() {
        bool any = false;
        const auto& activities = expansion_.project.activities;
        for (const Lag& lag : expansion_.project.lags)
            if (lag.lag >= 0 || -lag.lag - activities[lag.to].duration <= kSoon) any = infect(lag.from, lag.to) || any;
        for (ActivityId id = 0; id < static_cast<ActivityId>(activities.size()); ++id)
            if (activities[id].stretchable && activities[id].keep <= kSoon)
                for (const ActivityId user : activities[id].users) any = infect(user, id) || any;
        return any;
    }

    ActivityId step_of(const Row& row) const {
        const auto& all = expansion_.project.activities;
        return static_cast<ActivityId>(std::ranges::find(all, row.id, &Activity::name) - all.begin());
    }

    bool is_used_by_what_waits(const Row& row) const {
        const Activity& step = expansion_.project.activities[step_of(row)];
        return step.stretchable &&
               std::ranges::any_of(step.users, [&](ActivityId user) { return waits_for_[user].has_value(); });
    }

    /// How long it stands after that is a guess.
    static void end_when_ready(Row& row) {
        for (EquipmentUse& use : row.equipment) use.span.to = std::min(use.span.to, std::max(use.span.from, row.ready));
        row.end = row.ready;
    }

    void drop_rows(Timetable& day) const {
        std::vector<std::int32_t> moved;
        std::vector<Row> kept;
        for (Row& row : day.rows) {
            moved.push_back(waits_for_[step_of(row)] ? -1 : static_cast<std::int32_t>(kept.size()));
            if (moved.back() >= 0) kept.push_back(std::move(row));
        }
        day.rows = std::move(kept);
        for (Row& row : day.rows)
            if (is_used_by_what_waits(row)) end_when_ready(row);
        std::erase_if(day.past_best, [&](PastBest& food) {
            if (food.row >= 0) food.row = moved[static_cast<std::size_t>(food.row)];
            return !food.order && food.row < 0;
        });
    }

    /// When it comes on again is a guess.
    void drop_turns(Timetable& day) const {
        std::erase_if(day.oven, [&](const OvenEvent& event) {
            const auto since = situation_.open_since[event.oven];
            return since && event.at >= *since && event.kind != OvenEvent::Kind::off;
        });
        std::erase_if(day.oven, [&](const OvenEvent& event) {
            return situation_.open_since[event.oven] && event.at > situation_.now;
        });
    }

    void name_orders(OpenDay& day) const {
        for (const Waiting& one : day.steps)
            for (const Batch::Sale& sale : expansion_.batches[expansion_.tasks[one.step].batch].sales)
                day.orders[sale.order] = one.equipment;
        for (PickupLine& pickup : day.timetable.pickups)  // when it is ready is a guess: nothing calls it late
            if (day.orders[pickup.order]) pickup.done = pickup.pickup;
        std::erase_if(day.timetable.past_best,
                      [&](const PastBest& food) { return food.order && day.orders[*food.order]; });
    }

    const Situation& situation_;
    const Expansion& expansion_;
    const Schedule& schedule_;
    const Timetable& whole_;
    std::vector<std::optional<EquipmentIndex>> waits_for_;  ///< by ActivityId
};

}  // namespace

std::optional<OpenDay> open_day(const Situation& situation, const Replanned& result) {
    if (result.way != Replanned::Way::conditional || !result.timetable || !result.fewer.empty()) return std::nullopt;
    const auto is_open = [&](const Need& need) {
        return need.kind == Need::Kind::mended && situation.open_since[need.what];
    };
    if (!std::ranges::all_of(result.needs, is_open)) return std::nullopt;
    return Stripper(situation, result).strip();
}

}  // namespace oventide::replan
