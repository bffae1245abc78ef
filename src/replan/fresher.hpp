#pragma once
/// Food for a pickup that has moved later: whether it could be made later too.

#include <vector>

#include "replan/left.hpp"
#include "replan/search.hpp"

namespace oventide::replan {

/// Of what stands nowhere until its pickup, by the best schedule of `search`: with everything else where it is there.
std::vector<Fresher> fresher(const Situation& situation, const Left& left, const Search& search);

}  // namespace oventide::replan
