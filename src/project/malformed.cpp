/// Reads project.hpp's rules back, one by one. Says what is wrong for the programmer, naming the first offence.

#include <algorithm>
#include <string>
#include <string_view>
#include <unordered_set>

#include "oventide/project.hpp"

namespace oventide {
namespace {

std::string numbered(const char* what, std::size_t index) { return std::string(what) + ' ' + std::to_string(index); }

template <class T>
bool repeats(std::vector<T> values) {
    std::sort(values.begin(), values.end());
    return std::adjacent_find(values.begin(), values.end()) != values.end();
}

/// Checks one project; `problem` is the first thing found.
class Inspection {
public:
    explicit Inspection(const Project& project) : project_(project) {}

    std::string run() {
        check_frame();
        check_settings();
        check_resources();
        check_activities();
        check_lags();
        check_goals();
        return problem_;
    }

private:
    void require(bool holds, const std::string& where, std::string_view what) {
        if (!holds && problem_.empty()) problem_ = where + ": " + std::string(what);
    }

    bool activity(ActivityId id) const { return id >= 0 && id < static_cast<ActivityId>(project_.activities.size()); }
    bool resource(ResourceId id) const { return id >= 0 && id < static_cast<ResourceId>(project_.resources.size()); }
    bool setting(SettingId id) const { return id >= 0 && id < static_cast<SettingId>(project_.settings.size()); }
    bool all_activities(const std::vector<ActivityId>& ids) const {
        return std::all_of(ids.begin(), ids.end(), [&](ActivityId id) { return activity(id); });
    }
    static bool is_time(std::int64_t value) { return value >= -kNever && value <= kNever; }

    void check_frame() {
        require(project_.horizon >= 0 && is_time(project_.horizon), "horizon", "negative or later than never");
        require(project_.reset_after >= 1, "reset_after", "less than a minute");
        for (std::size_t i = 0; i < project_.attended.size(); ++i) {
            const Interval& interval = project_.attended[i];
            require(interval.from < interval.to, numbered("attended", i), "empty");
            if (i > 0)
                require(project_.attended[i - 1].to < interval.from, numbered("attended", i),
                        "touches the interval before it");
        }
    }

    void check_settings() {
        for (std::size_t i = 0; i < project_.settings.size(); ++i)
            require(!project_.settings[i].name.empty(), numbered("setting", i), "no name");
    }

    void check_resources() {
        for (std::size_t i = 0; i < project_.resources.size(); ++i) {
            const Resource& resource = project_.resources[i];
            const std::string where = numbered("resource", i);
            check_capacity(resource, where);
            if (resource.has_state) check_state(resource.state, where);
        }
    }

    void check_capacity(const Resource& resource, const std::string& where) {
        require(!resource.capacity.empty(), where, "no capacity");
        if (resource.capacity.empty()) return;
        require(resource.capacity.front().from == 0, where, "the calendar does not begin at 0");
        for (std::size_t k = 0; k < resource.capacity.size(); ++k) {
            require(resource.capacity[k].capacity >= 0, where, "negative capacity");
            if (k > 0) require(resource.capacity[k - 1].from < resource.capacity[k].from, where, "unsorted calendar");
        }
    }

    void check_state(const StateRules& state, const std::string& where) {
        const std::size_t count = project_.settings.size();
        require(state.transition.size() == count, where, "transitions not of the size of the settings");
        require(state.startup.size() == count, where, "start-ups not of the size of the settings");
        for (const Time time : state.startup) require(time >= 0 && is_time(time), where, "negative start-up");
        for (std::size_t from = 0; from < state.transition.size(); ++from) {
            const auto& row = state.transition[from];
            require(row.size() == count, where, "transitions not square");
            for (const Time time : row) require(time >= 0 && is_time(time), where, "negative transition");
            if (row.size() == count && from < count && !project_.settings[from].exclusive)
                require(row[from] == 0, where, "a transition from a setting to itself takes time");
        }
    }

    void check_activities() {
        std::unordered_set<std::string_view> names;
        for (std::size_t i = 0; i < project_.activities.size(); ++i) {
            const Activity& activity = project_.activities[i];
            const std::string where = numbered("activity", i);
            require(!activity.name.empty(), where, "no name");
            require(names.insert(activity.name).second, where, "its name is taken");
            require(activity.duration >= 0 && is_time(activity.duration), where, "negative duration");
            require(activity.release >= 0 && is_time(activity.release), where, "negative release");
            require(is_time(activity.due), where, "due later than never");
            check_promise(activity.due_promise, where);
            check_promise(activity.keep_promise, where);
            check_promise(activity.release_promise, where);
            check_stretch(activity, static_cast<ActivityId>(i), where);
            for (const Demand& demand : activity.demands) check_demand(demand, where);
        }
    }

    void check_stretch(const Activity& activity, ActivityId id, const std::string& where) {
        if (!activity.stretchable) {
            require(activity.users.empty() && activity.held_until == -1, where, "fixed, yet held");
            return;
        }
        require(activity.keep >= 0 && is_time(activity.keep), where, "negative keep");
        require(activity.held_until >= -1 && is_time(activity.held_until), where, "held until before the origin");
        require(all_activities(activity.users), where, "a user that is not there");
        require(!repeats(activity.users), where, "a user twice");
        require(std::find(activity.users.begin(), activity.users.end(), id) == activity.users.end(), where,
                "its own user");
    }

    void check_demand(const Demand& demand, const std::string& where) {
        require(!demand.choices.empty(), where, "a demand without choices");
        require(!repeats(demand.choices), where, "a demand with a choice twice");
        require(demand.amount >= 1, where, "a demand for nothing");
        require(is_time(demand.from.offset) && is_time(demand.to.offset), where, "a moment later than never");
        require(all_activities(demand.held_until), where, "held until an activity that is not there");
        for (const ResourceId choice : demand.choices) {
            require(resource(choice), where, "a resource that is not there");
            if (!resource(choice)) continue;
            require(project_.resources[choice].has_state == !demand.stages.empty(), where,
                    "stages belong to resources with a state, and to all of them");
        }
        require(demand.sealed >= 0 && is_time(demand.sealed), where, "negative seal");
        if (demand.stages.empty())
            require(demand.sealed == 0, where, "a seal on a resource without a state");
        else
            check_stages(demand, where);
    }

    void check_stages(const Demand& demand, const std::string& where) {
        for (const Stage& stage : demand.stages) {
            require(setting(stage.setting), where, "a setting that is not there");
            require(stage.lasts >= 0 && is_time(stage.lasts), where, "a negative stage");
        }
    }

    void check_promise(PromiseId promise, const std::string& where) {
        require(promise >= kNoPromise, where, "a negative promise");
    }

    void check_lags() {
        for (std::size_t i = 0; i < project_.lags.size(); ++i) {
            const Lag& lag = project_.lags[i];
            const std::string where = numbered("lag", i);
            require(activity(lag.from) && activity(lag.to), where, "an activity that is not there");
            require(lag.from != lag.to, where, "from an activity to itself");
            require(is_time(lag.lag), where, "longer than ever");
            check_promise(lag.promise, where);
        }
    }

    void check_goals() {
        require(project_.goals.size() <= 3 && !repeats(project_.goals), "goals", "a goal twice");
        for (std::size_t i = 0; i < project_.freshness.size(); ++i) {
            const Freshness& food = project_.freshness[i];
            const std::string where = numbered("freshness", i);
            require(!food.makers.empty(), where, "nobody makes it");
            require(all_activities(food.makers) && all_activities(food.users), where, "an activity that is not there");
            require(food.best_within >= 0 && is_time(food.best_within), where, "best within a negative time");
        }
        for (std::size_t i = 0; i < project_.links.size(); ++i) {
            const WaitLink& link = project_.links[i];
            const std::string where = numbered("link", i);
            require(activity(link.maker), where, "a maker that is not there");
            require(link.user == -1 || activity(link.user), where, "a user that is not there");
            require(link.weight >= 0, where, "a negative weight");
        }
    }

    const Project& project_;
    std::string problem_;
};

}  // namespace

std::string malformed(const Project& project) { return Inspection(project).run(); }

}  // namespace oventide
