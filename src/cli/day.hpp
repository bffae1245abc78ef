#pragma once
/// The commands of the day itself: what was announced, what has happened, what is left.

#include <memory>
#include <optional>
#include <string>

#include "cli/arguments.hpp"
#include "cli/exit_code.hpp"
#include "cli/pipeline.hpp"
#include "oventide/replan.hpp"

namespace oventide::cli {

bool is_of_the_day(Command command);

/// Writes `answer` into the journal as what is announced.
ExitCode publish(const Reading& reading, const Answer& answer, const Arguments& arguments);

/// `note` and `replan`.
ExitCode run_day(const Reading& reading, const Arguments& arguments);

/// The day by the journal beside the plan.
struct Standing {
    replan::Situation situation;
    replan::Replanned result;
    std::unique_ptr<replan::Instead> instead{};  ///< of a plan with fewer pieces: `situation` and `result` are of it
    std::optional<replan::OpenDay> open{};       ///< something is broken until nobody knows when: what can be shown
};

/// As `replan` has it, for the other commands to show; nothing is recorded. Absent where `code` says why.
std::optional<Standing> as_it_stands(const Reading& reading, const Arguments& arguments, ExitCode& code);

/// Something has been noted since the timetable was published: what a command shows as planned is no more the day.
bool has_moved_on(const std::string& plan);

}  // namespace oventide::cli
