#pragma once
/// What the standard streams can show.

#include <optional>

#include "oventide/report.hpp"

namespace oventide::cli {

inline constexpr int kNarrowestPage = 60;  ///< columns

/// Colour on a terminal alone, and not where NO_COLOR (no-color.org) or TERM=dumb says no. The width is `columns`, or
/// else that of COLUMNS or of the terminal, at most 80; 80 where there is neither.
report::Style page_style(std::optional<int> columns, bool ascii);

/// Standard error is a terminal on which a line can be wiped.
bool can_show_progress();

}  // namespace oventide::cli
