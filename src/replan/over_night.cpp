#include "replan/over_night.hpp"

#include <algorithm>

#include "common/spans.hpp"
#include "oventide/timetable.hpp"

namespace oventide::replan {
namespace {

/// Between the first and the last that anybody is there.
std::vector<Span> nights(const std::vector<std::vector<Span>>& hours) {
    std::vector<Span> there;
    for (const auto& own : hours) there.insert(there.end(), own.begin(), own.end());
    there = merged(std::move(there));
    std::vector<Span> found;
    for (std::size_t k = 1; k < there.size(); ++k)
        if (there[k].from - there[k - 1].to >= kNightsRest) found.push_back({there[k - 1].to, there[k].from});
    return found;
}

}  // namespace

std::vector<OverNight> over_night(const Situation& situation, const std::vector<std::vector<Span>>& hours,
                                  const Expansion& left, const Schedule& schedule) {
    std::vector<OverNight> found;
    const auto at = [&](Time time) { return left.origin + Minutes{time}; };
    for (const Span& night : nights(hours))
        for (const WaitLink& link : left.project.links) {
            if (link.user < 0) continue;
            const StepState& user = situation.steps[link.user];
            if (user.state != State::waiting || !user.announced) continue;
            const Instant ready = at(schedule.start[link.maker] + left.project.activities[link.maker].duration);
            const Instant used = at(schedule.start[link.user]);
            const bool into_the_night = used - std::max(ready, night.from) >= kNightsRest;
            if (*user.announced > night.from || ready >= night.to || !(used >= night.to || into_the_night)) continue;
            const auto same = std::ranges::find(found, link.maker, &OverNight::step);
            if (same == found.end())
                found.push_back({link.maker, ready, used});
            else
                same->to = std::max(same->to, used);
        }
    std::ranges::sort(found, {}, &OverNight::step);
    return found;
}

}  // namespace oventide::replan
