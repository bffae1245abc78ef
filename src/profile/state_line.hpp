#pragma once
/// What goes through one state resource: who shares a setting with whom, what must lie between two settings, who must
/// not be disturbed, and when the resource has to be started up. Knows no precedence and no capacity.

#include <vector>

#include "oventide/project.hpp"
#include "profile/busy_span.hpp"
#include "profile/programme.hpp"

namespace oventide::profile {

class StateLine {
public:
    StateLine(const Project& project, ResourceId resource);

    void clear() { visits_.clear(); }
    void add(const Programme& programme, Time start, Interval busy);
    void remove(const Programme& programme);

    /// The latest start at or before `latest` at which the programme gets on with every visit that is there already,
    /// and everybody's start-up is possible. A first visit needs its start-up now, whatever may come before it later.
    Fit latest_fit(const Programme& programme, const BusySpan& span, Time latest) const;
    bool fits(const Programme& programme, const BusySpan& span, Time start) const {
        return latest_fit(programme, span, start).start == start;
    }

private:
    struct Visit {
        Time start;
        Interval busy;
        Programme programme;
    };
    /// The latest start at or before `start` that this one visit allows.
    Time below(const Visit& visit, const Programme& programme, const BusySpan& span, Time start) const;
    Time below_start_ups(const Programme& programme, const BusySpan& span, Time start) const;
    Time below_own_start_up(SettingId setting, Time start, Time idle_since, bool first) const;
    Time transition(SettingId from, SettingId to) const { return rules_->transition[from][to]; }
    bool clash(SettingId a, SettingId b) const;

    const Project* project_;
    const StateRules* rules_;
    Time longest_transition_ = 0;
    Time longest_visit_ = 0;
    std::vector<Visit> visits_;  ///< latest start first
};

}  // namespace oventide::profile
