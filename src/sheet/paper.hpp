#pragma once
/// The sheets of paper, and what stands in the margins of every printed page.

#include <string>
#include <string_view>

#include "oventide/clock.hpp"
#include "oventide/sheet.hpp"
#include "oventide/timetable.hpp"

namespace oventide::sheet {

/// A CSS string of this text: no character of it can end the string, or the style that it stands in.
std::string css_string(std::string_view text);

/// "Sat 12 Sep 2026", "Fri 2 Oct to Sat 3 Oct 2026": from the first step to the last pickup.
std::string dates_of(const clock::Zone& zone, const Timetable& timetable);

/// What is inside the margins, in points.
struct Area {
    double width, height;
};
Area area_of(Paper paper);

/// The rules for the page and the boxes in the margins: the title (on the first page it is the heading), the dates, the
/// page, and since when it stands so, lest yesterday's paper be taken for today's.
std::string page_rules(Paper paper, const std::string& title, const std::string& dates, const std::string& as_of);

}  // namespace oventide::sheet
