#pragma once
/// What several reports say in the same words.

#include <optional>
#include <string>
#include <vector>

#include "report/days.hpp"
#include "report/page.hpp"
#include "report/words.hpp"

namespace oventide::report {

/// From the first thing in the timetable to the last pickup; without a timetable from the plan's beginning.
Span span_of(const Subject& subject);

/// How far the timetable is from the best possible: the first aim that is not proven, or that nothing betters it.
std::string distance_to_best(const Subject& subject, const Words& words, const Days& days);

/// Cautions where the plan touches them: food safety with the rule and its source, burns, allergens.
void add_cautions(const Subject& subject, const Words& words, Page& page);

/// What is remarkable about the timetable's chills: times far from what is worked out, and by when a food-safety rule
/// wants them how cold.
void add_chills(const Subject& subject, const Words& words, Page& page);

/// An oven is switched or turned: what to, and when it is there. Events that only say that it is hot are merged into
/// what they come from.
struct OvenTurn {
    OvenEvent event;
    std::optional<Instant> hot;  ///< from then on a load may go in
};
std::vector<OvenTurn> oven_turns(const Timetable& timetable);
std::string oven_turn_text(const OvenTurn& turn, const Subject& subject, const Days& days);

/// "mixer, hob x2": what is busy in the span; with `until`, what stays busy beyond it for more than the washing says
/// for how long.
std::string equipment_text(const Row& row, Span during, const Words& words, const Days& days, bool until);

/// Each once, in order.
std::string joined(const std::vector<std::string>& parts, const char* between = ", ");

}  // namespace oventide::report
