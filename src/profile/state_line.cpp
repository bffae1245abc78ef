#include "profile/state_line.hpp"

#include <algorithm>

#include "profile/from_the_end.hpp"
#include "project/attendance.hpp"

namespace oventide::profile {
namespace {

/// Stages of a visit with their times; the last one lasts as long as the demand does.
template <class Use>
void for_each_stage(const Programme& programme, Time start, Time end, Use use) {
    Time from = start;
    for (std::size_t k = 0; k < programme.stages.size(); ++k) {
        const bool last = k + 1 == programme.stages.size();
        const Time to = last ? std::max(end, from + programme.stages[k].lasts) : from + programme.stages[k].lasts;
        use(programme.stages[k].setting, from, to);
        from = to;
    }
}

/// Leaves `time` where it is, or takes it to the end of (low, high) when it lies inside.
void leave(Time& time, Time low, Time high) {
    if (low < time && time < high) time = low;
}

}  // namespace

StateLine::StateLine(const Project& project, ResourceId resource)
    : project_(&project), rules_(&project.resources[resource].state) {
    for (const auto& row : rules_->transition)
        for (const Time time : row) longest_transition_ = std::max(longest_transition_, time);
}

void StateLine::add(const Programme& programme, Time start, Interval busy) {
    const Visit visit{start, {std::min(start, busy.from), busy.to}, programme};
    longest_visit_ = std::max(longest_visit_, visit.busy.to - visit.busy.from);
    const auto place = partition_from_the_end(visits_, [&](const Visit& other) { return other.start > start; });
    visits_.insert(place, visit);
}

void StateLine::remove(const Programme& programme) {
    auto place = visits_.end();  // what came last is among the earliest
    while ((--place)->programme.stages.data() != programme.stages.data()) {
    }
    visits_.erase(place);
}

bool StateLine::clash(SettingId a, SettingId b) const {
    return a != b || project_->settings[a].exclusive || project_->settings[b].exclusive;
}

Time StateLine::below(const Visit& visit, const Programme& programme, const BusySpan& span, Time start) const {
    const Time end = span.to.at(start);
    Time allowed = start;
    for_each_stage(programme, 0, end - start, [&](SettingId mine, Time from, Time to) {
        for_each_stage(visit.programme, visit.start, visit.busy.to, [&](SettingId theirs, Time since, Time until) {
            if (from < to && since < until && clash(mine, theirs)) leave(allowed, since - to, until - from);
        });
        // Its end must lie far enough before the other's start.
        const Time apart = transition(mine, visit.programme.stages.front().setting);
        if (apart > 0) leave(allowed, visit.start - apart - to, visit.start - to + 1);
    });
    for_each_stage(visit.programme, visit.start, visit.busy.to, [&](SettingId theirs, Time, Time until) {
        const Time apart = transition(theirs, programme.stages.front().setting);
        if (apart > 0) leave(allowed, until - 1, until + apart);
    });
    if (visit.programme.sealed > 0) {
        leave(allowed, visit.start, visit.start + visit.programme.sealed);
        const Time length = end - start;
        leave(allowed, visit.start - length, visit.start + visit.programme.sealed - length);
    }
    if (programme.sealed > 0) {
        leave(allowed, visit.start - programme.sealed, visit.start);
        leave(allowed, visit.busy.to - programme.sealed, visit.busy.to);
    }
    return allowed;
}

/// Somebody must be there to start the resource up, and nobody may be away too long until it is needed.
Time StateLine::below_own_start_up(SettingId setting, Time start, Time idle_since, bool first) const {
    if (!first && (idle_since > start || !left_alone(*project_, idle_since, start))) return start;
    const Time warming = rules_->startup[setting];
    const Time at = start - warming;
    if (at < (first ? 0 : idle_since)) return start - 1;
    if (rules_->self_starting) return start;
    if (!attended(*project_, at)) {
        const auto later = std::partition_point(project_->attended.begin(), project_->attended.end(),
                                                [&](const Interval& there) { return there.to <= at; });
        return later == project_->attended.begin() ? -kNever : std::prev(later)->to - 1 + warming;
    }
    return left_alone(*project_, at, start) ? start - 1 : start;
}

Time StateLine::below_start_ups(const Programme& programme, const BusySpan& span, Time start) const {
    const Time end = span.to.at(start);
    // Those that start before; their last end.
    bool first = true;
    Time idle_since = -kNever;
    auto later = visits_.end();
    while (later != visits_.begin() && std::prev(later)->start < start) {
        --later;
        first = false;
        idle_since = std::max(idle_since, later->busy.to);
    }
    const Time own = below_own_start_up(programme.stages.front().setting, start, idle_since, first);
    if (own < start) return own;
    // Those that start after find the resource as this one leaves it, up to the first that starts after its end.
    Time last_end = std::max(idle_since, end);
    while (later != visits_.begin()) {
        --later;
        if (later->start > start) {
            if (last_end <= later->start && left_alone(*project_, last_end, later->start)) {
                const Time at = later->start - rules_->startup[later->programme.stages.front().setting];
                if (at < last_end) return start - 1;
                if (!rules_->self_starting && (!attended(*project_, at) || left_alone(*project_, at, later->start)))
                    return start - 1;
            }
            if (later->start >= end) break;
        }
        last_end = std::max(last_end, later->busy.to);
    }
    return start;
}

Fit StateLine::latest_fit(const Programme& programme, const BusySpan& span, Time latest) const {
    Time start = latest;
    for (;;) {
        const Time before = start;
        const Time reach = span.to.at(start) + longest_transition_;
        const auto first = partition_from_the_end(visits_, [&](const Visit& visit) { return visit.start > reach; });
        for (auto visit = first; visit != visits_.end(); ++visit) {
            if (visit->start + longest_visit_ + longest_transition_ < start) break;
            start = below(*visit, programme, span, start);
        }
        if (start == before) start = below_start_ups(programme, span, start);
        if (start == before) return {start, -kNever};
        if (start < 0) return {};
    }
}

}  // namespace oventide::profile
