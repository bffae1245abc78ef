#include "replan/whole_day.hpp"

#include <algorithm>
#include <tuple>
#include <utility>

#include "timetable/jobs.hpp"

namespace oventide::replan {
namespace {

/// What an oven did before the first that `rest` knows of it follows from what was in it.
std::vector<OvenEvent> oven_events(const std::vector<OvenEvent>& happened, const std::vector<OvenEvent>& rest) {
    std::vector<OvenEvent> all = rest;
    for (const OvenEvent& event : happened) {
        const auto later = [&](const OvenEvent& other) { return other.oven != event.oven || event.at < other.at; };
        if (std::ranges::all_of(rest, later)) all.push_back(event);
    }
    std::ranges::stable_sort(all, {}, [](const OvenEvent& event) { return std::tuple(event.at, event.oven); });
    return all;
}

}  // namespace

Timetable whole_day(const Situation& situation, const Left& left, const Outcome& outcome) {
    Expansion expansion = left.expansion;
    expansion.project = left.whole;
    Outcome whole = outcome;
    complete(expansion.project, *whole.schedule);
    Timetable day = make_timetable(situation.today, expansion, whole, {});
    day.oven = oven_events(day.oven, make_timetable(situation.today, left.expansion, outcome, {}).oven);
    day.jobs.clear();
    add_jobs(situation.today, day);
    return day;
}

}  // namespace oventide::replan
