#pragma once
/// What hands must do, one job after another.

#include <optional>
#include <string>
#include <vector>

#include "report/shared.hpp"

namespace oventide::report {

struct Job {
    enum class Kind { work, into, out, begin, end, afterwards, washing, oven };
    Kind kind = Kind::work;
    Span span;                          ///< empty for what is done in passing
    std::optional<PersonIndex> person;  ///< absent: whoever is there
    const Row* row = nullptr;           ///< absent for an oven
    std::optional<OvenTurn> turn;       ///< for an oven
};

/// By time. What nobody is named for goes to who has just had the food in hand, else to whoever alone is there at that
/// minute, else to nobody in particular.
/// Refers to the timetable's rows.
std::vector<Job> jobs_of(const Subject& subject);

/// "tart case: bake, load 1 of 2 - into the oven at 180 C"
std::string job_text(const Job& job, const Subject& subject, const Words& words, const Days& days);

/// "into", "washing", ...
const char* job_name(Job::Kind kind);

}  // namespace oventide::report
