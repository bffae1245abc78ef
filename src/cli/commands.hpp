#pragma once
/// What each command does with a plan.

#include "cli/arguments.hpp"
#include "cli/exit_code.hpp"

namespace oventide::cli {

/// Prints the answer on standard output and everything else on standard error.
ExitCode run(const Arguments& arguments);

}  // namespace oventide::cli
