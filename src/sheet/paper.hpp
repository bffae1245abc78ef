#pragma once
/// What stands in the margins of every printed page.

#include <string>
#include <string_view>

#include "oventide/clock.hpp"
#include "oventide/timetable.hpp"

namespace oventide::sheet {

/// A CSS string of this text: no character of it can end the string, or the style that it stands in.
std::string css_string(std::string_view text);

/// "Sat 12 Sep 2026", "Fri 2 Oct to Sat 3 Oct 2026": from the first step to the last pickup.
std::string dates_of(const clock::Zone& zone, const Timetable& timetable);

/// The rules for the boxes in the margins: the title (on the first page it is the heading), the dates, the page, and
/// since when it stands so, lest yesterday's paper be taken for today's.
std::string margin_boxes(const std::string& title, const std::string& dates, const std::string& as_of);

}  // namespace oventide::sheet
