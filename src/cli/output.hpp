#pragma once
/// Bytes to the standard streams. Nothing is buffered: what these return for is written.

#include <string>
#include <string_view>

#include "cli/exit_code.hpp"

namespace oventide::cli {

/// Opens whichever standard stream the caller has closed so that no plan file ends up in its place, and lets a closed
/// pipe be an error like any other instead of a signal. Called once, first.
void guard_standard_streams();

/// Empty when everything is written to an open file or stream; otherwise why not.
std::string write_whole(int stream, std::string_view text);

/// The same to standard output.
std::string write_output(std::string_view text);

/// To standard error; there is nobody to tell if it fails.
void write_error(std::string_view text);

/// The answer on standard output; `code`, unless it could not be written.
ExitCode print(std::string_view text, ExitCode code);

}  // namespace oventide::cli
