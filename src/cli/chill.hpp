#pragma once
/// The question of the night before: how long does this take to get cold?

#include "cli/arguments.hpp"
#include "cli/exit_code.hpp"
#include "cli/pipeline.hpp"

namespace oventide::cli {

/// Of a plan's steps, with what the command line says instead; or, without a plan, of what the command line says alone.
/// ExitCode::none where it never gets there, or nobody can tell.
ExitCode ask_chill(const Reading* reading, const Arguments& arguments);

}  // namespace oventide::cli
