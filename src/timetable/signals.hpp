#pragma once
/// What gets ready while nobody has a hand in it: a chill, a proof, cakes that have cooled.

#include <optional>
#include <vector>

#include "oventide/plan.hpp"
#include "oventide/timetable.hpp"

namespace oventide {

struct Signal {
    const Row* row = nullptr;
    std::optional<PersonIndex> person{};  ///< who uses it next if they are at work then, else somebody who is
    const Row* user = nullptr;            ///< the first that uses it; null: it is collected
};

/// Those after which it waits: where it is used at once, that says it too. What comes out of an oven is a job of its
/// own.
std::vector<Signal> signals(const Plan& plan, const Timetable& timetable);

/// That food is used there: inside a batch as the plan says, between batches as it is handed over.
bool goes_into(const Plan& plan, const Timetable& timetable, const Row& food, const Row& user);

/// The fridge that it stands in, up to that minute; null: none.
const Equipment* cold_place(const Plan& plan, const Row& row, Instant at);

}  // namespace oventide
