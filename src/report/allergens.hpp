#pragma once
/// What both reports on allergens say.

#include <string>
#include <vector>

#include "oventide/allergens.hpp"
#include "report/words.hpp"

namespace oventide::report {

struct SplitByList {
    std::vector<AllergenIndex> on_list;
    std::vector<AllergenIndex> off_list;
};
SplitByList split_by_list(const std::vector<AllergenIndex>& declared, AllergenList list);

/// "Contains: WHEAT, EGGS", and what is not stated.
std::vector<std::string> contains_lines(const Subject& subject, const Words& words, const Contents& contents);

std::vector<std::string> names_of(const std::vector<AllergenIndex>& named);

inline constexpr const char* kAllergenCaution =
    "Only what the plan declares stands here. Look at the label of every pack: recipes change. Traces from the kitchen "
    "and the tools are not in it. Local rules and a trained person decide what the customer is told; this page does "
    "not.";

}  // namespace oventide::report
