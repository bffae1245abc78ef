#pragma once
/// What is to be there before the work begins.

#include <functional>
#include <string>
#include <vector>

#include "report/words.hpp"

namespace oventide::report {

/// "clean and free: fridge, oven"; empty where no equipment is used.
std::string ready_text(const Subject& subject, const Words& words);

/// "tart case, 2 batches: 68 + 16", component by component of those that are wanted.
std::vector<std::string> to_weigh_out(const Subject& subject, const Words& words,
                                      const std::function<bool(ComponentIndex)>& wanted);

}  // namespace oventide::report
