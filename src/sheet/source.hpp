#pragma once
/// What the sections of the sheet say in the same words, and the parts that their tables are made of.

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "oventide/clock.hpp"
#include "oventide/plan.hpp"
#include "oventide/quantities.hpp"
#include "oventide/sheet.hpp"
#include "oventide/timetable.hpp"
#include "timetable/job_words.hpp"

namespace oventide::sheet {

/// A name of the plan's, as an element of its own.
std::string name(const std::string& text);
/// A report's own words with names in them: read as the page is, whatever the name begins with.
std::string sentence(const std::string& text);
std::string soft(const std::string& text);
inline std::string clock_of(const clock::Zone& zone, Instant at) { return clock::clock_text(zone.local(at)); }

/// What the page is made from.
struct Source {
    const Plan& plan;
    const clock::Zone& zone;
    const Timetable& timetable;
    Numbers numbers;
    std::vector<WeighedBatch> weighed;  ///< all of the plan's batches of which it says what goes in
    std::optional<Instant> now{};
    Paper paper = Paper::a4;
    const std::vector<Cold>* cold = nullptr;  ///< by row
    std::string no_slips{};                   ///< why it does not say how far a step can slip

    const Row& row(std::int32_t index) const { return timetable.rows[static_cast<std::size_t>(index)]; }
    std::string time(Instant at) const { return clock_of(zone, at); }
    std::string day(Instant at) const { return clock::date_text(zone.local(at)); }
    /// With the weekday where it is another day.
    std::string time_from(Instant at, Instant seen_from) const;
    std::string person(std::optional<PersonIndex> index) const;
    std::string what(const Row& row) const;
    std::string job(const Job& job) const;
    /// "oven: turn to 180 C, ready 09:35, for eclair shell"
    std::string oven(std::int32_t event) const;
    /// " at 180 C, 30 min", for a bake.
    std::string heat(const Row& row) const;
    /// A part of the line: "· mixer, rack x3", each once, in the order of first use. Of the place that is named
    /// already only how much of it: "· 3 trays".
    std::string with(const std::vector<EquipmentUse>& uses, Span during,
                     std::optional<EquipmentIndex> said = std::nullopt) const;
    /// "24 pear tart from batch 1: 12, batch 2: 12"
    std::string item(const PickupLine& line, std::int32_t index) const;
    std::string items(const PickupLine& line, const char* between) const;
    /// How much later it can start, and how much of the margin is left to it besides: "5m +15m".
    std::string slip(const Row& row) const;
    bool has_slips() const;
    /// What that means, or why it is not told; empty where there is nothing to say.
    std::string slip_words() const;
    /// What it must come to, if it cools.
    Cold cold_of(const Row& row) const;

private:
    /// The oven comes on when somebody has set its timer.
    std::string timer(const Job& job) const;
    /// What goes in at that setting, or is left in.
    std::string food_of(std::int32_t event) const;
};

/// A line of a table. Lines of one minute stand by rank: the ovens, the steps, the pickups.
struct Line {
    Instant at;
    int rank = 0;
    std::string cells;
};
void sort(std::vector<Line>& lines);

struct Column {
    const char* look;
    const char* name;
};
/// A table for each day, under a heading that comes back on every page that it goes on to.
std::string day_tables(const Source& source, const std::vector<Line>& lines, const std::string& look,
                       const std::string& title, const std::vector<Column>& columns);

inline constexpr std::string_view kBox = "<span class=\"box\" aria-hidden=\"true\"></span>";
inline constexpr std::string_view kTicked = "<span class=\"box\">\u2713</span>";

/// A box to tick; of a day under way it is ticked where that is over.
std::string_view box(const Source& source, Instant from, Instant to);

/// "13:14-13:56"
std::string when(const Source& source, Span span, std::string_view before = "");
std::string what_cell(const std::string& what, int columns = 1);
std::string cell(const std::string& what);
std::string slip_cell(const Source& source, const Row* row);
/// "; 12 C by 15:40, probe", behind what is done.
std::string also(const std::string& said);
/// The name that a note of what happened knows the step by; on paper where it begins.
std::string id(const Row& row, bool on_paper = false);
/// By time.
std::vector<const PickupLine*> pickups_of(const Timetable& timetable);
Line pickup_line(const Source& source, const PickupLine& line, int columns, std::string_view before = "");

inline constexpr std::string_view kSlipWords =
    "Slip: how much later it can start with every margin kept, all else in the same order; behind the +, what it can "
    "take of the margin besides. 0 alone: to the minute.";

}  // namespace oventide::sheet
