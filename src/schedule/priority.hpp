#pragma once
/// Lists to begin with: each rule says what goes first among the units that may be placed.

#include <array>
#include <cstdint>
#include <vector>

#include "schedule/model.hpp"
#include "schedule/serial_pass.hpp"

namespace oventide::scheduling {

/// The usual rules (Kolisch 1996), mirrored since passes run backward. Smaller goes first; ties by unit.
enum class Rule {
    latest_finish,    ///< what can be finished latest
    latest_start,     ///< what can be started latest
    earliest_finish,  ///< what cannot be finished early
    earliest_start,   ///< what cannot be started early: seen from the other end of time, the latest finish
    least_slack,      ///< what can be moved least
    most_work,        ///< what takes the most of the resources, latest finish as the tie
};
inline constexpr std::array kRules{Rule::latest_finish, Rule::latest_start, Rule::earliest_finish, Rule::least_slack,
                                   Rule::most_work};

std::vector<std::int64_t> priorities(const Model& model, Rule rule);

/// The list in which, again and again, the unit with the least priority goes next among those that may be placed.
List list_by(const Model& model, const std::vector<std::int64_t>& priority);

}  // namespace oventide::scheduling
