#pragma once
/// The day on paper: one self-contained HTML file with a picture of the day, the timetable, and a page for each person.

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "oventide/clock.hpp"
#include "oventide/plan.hpp"
#include "oventide/timetable.hpp"

namespace oventide::sheet {

/// What would be wanted twice at once, were each component planned alone.
struct Solved {
    std::optional<EquipmentIndex> equipment;
    std::optional<PersonIndex> person;
    Span when;
};

/// A caution, and on whose page it stands too.
struct Mind {
    std::string text;
    std::vector<PersonIndex> people{};
};

/// What food that cools must come to; empty words for all else.
struct Cold {
    std::string in_by;   ///< "in by 13:10", "at once"
    std::string wanted;  ///< "12 C by 15:40, probe"
    std::string inside;  ///< when it is ready: "12 C inside, probe"
};

/// What the reports say too, in their words.
struct Notes {
    std::vector<Mind> mind;                           ///< cautions
    std::vector<std::string> ready;                   ///< to have ready before it begins
    std::vector<std::string> weighed;                 ///< to have weighed out
    std::vector<std::vector<std::string>> allergens;  ///< by order
    std::vector<Solved> solved{};                     ///< clashes, drawn lightly
    std::vector<std::string> unready{};  ///< by order, of such a day: what it waits for; empty: it is known when
    std::optional<Instant> now{};        ///< of such a day: what is over by then is ticked
    std::vector<Cold> cold{};            ///< by row; empty: nothing cools
    std::string no_slips{};              ///< of such a day: why it does not say how far a step can slip
    std::string as_of{};  ///< of a day on which something has happened: when it stood so; empty: as planned
};

/// What it is printed on; the page asks for that, or a browser would take what it is used to.
enum class Paper { a4, letter };

/// Needs no script and loads nothing. Prints in black and white; reads from 320 CSS pixels up.
/// Names are not broken inside a word unless the word alone is longer than its column.
std::string write(const Plan& plan, const clock::Zone& zone, const Timetable& timetable, const Notes& notes,
                  Paper paper = Paper::a4);

/// Text for HTML and SVG: & < > " ' as references; control characters as U+FFFD; bidirectional overrides cannot leak,
/// since every name stands in an element with dir="auto".
std::string escape(std::string_view text);

}  // namespace oventide::sheet
