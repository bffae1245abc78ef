#pragma once
/// The commands of the day itself: what was announced, what has happened, what is left.

#include "cli/arguments.hpp"
#include "cli/exit_code.hpp"
#include "cli/pipeline.hpp"

namespace oventide::cli {

bool is_of_the_day(Command command);

/// Writes `answer` into the journal as what is announced.
ExitCode publish(const Reading& reading, const Answer& answer, const Arguments& arguments);

/// `note` and `replan`.
ExitCode run_day(const Reading& reading, const Arguments& arguments);

}  // namespace oventide::cli
