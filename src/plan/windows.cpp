#include "plan/windows.hpp"

#include <algorithm>
#include <map>
#include <string>
#include <utility>

#include "network/network.hpp"
#include "oventide/safety.hpp"
#include "plan/food_ways.hpp"
#include "plan/quantities.hpp"

namespace oventide::plan_file {
namespace {

constexpr int kMostContradictions = 10;

/// Steps looked at on the ways from cooked food to its chill: more than any kitchen has, and done in no time. Beyond it
/// the scheduler finds what contradicts.
constexpr std::int64_t kMostLookedAt = 2'000'000;

/// Why a lag is there.
struct Reason {
    std::string text;
    Place place;
    bool at_most = false;        ///< it holds something back; the others only push
    const Draw* draw = nullptr;  ///< what it comes from, if that
};

/// Two points of every step: its start and when it is ready.
class Windows {
public:
    Windows(const Plan& plan, const std::vector<bool>& left_out) : plan_(plan), left_out_(left_out) {
        for (const Component& component : plan.components) {
            first_.push_back(static_cast<std::int32_t>(project_.activities.size()));
            project_.activities.resize(project_.activities.size() + 2 * component.steps.size());
        }
        project_.horizon = kNever;
        for (std::size_t c = 0; c < plan.components.size(); ++c)
            if (!left_out[c]) add_component(static_cast<ComponentIndex>(c));
        add_safety();
    }

    void tell(Complaints& complaints) {
        for (int round = 0; round < kMostContradictions; ++round) {
            const auto cycle = network::start_windows(project_, project_.lags).contradiction;
            if (cycle.empty() || cycle.front().from != cycle.back().to) return;
            if (is_certain(cycle)) tell_cycle(cycle, complaints);
            // Without its limits this contradiction is gone, and the next one comes to light.
            std::erase_if(project_.lags, [&](const Lag& lag) {
                return reasons_[lag.promise].at_most && std::find(cycle.begin(), cycle.end(), lag) != cycle.end();
            });
        }
    }

private:
    ActivityId start(ComponentIndex c, StepIndex s) const { return first_[c] + 2 * s; }
    ActivityId ready(ComponentIndex c, StepIndex s) const { return start(c, s) + 1; }
    const Step& step(ComponentIndex c, StepIndex s) const { return plan_.components[c].steps[s]; }

    std::string name(ComponentIndex c, StepIndex s) const {
        return "'" + plan_.components[c].name + "." + step(c, s).name + "'";
    }

    void add(ActivityId from, ActivityId to, Minutes lag, Reason reason) {
        project_.lags.push_back({from, to, static_cast<Time>(lag.count()), static_cast<PromiseId>(reasons_.size())});
        reason.draw = drawing_;
        reasons_.push_back(std::move(reason));
    }

    void add_component(ComponentIndex c) {
        for (StepIndex s = 0; s < static_cast<StepIndex>(plan_.components[c].steps.size()); ++s) {
            add_duration(c, s);
            for (const After& after : step(c, s).after)
                if (!left_out_[after.component])
                    add_wait(after.component, after.step, c, s, after.rest, after.within, after.place);
            for (const Draw& draw : step(c, s).draws) {
                if (left_out_[draw.component]) continue;
                const auto last = static_cast<StepIndex>(plan_.components[draw.component].steps.size()) - 1;
                drawing_ = &draw;
                add_wait(draw.component, last, c, s, draw.rest, draw.within, draw.place);
                add_component_keeps(draw.component, last, c, s);
                drawing_ = nullptr;
            }
        }
    }

    void add_duration(ComponentIndex c, StepIndex s) {
        const Step& one = step(c, s);
        const Minutes takes = round_up(plan_.times == Times::longest ? one.takes.longest : one.takes.usual);
        const std::string text = name(c, s) + " takes " + duration_text(takes);
        const bool grows = one.each.count() > 0;
        add(start(c, s), ready(c, s), takes, {text + (grows ? " or more" : ""), one.place});
        if (!grows) add(ready(c, s), start(c, s), -takes, {text, one.place});
    }

    void add_wait(ComponentIndex from, StepIndex from_step, ComponentIndex to, StepIndex to_step, Minutes rest,
                  const std::optional<Minutes>& within, const Place& place) {
        const std::string starts = name(to, to_step) + " starts ", is_ready = " " + name(from, from_step) + " is ready";
        add(ready(from, from_step), start(to, to_step), rest,
            {starts + (rest.count() > 0 ? duration_text(rest) + " or more after" : "after") + is_ready, place});
        if (within)
            add(start(to, to_step), ready(from, from_step), -*within,
                {starts + (within->count() > 0 ? "at most " + duration_text(*within) + " after" : "at once when") +
                     is_ready,
                 place, true});
        const Step& before = step(from, from_step);
        if (before.keeps)
            add(start(to, to_step), ready(from, from_step), -*before.keeps,
                {name(from, from_step) + " keeps " + duration_text(*before.keeps), before.place, true});
    }

    void add_component_keeps(ComponentIndex from, StepIndex last, ComponentIndex to, StepIndex to_step) {
        const Component& component = plan_.components[from];
        if (component.keeps)
            add(start(to, to_step), ready(from, last), -*component.keeps,
                {"'" + component.name + "' keeps " + duration_text(*component.keeps), component.place, true});
    }

    void add_safety() {
        const auto rule = find_safety_rule(plan_.safety.rule);
        if (!rule) return;
        const FoodWays ways(plan_);
        std::int64_t budget = kMostLookedAt;
        for (const StepId cooked : ways.cooked()) {
            if (left_out_[cooked.component]) continue;
            for (const StepId chill : ways.first_chills(cooked, budget)) {
                if (left_out_[chill.component]) continue;
                add(start(chill.component, chill.step), ready(cooked.component, cooked.step), -rule->chill_within,
                    {"the food-safety rule '" + std::string(rule->key) + "' starts " +
                         name(chill.component, chill.step) + " at most " + duration_text(rule->chill_within) +
                         " after " + name(cooked.component, cooked.step) + " is ready",
                     step(cooked.component, cooked.step).place, true});
            }
        }
    }

    /// Two draws on one component may be served by two batches, which need not keep each other's times.
    bool is_certain(const std::vector<Lag>& cycle) const {
        std::map<ComponentIndex, const Draw*> drawn;
        return std::all_of(cycle.begin(), cycle.end(), [&](const Lag& lag) {
            const Draw* draw = reasons_[lag.promise].draw;
            return !draw || drawn.emplace(draw->component, draw).first->second == draw;
        });
    }

    void tell_cycle(std::vector<Lag> cycle, Complaints& complaints) const {
        // The chain reads best from just after a limit to that limit.
        const auto limit =
            std::find_if(cycle.begin(), cycle.end(), [&](const Lag& lag) { return reasons_[lag.promise].at_most; });
        if (limit != cycle.end()) std::rotate(cycle.begin(), limit + 1, cycle.end());
        std::int64_t excess = 0;
        std::vector<Note> notes;
        for (const Lag& lag : cycle) {
            excess += lag.lag;
            notes.push_back({reasons_[lag.promise].place, reasons_[lag.promise].text});
        }
        const Place limit_place = notes.back().place;
        complaints.error(
            limit_place,
            "these times contradict each other, by " + duration_text(Minutes{excess}) + ": no timetable keeps them all",
            "change one of these:", std::move(notes));
    }

    const Plan& plan_;
    const std::vector<bool>& left_out_;
    std::vector<std::int32_t> first_;  ///< by component: the start of its first step
    Project project_;
    std::vector<Reason> reasons_;    ///< by PromiseId
    const Draw* drawing_ = nullptr;  ///< what is being added
};

}  // namespace

void check_windows(const Plan& plan, const std::vector<bool>& left_out, Complaints& complaints) {
    Windows(plan, left_out).tell(complaints);
}

}  // namespace oventide::plan_file
