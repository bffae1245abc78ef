#pragma once
/// How many pages what comes before the lists takes on paper, reckoned from its letters and drawings as the style has
/// them. A few points more or less are no matter: it only decides between ways to cut the picture.

#include <string>

#include "sheet/paper.hpp"

namespace oventide::sheet {

/// What is printed before the lists, in its order, as HTML.
struct Front {
    std::string words;    ///< pickups and what to mind
    std::string picture;  ///< no stretch of it is torn if a page can hold it
    std::string timetable;
};

/// What its pages cost who hangs them up: each of them, a stretch that is torn because no page can hold it, and each
/// step of which the picture only says the letter.
int cost_of(const Front& front, const Area& page);

/// Its picture. On paper a stretch that is a little too high for a page, or for what is left of it, is drawn smaller,
/// never so that it cannot be read.
std::string fitted(const Front& front, const Area& page);

/// Pages that the weigh sheet goes on to, where so many points of the one that it begins on are taken; `close`: its
/// rows stand closer together.
int weigh_pages(const std::string& weights, double used, const Area& page, bool close);

}  // namespace oventide::sheet
