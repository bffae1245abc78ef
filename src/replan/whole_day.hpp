#pragma once
/// A day with what has happened and what is left, from its beginning to its end.

#include "replan/left.hpp"

namespace oventide::replan {

/// `outcome` is that of what is left, in which what has happened has nothing in hand any more.
Timetable whole_day(const Situation& situation, const Left& left, const Outcome& outcome);

}  // namespace oventide::replan
