#pragma once
/// What hands must do, in words.

#include <string>

#include "report/shared.hpp"

namespace oventide::report {

/// "tart case: bake, load 1 of 2 - into oven at 180 C"
std::string job_text(const Job& job, const Subject& subject, const Words& words, const Days& days);

/// "into", "washing", ...
const char* job_name(Job::Kind kind);

}  // namespace oventide::report
