#pragma once
/// What is noted to have begun where there was no place for it.

#include <cstdint>
#include <functional>
#include <optional>
#include <vector>

#include "oventide/replan.hpp"

namespace oventide::replan {

/// What a step's demand had in use; absent for people, and where nothing tells which it was.
using UsedBy = std::function<std::optional<EquipmentIndex>(ActivityId, const Demand&)>;

/// Of steps that were noted to have begun, by ActivityId in `entries`: the oven, the mixer or the hob was full by then,
/// or the oven was at another heat for what was in it; and so was every other that the step could have had.
std::vector<Question> without_place(const Plan& plan, const Expansion& expansion, const Situation& situation,
                                    const UsedBy& used, const std::vector<std::optional<std::int32_t>>& entries);

}  // namespace oventide::replan
