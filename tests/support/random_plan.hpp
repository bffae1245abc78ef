#pragma once
/// Random plans as a cook could have written them: text for the real reader, using most keys of plans/plan-file.md.
/// The same seed gives the same text on every machine. Every name is invented.

#include <cstdint>
#include <string>

namespace oventide::support {

struct RandomPlanOptions {
    int goods = 3;             ///< at most so many things to sell
    int orders = 3;            ///< at most
    int pieces = 24;           ///< of one item, at most
    bool tight = false;        ///< few hours, few shelves, short waits: often there is no timetable
    bool small_night = false;  ///< 10 to 20 steps in one night, for an outside solver
};

std::string random_plan(std::uint64_t seed, const RandomPlanOptions& options = {});

}  // namespace oventide::support
