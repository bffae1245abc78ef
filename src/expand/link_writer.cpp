#include "expand/link_writer.hpp"

#include "expand/arithmetic.hpp"
#include "oventide/limits.hpp"

namespace oventide::expansion {
namespace {

bool last_differs(const Project& project, ActivityRange range) {
    return range.end - range.first > 1 &&
           project.activities[range.end - 1].duration < project.activities[range.end - 2].duration;
}

/// Loads of which one is the last to be ready: the last, or that before it where the last is a shorter rest.
ActivityRange late(const Project& project, ActivityRange range) {
    return {last_differs(project, range) ? range.end - 2 : range.end - 1, range.end};
}

/// Loads of which one is the first to be ready: the first, or the last where that is a shorter rest.
std::vector<ActivityId> early(const Project& project, ActivityRange range) {
    if (last_differs(project, range)) return {range.first, range.end - 1};
    return {range.first};
}

}  // namespace

bool LinkWriter::full() const {
    constexpr std::size_t most = Limits::links;
    return project_.lags.size() >= most || uses_ >= most || arcs_.size() >= most || project_.links.size() >= most;
}

void LinkWriter::at_least(ActivityId maker, ActivityId user, Minutes rest, PromiseId promise) {
    if (!full()) project_.lags.push_back({maker, user, project_.activities[maker].duration + to_time(rest), promise});
}

void LinkWriter::at_most(ActivityId maker, ActivityId user, Minutes within, PromiseId promise) {
    if (!full())
        project_.lags.push_back({user, maker, -(project_.activities[maker].duration + to_time(within)), promise});
}

void LinkWriter::in_sequence(ActivityId first, ActivityId second, PromiseId promise) {
    if (!full()) project_.lags.push_back({first, second, 0, promise});
}

void LinkWriter::use(ActivityId maker, ActivityId user) {
    if (full() || !project_.activities[maker].stretchable) return;
    project_.activities[maker].users.push_back(user);
    ++uses_;
}

void LinkWriter::food(ActivityId maker, ActivityId user, std::int64_t weight) {
    if (full()) return;
    arcs_.push_back({maker, user, weight});
    if (weight > 0) project_.links.push_back({maker, user, 0, weight});
}

void LinkWriter::all_at_least(ActivityRange makers, ActivityRange users, Minutes rest, PromiseId promise) {
    // Loads that took what they took can be ready in any order.
    const ActivityRange binding = draft_.actual != nullptr ? makers : late(project_, makers);
    for (ActivityId user = users.first; user < users.end; ++user)
        for (ActivityId maker = binding.first; maker < binding.end; ++maker) at_least(maker, user, rest, promise);
}

void LinkWriter::all_at_most(ActivityRange makers, ActivityRange users, Minutes within, PromiseId promise) {
    std::vector<ActivityId> binding = early(project_, makers);
    if (draft_.actual != nullptr) {
        binding.clear();
        for (ActivityId maker = makers.first; maker < makers.end; ++maker) binding.push_back(maker);
    }
    for (ActivityId user = users.first; user < users.end; ++user)
        for (const ActivityId maker : binding) at_most(maker, user, within, promise);
}

void LinkWriter::all_use(ActivityRange makers, ActivityRange users) {
    for (ActivityId maker = makers.first; maker < makers.end && project_.activities[maker].stretchable; ++maker)
        for (ActivityId user = users.first; user < users.end && !full(); ++user) use(maker, user);
}

}  // namespace oventide::expansion
