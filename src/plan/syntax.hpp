#pragma once
/// What the TOML parser objects to, in the cook's words.

#include <string_view>

#include "plan/complaints.hpp"

namespace oventide::plan_file {

/// `says`: the parser's own words; `text`: the file that `place` lies in.
void tell_syntax(std::string_view says, Place place, std::string_view text, Complaints& complaints);

}  // namespace oventide::plan_file
