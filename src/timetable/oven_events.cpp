#include "timetable/oven_events.hpp"

#include <algorithm>
#include <tuple>

#include "project/attendance.hpp"

namespace oventide {
namespace {

using Kind = OvenEvent::Kind;

/// What an oven is at for a while, because of the loads that are in it.
struct Stretch {
    Time from;
    Time to;
    SettingId setting;
    std::optional<Time> first_in;  ///< when the first load goes in at this setting; it may change inside a programme
    bool goes_in() const { return first_in == from; }
};

/// By time; loads that share the oven have equal stretches, which are merged.
std::vector<Stretch> stretches(const Project& project, const Schedule& schedule, ResourceId oven) {
    std::vector<Stretch> all;
    for (std::size_t id = 0; id < project.activities.size(); ++id) {
        const auto& demands = project.activities[id].demands;
        for (std::size_t k = 0; k < demands.size(); ++k) {
            if (demands[k].stages.empty() || schedule.chosen[id][k] != oven) continue;
            Time at = schedule.start[id];
            for (const Stage& stage : demands[k].stages) {
                const bool goes_in = at == schedule.start[id];
                all.push_back({at, at + stage.lasts, stage.setting, goes_in ? std::optional(at) : std::nullopt});
                at += stage.lasts;
            }
        }
    }
    std::stable_sort(all.begin(), all.end(), [](const Stretch& a, const Stretch& b) { return a.from < b.from; });
    std::vector<Stretch> merged;
    for (const Stretch& next : all) {
        if (!merged.empty() && merged.back().setting == next.setting && next.from <= merged.back().to) {
            merged.back().to = std::max(merged.back().to, next.to);
            if (!merged.back().first_in) merged.back().first_in = next.first_in;
        } else {
            merged.push_back(next);
        }
    }
    return merged;
}

/// Tells the story of one oven, stretch by stretch.
class OvenStory {
public:
    OvenStory(const Plan& plan, const Expansion& expansion, EquipmentIndex oven, ResourceId resource)
        : plan_(plan), expansion_(expansion), oven_(oven), rules_(expansion.project.resources[resource].state) {}

    void switch_on(const StartUp& start_up) {
        rest();
        say(Kind::on, start_up.at, start_up.setting);
        say(Kind::hot, start_up.ready, start_up.setting);
        on_ = true;
    }

    void go_on(const Stretch& stretch) {
        if (is_off(stretch.setting)) return rest();  // at its beginning, or, with something else in there, after that
        const bool inside = !stretch.goes_in() && stretch.from == until_;
        const bool same = on_ && stretch.setting == setting_;
        if (inside && !same) return change_inside(stretch);
        if (const auto on_at = on_again(stretch); on_ && on_at) return switch_off_and_on(stretch, *on_at);
        if (!same) change_between(stretch);
    }

    void be_at(const Stretch& stretch) {
        if (hot_from_ && stretch.first_in) {
            say(Kind::hot, std::min(*stretch.first_in, *hot_from_), stretch.setting);
            hot_from_.reset();
        }
        setting_ = stretch.setting;
        until_ = stretch.to;
        on_ = !is_off(setting_);
        heat_ = on_ ? *expansion_.temperatures[setting_] : fallen(stretch.to - stretch.from);
    }

    /// Off, where it is not off already.
    void rest() {
        if (on_) events.push_back({Kind::off, oven_, instant(until_), std::nullopt, {}});
        on_ = false;
        hot_from_.reset();
    }

    std::vector<OvenEvent> events;

private:
    Instant instant(Time at) const { return expansion_.origin + Minutes{at}; }
    bool is_off(SettingId setting) const { return !expansion_.temperatures[setting]; }

    void say(Kind kind, Time at, SettingId setting) {
        events.push_back({kind, oven_, instant(at), expansion_.temperatures[setting], {}});
    }

    /// A programme goes on. That the oven is hot is only told once another load wants to go in.
    void change_inside(const Stretch& stretch) {
        say(Kind::set, stretch.from, stretch.setting);
        hot_from_ = stretch.from + rules_.transition[setting_][stretch.setting];
    }

    void switch_off_and_on(const Stretch& stretch, Time on_at) {
        rest();
        say(Kind::on, on_at, stretch.setting);
        say(Kind::hot, on_at + rules_.startup[stretch.setting], stretch.setting);
    }

    /// Down as soon as it is free, since it burns less so; up no earlier than the next load needs.
    void change_between(const Stretch& stretch) {
        const MilliCelsius wanted = *expansion_.temperatures[stretch.setting];
        Time latest = stretch.from;
        while (latest > until_ && latest + changing(latest, wanted) > stretch.from) --latest;
        const Time at = on_ && wanted < heat_ ? first_attended(until_, latest) : last_attended(until_, latest);
        say(on_ ? Kind::set : Kind::on, at, stretch.setting);
        hot_from_.reset();
        say(Kind::hot, std::min(stretch.from, at + changing(at, wanted)), stretch.setting);
    }

    /// From what it is at by then, rounded up to whole minutes.
    Time changing(Time at, MilliCelsius wanted) const {
        const MilliCelsius now = on_ ? heat_ : fallen(at - until_);
        const Equipment& oven = plan_.kitchen.equipment[oven_];
        const auto [way, rate] =
            now < wanted ? std::pair(wanted - now, oven.heats) : std::pair(now - wanted, oven.cools);
        return static_cast<Time>((way + rate - 1) / rate);
    }

    /// What it has fallen to after so long off, from `heat_`.
    MilliCelsius fallen(Time minutes) const {
        const MilliCelsius room = plan_.kitchen.room;
        if (heat_ <= room) return heat_;
        return std::max(room, heat_ - plan_.kitchen.equipment[oven_].cools * minutes);
    }

    /// Of [from, to] the first minute in which somebody is there; `from` where there is none.
    Time first_attended(Time from, Time to) const {
        Time at = from;
        while (at < to && !attended(expansion_.project, at)) ++at;
        return attended(expansion_.project, at) ? at : from;
    }

    /// The last one, likewise.
    Time last_attended(Time from, Time to) const {
        Time at = to;
        while (at > from && !attended(expansion_.project, at)) --at;
        return at;
    }

    Time cooling_to_room() const {
        if (heat_ <= plan_.kitchen.room) return 0;
        const MilliCelsius rate = plan_.kitchen.equipment[oven_].cools;
        return static_cast<Time>((heat_ - plan_.kitchen.room + rate - 1) / rate);
    }

    /// When it would go on again if it were switched off now: no earlier than the next load needs, but while somebody
    /// is there who does not leave it alone before. Absent where the gap is not long enough for cooling and heating.
    std::optional<Time> on_again(const Stretch& stretch) const {
        const Project& project = expansion_.project;
        const Time latest = stretch.from - rules_.startup[stretch.setting];
        const Time earliest = until_ + std::max(cooling_to_room(), 1);
        if (latest < earliest) return std::nullopt;
        if (rules_.self_starting) return latest;
        const Time at = last_attended(earliest, latest);
        if (!attended(project, at) || left_alone(project, at, stretch.from)) return std::nullopt;
        return at;
    }

    const Plan& plan_;
    const Expansion& expansion_;
    EquipmentIndex oven_;
    const StateRules& rules_;
    SettingId setting_ = 0;
    Time until_ = 0;
    bool on_ = false;
    MilliCelsius heat_ = plan_.kitchen.room;  ///< at `until_`
    std::optional<Time> hot_from_;            ///< it changed inside a programme, and no load has gone in since
};

std::vector<OvenEvent> story_of(const Plan& plan, const Expansion& expansion, const Schedule& schedule,
                                ResourceId resource) {
    OvenStory story(plan, expansion, *expansion.resources[resource].equipment, resource);
    for (const Stretch& stretch : stretches(expansion.project, schedule, resource)) {
        const auto start_up =
            std::find_if(schedule.start_ups.begin(), schedule.start_ups.end(), [&](const StartUp& each) {
                return each.resource == resource && each.ready == stretch.from && stretch.goes_in();
            });
        if (start_up != schedule.start_ups.end())
            story.switch_on(*start_up);
        else
            story.go_on(stretch);
        story.be_at(stretch);
    }
    story.rest();
    return std::move(story.events);
}

}  // namespace

std::vector<OvenEvent> oven_events(const Plan& plan, const Expansion& expansion, const Schedule& schedule) {
    std::vector<OvenEvent> all;
    for (std::size_t id = 0; id < expansion.project.resources.size(); ++id) {
        if (!expansion.project.resources[id].has_state) continue;
        const auto story = story_of(plan, expansion, schedule, static_cast<ResourceId>(id));
        all.insert(all.end(), story.begin(), story.end());
    }
    std::stable_sort(all.begin(), all.end(), [](const OvenEvent& a, const OvenEvent& b) {
        return std::tie(a.at, a.oven) < std::tie(b.at, b.oven);
    });
    return all;
}

}  // namespace oventide
