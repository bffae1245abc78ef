#pragma once
/// Where there is no timetable as things are: what must be for there to be one, tried.

#include <functional>
#include <optional>
#include <vector>

#include "oventide/replan.hpp"
#include "replan/left.hpp"

namespace oventide::replan {

/// A day that has a timetable, and what makes it different from the day as it is.
struct Possible {
    Situation situation;
    std::vector<Need> needs;
    std::vector<Later> later{};
};

/// The timetable of a day, quickly; empty where none is found.
struct Trial {
    Expansion expansion;
    std::vector<char> happened;
    Schedule schedule;
    std::vector<Minutes> late_by;  ///< by order
    std::int64_t late = 0;         ///< minutes, of all orders
    std::int64_t over = 0;         ///< minutes, of all limits
};
using Attempt = std::function<std::optional<Trial>(const Situation&)>;

/// The first that helps: what is broken until nobody knows when is mended, somebody who is away comes back, somebody
/// stays longer or comes earlier (whoever has to do so by least), anything else that is broken is mended; each alone,
/// then all together. As little as was found; and back or mended as late as does no more harm than at once.
/// How late it would be if later still is asked of `thorough`: the cook acts on it.
std::optional<Possible> what_is_needed(const Plan& plan, const Situation& situation, const Attempt& attempt,
                                       const Attempt& thorough);

/// The same day with no more of the hours that are needed than `trial` has work for; empty where that is all of them.
std::optional<Possible> with_hours_used(const Situation& situation, const Possible& possible, const Trial& trial);

/// Of a day without a timetable: what can begin now, and how early each order could be ready, were nothing and nobody
/// ever busy.
void without_timetable(const Plan& today, const Left& left, Replanned& result);

}  // namespace oventide::replan
