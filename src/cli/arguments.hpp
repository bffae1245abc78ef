#pragma once
/// The command line, read and checked. The only place that knows CLI11.

#include <cstdint>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "cli/exit_code.hpp"
#include "oventide/scheduler.hpp"
#include "oventide/sheet.hpp"

namespace oventide::cli {

enum class Command {
    begin,
    timetable,
    clashes,
    checklist,
    ways,
    weigh,
    shop,
    allergens,
    sheet,
    calendar,
    check,
    publish,
    note,
    replan,
    chill
};

struct Arguments {
    Command command = Command::timetable;
    std::string plan;      ///< a path, or "-": standard input
    std::string timezone;  ///< new: of the plan; empty: the system's
    bool json = false;
    bool ascii = false;
    bool picture = false;                   ///< timetable: drawn
    sheet::Paper paper = sheet::Paper::a4;  ///< sheet: what it is printed on
    bool replanned = false;                 ///< the day as it stands by the journal, not as planned
    std::optional<int> width;               ///< columns; absent: what the terminal has
    std::int64_t schedules = SearchOptions{}.schedules;
    std::uint64_t seed = SearchOptions{}.seed;
    std::string out;                                         ///< file for the answer; empty: standard output
    std::vector<std::string> people;                         ///< checklist, calendar: whose; empty: everybody's
    std::int64_t alarm_before = 5;                           ///< calendar: minutes
    bool all_alarms = false;                                 ///< calendar: not only what one must be in time for
    std::optional<std::int64_t> rise;                        ///< calendar: minutes, of the alarm clock
    std::vector<std::string> words;                          ///< note: what has happened
    std::vector<std::string> notes;                          ///< replan: to be noted first
    bool dry_run = false;                                    ///< replan: nothing is recorded
    bool keep_margins = false;                               ///< replan: whatever else moves
    std::string step;                                        ///< chill: of the plan; empty: all that cool
    std::vector<std::pair<std::string, std::string>> cools;  ///< chill: keys and values as in a step's `cools`
    std::string weight;                                      ///< chill
    std::string safety;                                      ///< chill: a food-safety rule; empty: the plan's
};

/// What to do; or, without arguments, the last words of the program: help asked for, or what is wrong.
struct CommandLine {
    std::optional<Arguments> arguments;
    std::string words;
    ExitCode code = ExitCode::timetable;
};

/// Of those that show the day, and can show it as it stands: its name. Null: of the others.
const char* shows_day(Command command);

/// `words` are those after the program's name.
CommandLine read_command_line(const std::vector<std::string>& words);

}  // namespace oventide::cli
