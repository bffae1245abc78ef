#pragma once
/// The referee: says whether a schedule keeps every rule, minute by minute, sharing no code with what made it.

#include <string>
#include <vector>

#include "oventide/plan.hpp"
#include "oventide/project.hpp"
#include "oventide/schedule.hpp"
#include "oventide/timetable.hpp"

namespace oventide {

/// The rules of a correct timetable, one by one; the numbers in brackets are the points of the contract.
enum class Rule {
    duration,   ///< (1) a fixed step lasts what it takes; a stretchable one until it is used, at most what it keeps
    order,      ///< (2) rests, waits, at once
    equipment,  ///< (3) demands fit capacities at every minute
    oven,       ///< (4) settings shared, heating and cooling, the door, switching on
    crew,       ///< (5) hands within one person's hours
    closed,     ///< (6) equipment that is closed
    pickup,     ///< (7) done by the pickup less the margin
    freshness,  ///< (8) what a component keeps
    safety,     ///< (8) cooked food to its chill
    amounts,    ///< (9) enough pieces, whole batches, in order
    beginning,  ///< nothing starts before the plan's `from`, or before a release
    horizon,    ///< nothing lasts beyond the horizon of the project
    record,     ///< what is written down does not hang together: sizes, ids, facts that follow from other facts
};

struct Violation {
    Rule rule = Rule::duration;
    std::string what;          ///< in words, with the minute
    ActivityId activity = -1;  ///< for a project; -1 where none
    Place place;               ///< for a plan
};

/// Project and schedule: every constraint that project.hpp documents.
std::vector<Violation> check(const Project& project, const Schedule& schedule);

/// The goals' values worked out anew, so that evaluate() can be compared with something. Nothing that follows from
/// `start` and `chosen` is taken from the schedule. Meaningful for a schedule of which check() finds the sizes, ids
/// and times in range.
Value checked_value(const Project& project, const Schedule& schedule);

/// Plan and timetable, from the cook's words alone: the project that stood between them is not looked at.
std::vector<Violation> check(const Plan& plan, const Timetable& timetable);

const char* rule_name(Rule rule);

}  // namespace oventide
