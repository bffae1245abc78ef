#pragma once
/// Whether a file's bytes are fit to be read as TOML at all: a look before any memory is taken.

#include <cstdint>
#include <string_view>

#include "plan/complaints.hpp"

namespace oventide::plan_file {

/// UTF-8 text without zero bytes, in which tables, lists and dotted keys are nested no deeper than Limits::nesting (a
/// TOML parser's stack grows with them). Tells the first thing that is wrong.
bool check_text(std::string_view text, std::int32_t file, Complaints& complaints);

}  // namespace oventide::plan_file
