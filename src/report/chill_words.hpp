#pragma once
/// How reports speak of chills.

#include <optional>
#include <string>

#include "oventide/chill.hpp"
#include "oventide/plan.hpp"

namespace oventide::report {

/// To five minutes from an hour on: an estimate is no more exact. `up`: never less than it is.
std::string about(Minutes duration);
std::string at_most(Minutes duration);

/// "between 1 h 20 min and 3 h"; "at least 2 h, and perhaps never".
std::string interval_text(const chill::Duration& takes);

std::string length_text(double metres);  ///< "5 cm", "8 mm"

/// "5 cm deep in a tray", "5 cm deep in 3 pots of 24 cm"
std::string vessel_text(const Cools& cools, double depth);
std::string food_text(const Cools& cools);  ///< "custard"
std::string where_text(const Cold& cold);   ///< "in the fridge", "on the bench"

}  // namespace oventide::report
