#pragma once
/// What the journal calls by its kind alone, "oven", of a plan that has several by now, each with a name of its own.

#include <string>
#include <vector>

#include "oventide/journal.hpp"
#include "oventide/plan.hpp"

namespace oventide::journal {

struct Renamed {
    std::string noted;
    std::string now;
    friend bool operator==(const Renamed&, const Renamed&) = default;
};

/// Takes it for the first of that kind in the plan, in all entries, so that what was noted goes on counting. Returns
/// what a note that still counts is about.
std::vector<Renamed> name_machines(Journal& journal, const Kitchen& kitchen);

}  // namespace oventide::journal
