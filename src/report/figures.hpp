#pragma once
/// What reports on ingredients have in common.

#include <string>
#include <vector>

#include "oventide/quantities.hpp"
#include "report/page.hpp"
#include "report/words.hpp"

namespace oventide::report {

/// Components that are made in this plan without saying what goes into them.
std::vector<ComponentIndex> unsaid(const Subject& subject);

/// A sentence about them; nothing where there are none.
void add_unsaid(const Subject& subject, const Words& words, Page& page);

}  // namespace oventide::report
