#pragma once
/// Durations for the columns of a table.

#include <string>

#include "oventide/time.hpp"

namespace oventide {

std::string short_duration(Minutes duration);  ///< "0", "35m", "1h05m", "2d03h"

}  // namespace oventide
