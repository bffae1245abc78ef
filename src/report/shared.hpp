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

/// "As it stands Sat 3 Oct 10:42: ..."; empty where the day is shown as planned.
std::string as_of_text(const Subject& subject, const Days& days);
void add_as_of(const Subject& subject, const Days& days, Page& page);

/// What has no time yet, by what it waits for: "Waits for the oven, broken since 11:15, nobody knows until when: ..."
std::vector<std::string> waiting_texts(const Subject& subject, const Words& words, const Days& days);

/// "waits for the oven"; empty where it is known when the order is ready.
std::string unready_text(const Subject& subject, const Words& words, std::int32_t order);

/// Of a day on which something has happened: what has become of the step by then.
std::optional<replan::State> state_of(const Subject& subject, const Row& row);

struct Caution {
    std::string text;
    bool goes_on = false;               ///< belongs to those before it
    std::vector<PersonIndex> people{};  ///< whom it concerns before others
};

/// "custard / chill starts within 10 min of custard / cook: 5 min over (at custard: chill, batch 2 of 2)"
std::string broken_text(const replan::Broken& broken, const Words& words);

/// "Past its best: 12 plum puff, collected by Bell ringers ..."
std::string past_best_text(const PastBest& food, const Subject& subject, const Words& words, const Days& days);

/// What falls to nobody from then on, because the plan asks for no hands there; and what a timer has to be set for.
std::vector<Caution> unattended(const Subject& subject, const Words& words, const Days& days, Instant from);

/// Limits that are not kept, what nobody is there for, food past its best, batches and loads that are hardly worth
/// making; and cautions where the plan touches them: food safety with the rule and its source, burns, allergens.
/// `allergens`: where the page's reader finds those.
std::vector<Caution> cautions(const Subject& subject, const Words& words, const Days& days,
                              const char* allergens = "'oventide allergens' lists");
void add_cautions(const Subject& subject, const Words& words, const Days& days, Page& page);

/// What is remarkable about the timetable's chills: times far from what is worked out, and by when a food-safety rule
/// wants them how cold.
void add_chills(const Subject& subject, const Words& words, std::vector<Caution>& cautions);

/// When everybody has to be there, day by day, and what comes first.
void add_alarm(const Subject& subject, const Words& words, const Days& days, Page& page);

/// When each order is collected, when it is done, and from which batches it is filled.
void add_pickups(const Subject& subject, const Words& words, const Days& days, Page& page);

/// "24 pear tart (from batch 1), 40 seeded roll (from batch 1: 10, batch 2: 30)"
std::string servings_text(const PickupLine& pickup, const Subject& subject, const Words& words);

/// What is done to ovens, each with when a load may go in from then on.
struct OvenTurn {
    OvenEvent event;
    std::optional<Instant> hot;
};
std::vector<OvenTurn> oven_turns(const Timetable& timetable);

/// "turn to 180 C, ready 09:20", for an index into Timetable::oven.
std::string oven_turn_text(std::int32_t event, const Subject& subject, const Days& days);

/// "set its timer: on at 05:10, 180 C"
std::string timer_text(const Job& job, const Subject& subject, const Days& days);

/// "mixer, hob x2": what is busy in the span; with `until`, what stays busy beyond it for more than the washing says
/// for how long.
std::string equipment_text(const Row& row, Span during, const Words& words, const Days& days, bool until);

/// Each once, in order.
std::string joined(const std::vector<std::string>& parts, const char* between = ", ");

}  // namespace oventide::report
