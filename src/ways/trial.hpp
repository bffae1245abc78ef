#pragma once
/// A plan, tried: read nothing, printed nothing; expanded, solved, and passed by both referees.

#include <optional>

#include "oventide/ways.hpp"

namespace oventide::ways {

struct Trial {
    enum class Verdict { possible, impossible, undecided };
    Verdict verdict = Verdict::undecided;
    std::optional<Timetable> timetable;  ///< where possible, and where it was asked for

    bool possible() const { return verdict == Verdict::possible; }
};

/// Whether there is any timetable. A plan that does not expand is impossible.
Trial try_any(const Plan& plan, const Effort& effort);

/// A good timetable, as the plan's aims go, that the checker has nothing to say against.
Trial try_well(const Plan& plan, const Effort& effort);

}  // namespace oventide::ways
