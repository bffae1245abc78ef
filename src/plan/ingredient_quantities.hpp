#pragma once
/// Text to quantities of ingredients, exactly as written.

#include "plan/quantities.hpp"

namespace oventide::plan_file {

/// "500 g", "1 1/2 US cups", "2 pieces", "3": more than 0.
Parsed<Quantity> parse_quantity(std::string_view text);
/// "1.03 kg/l", "120 g/US cup", "125 g / 250 ml".
Parsed<Density> parse_density(std::string_view text);
/// "12.5 %": 0 or more, less than all.
Parsed<Share> parse_share(std::string_view text);

}  // namespace oventide::plan_file
