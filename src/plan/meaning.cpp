#include "plan/meaning.hpp"

namespace oventide::plan_file {

void check_meaning(const Plan&, const std::vector<bool>&, Complaints&) {}

}  // namespace oventide::plan_file
