#include "support/random_project.hpp"

#include <algorithm>
#include <string>
#include <utility>
#include <vector>

namespace oventide::support {
namespace {

/// splitmix64 (Steele, Lea and Flood 2014): unlike the standard distributions the same everywhere.
class Dice {
public:
    explicit Dice(std::uint64_t seed) : state_(seed * 0x9E3779B97F4A7C15U + 1) {}

    /// From `least` to `most`, both included.
    std::int32_t roll(std::int32_t least, std::int32_t most) {
        state_ += 0x9E3779B97F4A7C15U;
        std::uint64_t z = state_;
        z = (z ^ (z >> 30)) * 0xBF58476D1CE4E5B9U;
        z = (z ^ (z >> 27)) * 0x94D049BB133111EBU;
        z ^= z >> 31;
        return least + static_cast<std::int32_t>(z % static_cast<std::uint64_t>(most - least + 1));
    }
    bool chance(int percent) { return roll(1, 100) <= percent; }

private:
    std::uint64_t state_;
};

class Maker {
public:
    Maker(std::uint64_t seed, const RandomProjectOptions& options) : options_(options), dice_(seed) {}

    Project make() {
        project_.horizon = dice_.roll(6, std::max<Time>(6, options_.horizon));
        project_.reset_after = dice_.roll(1, 4);
        add_attendance();
        add_resources();
        add_activities();
        add_lags();
        if (options_.stretch) stretch_some();
        for (ActivityId id = 0; id < count(); ++id) add_demands(id);
        add_goals();
        narrow_windows();
        return std::move(project_);
    }

private:
    ActivityId count() const { return static_cast<ActivityId>(project_.activities.size()); }
    ActivityId any_other(ActivityId id) { return (id + dice_.roll(1, count() - 1)) % count(); }

    void add_attendance() {
        for (Time at = dice_.roll(0, 3); at < project_.horizon;) {
            const Time to = at + dice_.roll(1, 8);
            project_.attended.push_back({at, to});
            at = to + dice_.roll(1, 5);
        }
    }

    // ----------------------------------------------------------------------------------------- resources

    void add_resources() {
        if (options_.states) add_settings();
        const int plain = dice_.roll(1, 3);
        for (int i = 0; i < plain; ++i) {
            Resource resource;
            resource.name = "r" + std::to_string(i);
            resource.capacity = calendar(dice_.roll(1, 3));
            resource.wakes = dice_.chance(40);
            project_.resources.push_back(std::move(resource));
        }
        if (!options_.states || dice_.chance(30)) return;
        const int ovens = dice_.chance(25) ? 2 : 1;
        for (int i = 0; i < ovens; ++i) {
            Resource oven;
            oven.name = "s" + std::to_string(i);
            oven.capacity = calendar(dice_.roll(1, 3));
            oven.has_state = true;
            oven.state = state_rules();
            project_.resources.push_back(std::move(oven));
        }
    }

    std::vector<CapacityStep> calendar(std::int32_t most) {
        std::vector<CapacityStep> steps{{0, dice_.chance(15) ? 0 : most}};
        if (!dice_.chance(50)) return {{0, most}};
        for (Time at = dice_.roll(1, 6); at < project_.horizon; at += dice_.roll(1, 6)) {
            const std::int32_t capacity = dice_.roll(0, most);
            if (capacity != steps.back().capacity) steps.push_back({at, capacity});
        }
        return steps;
    }

    void add_settings() {
        const int settings = dice_.roll(1, 3);
        for (int i = 0; i < settings; ++i) project_.settings.push_back({"t" + std::to_string(i), false});
        if (dice_.chance(30)) project_.settings.back().exclusive = true;
    }

    StateRules state_rules() {
        StateRules rules;
        const std::size_t settings = project_.settings.size();
        for (std::size_t from = 0; from < settings; ++from) {
            std::vector<Time> row;
            for (std::size_t to = 0; to < settings; ++to)
                row.push_back(from == to && !project_.settings[from].exclusive ? 0 : dice_.roll(0, 3));
            rules.transition.push_back(std::move(row));
        }
        for (std::size_t setting = 0; setting < settings; ++setting) rules.startup.push_back(dice_.roll(0, 3));
        rules.self_starting = dice_.chance(35);
        return rules;
    }

    // -------------------------------------------------------------------------------- activities and lags

    void add_activities() {
        const int activities = dice_.roll(2, std::max(2, options_.activities));
        for (int i = 0; i < activities; ++i) {
            Activity activity;
            activity.name = "a" + std::to_string(i);
            activity.duration = dice_.chance(8) ? 0 : dice_.roll(1, 4);
            if (dice_.chance(20)) activity.release = dice_.roll(0, project_.horizon / 2);
            if (dice_.chance(30)) activity.due = dice_.roll(project_.horizon / 2, project_.horizon);
            project_.activities.push_back(std::move(activity));
        }
    }

    void add_lags() {
        for (ActivityId from = 0; from < count(); ++from)
            for (ActivityId to = from + 1; to < count(); ++to) {
                if (!dice_.chance(30)) continue;
                const Time least = dice_.chance(75) ? project_.activities[from].duration : dice_.roll(-2, 4);
                project_.lags.push_back({from, to, least, kNoPromise});
                if (dice_.chance(30)) project_.lags.push_back({to, from, -(least + dice_.roll(0, 3)), kNoPromise});
            }
    }

    void stretch_some() {
        for (ActivityId id = 0; id < count(); ++id) {
            if (!dice_.chance(30)) continue;
            Activity& activity = project_.activities[id];
            activity.stretchable = true;
            activity.keep = dice_.chance(30) ? kNever : dice_.roll(0, 6);
            const ActivityId user = any_other(id);
            if (dice_.chance(80)) {
                activity.users.push_back(user);
                if (user > id) project_.lags.push_back({id, user, activity.duration, kNoPromise});
            }
            if (dice_.chance(20)) activity.held_until = dice_.roll(0, project_.horizon);
        }
    }

    // -------------------------------------------------------------------------------------------- demands

    void add_demands(ActivityId id) {
        std::vector<ResourceId> plain;
        std::vector<ResourceId> ovens;
        for (ResourceId r = 0; r < static_cast<ResourceId>(project_.resources.size()); ++r)
            (project_.resources[r].has_state ? ovens : plain).push_back(r);
        const int demands = dice_.roll(0, 2);
        for (int i = 0; i < demands; ++i) project_.activities[id].demands.push_back(plain_demand(id, plain));
        const bool programme_fits = !project_.activities[id].stretchable || options_.loose_states;
        if (!ovens.empty() && programme_fits && dice_.chance(55))
            project_.activities[id].demands.push_back(oven_demand(id, ovens));
    }

    std::vector<ResourceId> choose(std::vector<ResourceId> from) {
        const bool several = options_.choices && from.size() > 1 && dice_.chance(35);
        const auto first = static_cast<std::size_t>(dice_.roll(0, static_cast<std::int32_t>(from.size()) - 1));
        std::swap(from[0], from[first]);
        from.resize(several ? 2 : 1);
        return from;
    }

    Moment moment(Time least, Time most) {
        return {dice_.chance(60) ? Moment::Of::start : Moment::Of::end, dice_.roll(least, most)};
    }

    Demand plain_demand(ActivityId id, const std::vector<ResourceId>& plain) {
        Demand demand;
        demand.choices = choose(plain);
        demand.amount = dice_.chance(70) ? 1 : 2;
        if (dice_.chance(45)) {
            demand.from = moment(-1, 2);
            demand.to = dice_.chance(50) ? Moment{demand.from.of, demand.from.offset + dice_.roll(1, 3)} : moment(0, 3);
        }
        if (options_.stretch && dice_.chance(20)) demand.held_until.push_back(any_other(id));
        return demand;
    }

    Demand oven_demand(ActivityId id, const std::vector<ResourceId>& ovens) {
        Activity& activity = project_.activities[id];
        activity.duration = std::max(activity.duration, 1);
        Demand demand;
        demand.choices = choose(ovens);
        demand.to = {Moment::Of::start, activity.duration};
        if (!activity.stretchable && dice_.chance(50)) demand.to = {Moment::Of::end, 0};
        const Time first = dice_.chance(25) ? dice_.roll(1, activity.duration) : activity.duration;
        demand.stages.push_back({any_setting(), first});
        if (first < activity.duration) demand.stages.push_back({any_setting(), activity.duration - first});
        if (dice_.chance(25)) demand.sealed = dice_.roll(1, activity.duration + 1);
        if (options_.loose_states && dice_.chance(50)) {
            demand.from = moment(-1, 1);
            demand.to = moment(0, 2);
            if (dice_.chance(30)) demand.held_until.push_back(any_other(id));
        }
        return demand;
    }

    SettingId any_setting() { return dice_.roll(0, static_cast<std::int32_t>(project_.settings.size()) - 1); }

    // ---------------------------------------------------------------------------------------------- goals

    void add_goals() {
        std::vector<Goal> goals{Goal::overrun, Goal::alarm, Goal::waiting};
        for (int i = 2; i > 0; --i) std::swap(goals[i], goals[dice_.roll(0, i)]);
        goals.resize(dice_.chance(70) ? 3 : dice_.roll(1, 2));
        project_.goals = goals;
        for (ActivityId id = 0; id < count(); ++id) {
            if (dice_.chance(30)) project_.freshness.push_back(freshness(id));
            if (dice_.chance(50)) project_.links.push_back({id, any_other(id), 0, dice_.roll(1, 5)});
            if (dice_.chance(20)) project_.links.push_back({id, -1, project_.horizon, dice_.roll(1, 3)});
        }
    }

    Freshness freshness(ActivityId id) {
        Freshness food;
        food.makers.push_back(id);
        if (dice_.chance(30)) food.makers.push_back(any_other(id));
        if (dice_.chance(80)) food.users.push_back(any_other(id));
        if (dice_.chance(30)) food.last_time = dice_.roll(0, project_.horizon);
        food.best_within = dice_.roll(0, 4);
        return food;
    }

    /// The widest windows shrink until all combinations of starts can be tried.
    void narrow_windows() {
        std::vector<Time> widths;
        for (Activity& activity : project_.activities) {
            activity.due = std::min(activity.due, project_.horizon);
            widths.push_back(std::max(0, activity.due - activity.duration - activity.release) + 1);
        }
        const auto combinations = [&] {
            std::int64_t product = 1;
            for (const Time width : widths) product = std::min<std::int64_t>(product * width, 1'000'000'000);
            return product;
        };
        while (combinations() > options_.starts) {
            const auto widest = std::max_element(widths.begin(), widths.end());
            Activity& activity = project_.activities[widest - widths.begin()];
            dice_.chance(50) ? ++activity.release : --activity.due;
            --*widest;
        }
    }

    const RandomProjectOptions& options_;
    Dice dice_;
    Project project_;
};

}  // namespace

Project random_project(std::uint64_t seed, const RandomProjectOptions& options) { return Maker(seed, options).make(); }

}  // namespace oventide::support
