#pragma once
/// The way that every command goes: the plan is read, taken apart, solved, and the answer checked.

#include <optional>
#include <string>
#include <vector>

#include "oventide/check.hpp"
#include "oventide/diagnostic.hpp"
#include "oventide/expand.hpp"
#include "oventide/plan.hpp"
#include "oventide/scheduler.hpp"
#include "oventide/timetable.hpp"

namespace oventide::cli {

/// A plan as it was read; `expansion` is there when no diagnostic is an error.
struct Reading {
    Sources sources;
    std::vector<Diagnostic> diagnostics;
    std::optional<Plan> plan;
    std::optional<Expansion> expansion;
};

/// `path` may be "-": standard input.
Reading read(const std::string& path);

struct Answer {
    Outcome outcome;
    std::optional<Timetable> timetable;  ///< absent: there is none
    std::vector<Violation> violations;   ///< what the checker says of it: empty, or this program is wrong
};

/// `with_slips`: how much each step can slip is worked out too.
Answer work_out(const Plan& plan, const Expansion& expansion, const SearchOptions& options, bool with_slips);

}  // namespace oventide::cli
