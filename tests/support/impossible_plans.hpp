#pragma once
/// Small plans without a timetable, each for one reason.

#include <string>
#include <vector>

namespace oventide::test {

struct ImpossiblePlan {
    std::string name;
    std::string text;
    /// The kinds of the conditions that contradict each other, in the order in which they are named.
    std::string conditions;
};

const std::vector<ImpossiblePlan>& impossible_plans();

}  // namespace oventide::test
