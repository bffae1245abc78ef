/// The referee for a project and its schedule. Every rule of project.hpp is looked at on its own, minute by minute
/// where it speaks of minutes; nothing is shared with what makes schedules, so a mistake there cannot hide here.

#include <algorithm>
#include <string>
#include <vector>

#include "oventide/check.hpp"

namespace oventide {
namespace {

std::string text(Time time) { return std::to_string(time); }

/// One demand of the schedule on its chosen resource.
struct Use {
    ActivityId activity = 0;
    const Demand* demand = nullptr;
    Time from = 0;
    Time to = 0;
};

/// One activity on a state resource.
struct Visit {
    Use use;
    Time start = 0;
    Time last_stage_end = 0;
    SettingId first = 0;
};

class Referee {
public:
    Referee(const Project& project, const Schedule& schedule) : project_(project), schedule_(schedule) {}

    std::vector<Violation> verdict() {
        check_shape();
        if (!violations_.empty()) return std::move(violations_);
        check_times_in_range();
        if (!violations_.empty()) return std::move(violations_);
        check_windows();
        check_ends();
        check_lags();
        gather_uses();
        mark_attendance();
        for (ResourceId id = 0; id < count(project_.resources); ++id) {
            check_capacity(id);
            if (project_.resources[id].has_state) check_state(id);
        }
        check_start_ups();
        return std::move(violations_);
    }

    Value value() {
        gather_uses();
        mark_attendance();
        for (ResourceId id = 0; id < count(project_.resources); ++id)
            if (project_.resources[id].has_state) derive_start_ups(id);
        Value value{};
        for (std::size_t i = 0; i < std::min(value.size(), project_.goals.size()); ++i) {
            if (project_.goals[i] == Goal::overrun) value[i] = overrun();
            if (project_.goals[i] == Goal::alarm) value[i] = -alarm();
            if (project_.goals[i] == Goal::waiting) value[i] = waiting();
        }
        return value;
    }

private:
    template <class T>
    static std::int32_t count(const std::vector<T>& things) {
        return static_cast<std::int32_t>(things.size());
    }

    const std::string& name(ActivityId id) const { return project_.activities[id].name; }

    void report(Rule rule, std::string what, ActivityId activity = -1) {
        violations_.push_back({rule, std::move(what), activity, {}});
    }

    // ------------------------------------------------------------------------------- what is written down

    void check_shape() {
        const std::size_t n = project_.activities.size();
        if (schedule_.start.size() != n || schedule_.end.size() != n || schedule_.chosen.size() != n) {
            report(Rule::record, "the schedule has " + std::to_string(schedule_.start.size()) + " starts, " +
                                     std::to_string(schedule_.end.size()) + " ends and " +
                                     std::to_string(schedule_.chosen.size()) + " lists of chosen resources for " +
                                     std::to_string(n) + " activities");
            return;
        }
        for (ActivityId id = 0; id < count(project_.activities); ++id) check_choices(id);
    }

    void check_choices(ActivityId id) {
        const auto& demands = project_.activities[id].demands;
        if (schedule_.chosen[id].size() != demands.size()) {
            report(Rule::record,
                   name(id) + " has " + std::to_string(demands.size()) + " demands, of which " +
                       std::to_string(schedule_.chosen[id].size()) + " have a chosen resource",
                   id);
            return;
        }
        for (std::size_t k = 0; k < demands.size(); ++k) {
            const auto& choices = demands[k].choices;
            if (std::find(choices.begin(), choices.end(), schedule_.chosen[id][k]) == choices.end())
                report(Rule::record,
                       name(id) + ": demand " + std::to_string(k) + " is on a resource that it cannot use", id);
        }
    }

    void check_times_in_range() {
        for (ActivityId id = 0; id < count(project_.activities); ++id) {
            const Time start = schedule_.start[id];
            const Time end = schedule_.end[id];
            if (start < 0) report(Rule::beginning, name(id) + " starts at minute " + text(start) + ", before 0", id);
            if (start > project_.horizon || end > project_.horizon)
                report(Rule::horizon,
                       name(id) + " runs from minute " + text(start) + " to " + text(end) + ", past the horizon " +
                           text(project_.horizon),
                       id);
            else if (start >= 0 && end < start)
                report(Rule::duration,
                       name(id) + " ends at minute " + text(end) + " before it starts at " + text(start), id);
        }
    }

    // ------------------------------------------------------------------------------------ times and lags

    Time ready(ActivityId id) const { return schedule_.start[id] + project_.activities[id].duration; }

    void check_windows() {
        for (ActivityId id = 0; id < count(project_.activities); ++id) {
            const Activity& activity = project_.activities[id];
            if (schedule_.start[id] < activity.release)
                report(Rule::beginning,
                       name(id) + " starts at minute " + text(schedule_.start[id]) + ", before its release at " +
                           text(activity.release),
                       id);
            if (ready(id) > activity.due)
                report(
                    Rule::pickup,
                    name(id) + " is ready at minute " + text(ready(id)) + ", after it is due at " + text(activity.due),
                    id);
        }
    }

    /// The ends of a schedule are not taken on trust: they follow from the starts.
    Time derived_end(ActivityId id) const {
        const Activity& activity = project_.activities[id];
        Time end = ready(id);
        if (activity.stretchable) {
            if (activity.held_until > end) end = activity.held_until;
            for (const ActivityId user : activity.users)
                if (schedule_.start[user] > end) end = schedule_.start[user];
        }
        return end;
    }

    void check_ends() {
        for (ActivityId id = 0; id < count(project_.activities); ++id) {
            const Activity& activity = project_.activities[id];
            const Time end = derived_end(id);
            if (schedule_.end[id] != end)
                report(Rule::duration,
                       name(id) + " ends at minute " + text(schedule_.end[id]) + " and should end at " + text(end), id);
            if (activity.stretchable && end - ready(id) > activity.keep)
                report(Rule::duration,
                       name(id) + " is ready at minute " + text(ready(id)) + ", keeps " + text(activity.keep) +
                           " and lasts until " + text(end),
                       id);
        }
    }

    void check_lags() {
        for (const Lag& lag : project_.lags) {
            if (schedule_.start[lag.to] - schedule_.start[lag.from] >= lag.lag) continue;
            report(Rule::order,
                   name(lag.to) + " starts at minute " + text(schedule_.start[lag.to]) + ", not " + text(lag.lag) +
                       " or more after " + name(lag.from) + " at " + text(schedule_.start[lag.from]),
                   lag.to);
        }
    }

    // ----------------------------------------------------------------------------------------- capacities

    Time when(ActivityId id, const Moment& moment) const {
        return moment.offset + (moment.of == Moment::Of::start ? schedule_.start[id] : derived_end(id));
    }

    void gather_uses() {
        uses_.assign(project_.resources.size(), {});
        for (ActivityId id = 0; id < count(project_.activities); ++id) {
            const auto& demands = project_.activities[id].demands;
            for (std::size_t k = 0; k < demands.size(); ++k) {
                Use use{id, &demands[k], when(id, demands[k].from), when(id, demands[k].to)};
                for (const ActivityId later : demands[k].held_until)
                    if (schedule_.start[later] > use.to) use.to = schedule_.start[later];
                if (use.from < use.to) uses_[schedule_.chosen[id][k]].push_back(use);
            }
        }
    }

    void check_capacity(ResourceId id) {
        const Resource& resource = project_.resources[id];
        Time last = 0;
        for (const Use& use : uses_[id]) {
            last = std::max(last, use.to);
            if (use.from < 0)
                report(Rule::beginning,
                       name(use.activity) + " needs " + resource.name + " at minute " + text(use.from) + ", before 0",
                       use.activity);
        }
        std::vector<std::int64_t> load(last, 0);
        for (const Use& use : uses_[id])
            for (Time minute = std::max(0, use.from); minute < use.to; ++minute) load[minute] += use.demand->amount;

        std::int32_t most = 0;
        for (const CapacityStep& step : resource.capacity) most = std::max(most, step.capacity);
        std::size_t step = 0;
        bool over = false;  // each stretch over the capacity is told once, by its first minute
        for (Time minute = 0; minute < last; ++minute) {
            while (step + 1 < resource.capacity.size() && resource.capacity[step + 1].from <= minute) {
                ++step;
                over = false;
            }
            const std::int64_t capacity = resource.capacity[step].capacity;
            if (load[minute] > capacity && !over) report_overload(id, minute, load[minute], capacity, most);
            over = load[minute] > capacity;
        }
    }

    void report_overload(ResourceId id, Time minute, std::int64_t load, std::int64_t capacity, std::int64_t most) {
        std::string names;
        ActivityId last = -1;
        for (const Use& use : uses_[id]) {
            if (use.from > minute || minute >= use.to) continue;
            names += (names.empty() ? "" : ", ") + name(use.activity);
            last = use.activity;
        }
        Rule rule = Rule::equipment;
        if (load <= most) rule = Rule::closed;  // it would fit, but not at this minute
        if (project_.resources[id].wakes) rule = Rule::crew;
        report(rule,
               "minute " + text(minute) + ": " + project_.resources[id].name + " has " + std::to_string(capacity) +
                   " and " + std::to_string(load) + " are wanted by " + names,
               last);
    }

    // --------------------------------------------------------------------------------------------- states

    std::vector<Visit> visits_to(ResourceId id) const {
        std::vector<Visit> visits;
        for (const Use& use : uses_[id]) {
            if (use.demand->stages.empty()) continue;
            const Time start = schedule_.start[use.activity];
            Time end = start;
            for (const Stage& stage : use.demand->stages) end += stage.lasts;
            visits.push_back({use, start, end, use.demand->stages.front().setting});
        }
        return visits;
    }

    void check_state(ResourceId id) {
        check_settings(id);
        check_transitions(id);
        check_seals(id);
        derive_start_ups(id);
    }

    /// Minute by minute, who is in there and at which setting.
    void check_settings(ResourceId id) {
        const auto visits = visits_to(id);
        Time last = 0;
        for (const Visit& visit : visits) last = std::max({last, visit.use.to, visit.last_stage_end});
        struct Minute {
            ActivityId first = -1;
            SettingId setting = -1;
        };
        std::vector<Minute> minutes(last);
        for (const Visit& visit : visits) {
            const Time begin = std::min(visit.start, visit.use.from);
            const auto settings = settings_of(visit, begin);
            bool told = false;
            // What is wanted before minute 0 is told with the capacities.
            for (Time minute = std::max(0, begin); minute < begin + static_cast<Time>(settings.size()); ++minute) {
                const SettingId setting = settings[minute - begin];
                Minute& there = minutes[minute];
                if (there.first < 0) {
                    there = {visit.use.activity, setting};
                    continue;
                }
                if (told || (there.setting == setting && !exclusive(setting))) continue;
                report(Rule::oven,
                       "minute " + text(minute) + ": " + project_.resources[id].name + " is wanted at " +
                           setting_name(there.setting) + " by " + name(there.first) + " and at " +
                           setting_name(setting) + " by " + name(visit.use.activity),
                       visit.use.activity);
                told = true;
            }
        }
    }

    /// The setting at each minute of a visit from `begin` on; -1 where it is there without a setting.
    static std::vector<SettingId> settings_of(const Visit& visit, Time begin) {
        std::vector<SettingId> settings(std::max(visit.use.to, visit.last_stage_end) - begin, -1);
        Time at = visit.start - begin;
        for (const Stage& stage : visit.use.demand->stages)
            for (const Time end = at + stage.lasts; at < end; ++at) settings[at] = stage.setting;
        return settings;
    }

    bool exclusive(SettingId setting) const { return setting >= 0 && project_.settings[setting].exclusive; }

    std::string setting_name(SettingId setting) const {
        if (setting < 0) return "no setting";
        return project_.settings[setting].name + (exclusive(setting) ? " (alone)" : "");
    }

    /// Walks through the minutes, remembering when each setting was last left.
    void check_transitions(ResourceId id) {
        const auto visits = visits_to(id);
        const StateRules& rules = project_.resources[id].state;
        struct Event {
            Time at;
            int kind;  // 0: a stage ends; 1: an activity starts
            SettingId setting;
            ActivityId activity;
        };
        std::vector<Event> events;
        for (const Visit& visit : visits) {
            events.push_back({visit.start, 1, visit.first, visit.use.activity});
            Time at = visit.start;
            for (const Stage& stage : visit.use.demand->stages) {
                at += stage.lasts;
                if (stage.lasts > 0) events.push_back({at, 0, stage.setting, visit.use.activity});
            }
        }
        std::stable_sort(events.begin(), events.end(),
                         [](const Event& a, const Event& b) { return a.at != b.at ? a.at < b.at : a.kind < b.kind; });
        std::vector<Event> left(project_.settings.size(), {-1, 0, -1, -1});
        for (const Event& event : events) {
            if (event.kind == 0) {
                left[event.setting] = event;
                continue;
            }
            for (SettingId before = 0; before < count(project_.settings); ++before) {
                if (left[before].activity < 0) continue;
                const Time needed = rules.transition[before][event.setting];
                if (event.at - left[before].at >= needed) continue;
                report(Rule::oven,
                       "minute " + text(event.at) + ": " + name(event.activity) + " goes into " +
                           project_.resources[id].name + " at " + setting_name(event.setting) + ", " +
                           text(event.at - left[before].at) + " after " + setting_name(before) + " of " +
                           name(left[before].activity) + " and not " + text(needed),
                       event.activity);
            }
        }
    }

    void check_seals(ResourceId id) {
        for (const Use& sealer : uses_[id]) {
            const Time from = schedule_.start[sealer.activity];
            const Time to = from + sealer.demand->sealed;
            if (sealer.demand->sealed <= 0) continue;
            for (const Use& other : uses_[id]) {
                if (other.activity == sealer.activity) continue;
                for (const Time moment : {other.from, other.to}) {
                    if (moment <= from || moment >= to) continue;
                    report(Rule::oven,
                           "minute " + text(moment) + ": " + name(other.activity) + " opens " +
                               project_.resources[id].name + ", which " + name(sealer.activity) + " keeps shut from " +
                               text(from) + " to " + text(to),
                           other.activity);
                }
            }
        }
    }

    // ------------------------------------------------------------------------------------------ start-ups

    void mark_attendance() {
        std::vector<char> attended(project_.horizon + 1, 0);
        for (const Interval& interval : project_.attended)
            for (Time minute = std::max(0, interval.from); minute < interval.to && minute <= project_.horizon; ++minute)
                attended[minute] = 1;
        alone_.assign(project_.horizon + 1, 0);
        for (Time minute = 0; minute <= project_.horizon; ++minute)
            alone_[minute] = attended[minute] ? 0 : 1 + (minute > 0 ? alone_[minute - 1] : 0);
    }

    bool attended(Time minute) const { return minute >= 0 && minute <= project_.horizon && alone_[minute] == 0; }

    /// Project::reset_after minutes in a row without anybody lie within [from, to).
    bool left_alone(Time from, Time to) const {
        for (Time minute = std::max(0, from + project_.reset_after - 1); minute < to; ++minute)
            if (alone_[minute] >= project_.reset_after) return true;
        return false;
    }

    void derive_start_ups(ResourceId id) {
        auto visits = visits_to(id);
        std::stable_sort(visits.begin(), visits.end(),
                         [](const Visit& a, const Visit& b) { return a.start < b.start; });
        Time last_end = -1;  // of what started before; -1: nothing did
        for (std::size_t i = 0; i < visits.size();) {
            const Visit& visit = visits[i];
            const bool initial = last_end < 0 || (last_end <= visit.start && left_alone(last_end, visit.start));
            if (initial) derive_start_up(id, visit, last_end);
            for (const Time together = visit.start; i < visits.size() && visits[i].start == together; ++i)
                last_end = std::max(last_end, visits[i].use.to);
        }
    }

    void derive_start_up(ResourceId id, const Visit& visit, Time last_end) {
        const Resource& resource = project_.resources[id];
        const Time at = visit.start - resource.state.startup[visit.first];
        start_ups_.push_back({id, at, visit.start, visit.first});
        const auto complain = [&](const std::string& what) {
            report(Rule::oven,
                   "minute " + text(at) + ": " + resource.name + ", to be at " + setting_name(visit.first) + " for " +
                       name(visit.use.activity) + " at " + text(visit.start) + ", is switched on " + what,
                   visit.use.activity);
        };
        if (at < 0) complain("before minute 0");
        if (at < last_end) complain("before the last end at " + text(last_end));
        if (at < 0 || resource.state.self_starting) return;
        if (!attended(at)) complain("with nobody there");
        if (left_alone(at, visit.start)) complain("and then left alone for too long");
    }

    static bool earlier(const StartUp& a, const StartUp& b) {
        return a.at != b.at ? a.at < b.at : a.resource < b.resource;
    }

    std::string start_up_text(const StartUp& start_up) const {
        return project_.resources[start_up.resource].name + " on at minute " + text(start_up.at) + " to be at " +
               setting_name(start_up.setting) + " at " + text(start_up.ready);
    }

    void check_start_ups() {
        const auto& written = schedule_.start_ups;
        for (const StartUp& start_up : written) {
            if (start_up.resource < 0 || start_up.resource >= count(project_.resources) || start_up.setting < 0 ||
                start_up.setting >= count(project_.settings)) {
                report(Rule::record, "a start-up of a resource or to a setting that is not there");
                return;
            }
        }
        const auto has = [](const std::vector<StartUp>& list, const StartUp& one) {
            return std::find(list.begin(), list.end(), one) != list.end();
        };
        for (const StartUp& due : start_ups_)
            if (!has(written, due)) report(Rule::oven, "missing start-up: " + start_up_text(due));
        for (const StartUp& one : written)
            if (!has(start_ups_, one)) report(Rule::oven, "needless start-up: " + start_up_text(one));
        if (!std::is_sorted(written.begin(), written.end(), earlier))
            report(Rule::record, "the start-ups are not sorted by time, then resource");
        for (std::size_t i = 1; i < written.size(); ++i)
            if (written[i] == written[i - 1]) report(Rule::record, "written twice: " + start_up_text(written[i]));
    }

    // ---------------------------------------------------------------------------------------------- goals

    std::int64_t overrun() const {
        std::int64_t sum = 0;
        for (const Freshness& food : project_.freshness) {
            Time first_ready = kNever;
            for (const ActivityId maker : food.makers)
                if (ready(maker) < first_ready) first_ready = ready(maker);
            Time last_use = food.last_time;
            for (const ActivityId user : food.users)
                if (schedule_.start[user] > last_use) last_use = schedule_.start[user];
            const std::int64_t beyond = std::int64_t{last_use} - first_ready - food.best_within;
            if (beyond > 0) sum += beyond;
        }
        return sum;
    }

    std::int64_t alarm() const {
        Time first = kNever;
        for (ResourceId id = 0; id < count(project_.resources); ++id)
            if (project_.resources[id].wakes)
                for (const Use& use : uses_[id]) first = std::min(first, use.from);
        for (const StartUp& start_up : start_ups_)
            if (!project_.resources[start_up.resource].state.self_starting) first = std::min(first, start_up.at);
        if (first == kNever)
            for (const Time start : schedule_.start) first = std::min(first, start);
        return first;
    }

    std::int64_t waiting() const {
        std::int64_t sum = 0;
        for (const WaitLink& link : project_.links)
            sum += link.weight * ((link.user >= 0 ? schedule_.start[link.user] : link.time) - ready(link.maker));
        return sum;
    }

    const Project& project_;
    const Schedule& schedule_;
    std::vector<std::vector<Use>> uses_;  ///< by resource
    std::vector<Time> alone_;             ///< by minute: so many minutes in a row, this one included, nobody was there
    std::vector<StartUp> start_ups_;      ///< as the rules demand
    std::vector<Violation> violations_;
};

}  // namespace

std::vector<Violation> check(const Project& project, const Schedule& schedule) {
    return Referee(project, schedule).verdict();
}

Value checked_value(const Project& project, const Schedule& schedule) { return Referee(project, schedule).value(); }

}  // namespace oventide
