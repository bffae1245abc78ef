#pragma once
/// What has begun keeps what it has in hand: a second look, at the project before anything was taken off it.

#include <string>
#include <vector>

#include "oventide/schedule.hpp"
#include "replan/left.hpp"

namespace oventide::replan {

/// Where the schedule puts something that waits on equipment or people that what has happened still keeps busy, or that
/// are not there. The schedule names who and what was announced for all that has happened.
std::vector<std::string> taken_twice(const Left& left, Schedule schedule);

}  // namespace oventide::replan
