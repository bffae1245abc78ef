#include "replan/longer_days.hpp"

#include <algorithm>

#include "replan/longer_hours.hpp"

namespace oventide::replan {
namespace {

/// From the first work after a night's rest to the last before the next.
std::vector<Span> days_of(std::vector<Span> work) {
    std::ranges::sort(work, {}, &Span::from);
    std::vector<Span> days;
    for (const Span& span : work) {
        if (days.empty() || span.from - days.back().to >= kNightsRest) days.push_back(span);
        days.back().to = std::max(days.back().to, span.to);
    }
    return days;
}

}  // namespace

std::vector<Longer> longer_days(const Situation& situation, const Expansion& planned, const Schedule& announced,
                                const Timetable& timetable) {
    std::vector<Longer> found;
    for (std::size_t k = 0; k < situation.today.kitchen.crew.size(); ++k) {
        const auto person = static_cast<PersonIndex>(k);
        std::vector<Span> work;
        for (const Row& row : timetable.rows)
            for (const HandsUse& hands : row.hands)
                if (hands.person == person) work.push_back(hands.span);
        const std::vector<Span> told = days_of(work_of(planned, announced, person));
        for (const Span& day : days_of(std::move(work))) {
            if (day.to <= situation.now) continue;
            std::optional<Instant> last;
            for (const Span& was : told)
                if (was.from - day.to < kNightsRest && day.from - was.to < kNightsRest) last = was.to;
            if (!last || *last < day.to) found.push_back({person, last, day.to});
        }
    }
    return found;
}

}  // namespace oventide::replan
