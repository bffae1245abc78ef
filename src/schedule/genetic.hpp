#pragma once
/// The search for plain projects: a genetic algorithm over lists with two populations.
///
/// One population is scheduled backward, the other forward, and children of one side are scheduled on the other, so
/// that every child is also a justification pass (Valls, Ballestin and Quintanilla 2005, 2008; Debels and Vanhoucke
/// 2007, whose crossover this is: a window of one parent's list is put into the order of the other's). Of several
/// windows drawn, the one is taken in which the other parent's schedule uses the resources best beside the first's
/// (after the peak crossover of Valls, Ballestin and Quintanilla 2008). A child takes the place of the worst on its
/// side. A parent whose children repeat schedules that are there already has the next ones changed more.

#include <cstdint>
#include <functional>
#include <vector>

#include "schedule/plain.hpp"
#include "schedule/random.hpp"

namespace oventide::scheduling {

struct GeneticResult {
    std::vector<Time> start;  ///< by unit, in the project's time; empty where no pass kept within the deadline
    Time makespan = 0;        ///< in PlainModel::unit_time
    std::int64_t schedules = 0;
};

struct GeneticLimits {
    std::int64_t schedules = 0;
    Time target = 0;             ///< in PlainModel::unit_time; cannot be bettered: stop there
    std::function<bool()> stop;  ///< asked now and then
    std::function<void(const GeneticResult&)> progress;
};

GeneticResult search_plain(const Model& model, const PlainModel& plain, const GeneticLimits& limits, Random& random);

}  // namespace oventide::scheduling
