#pragma once
/// How much each activity of a schedule can slip.

#include <cstddef>
#include <optional>
#include <vector>

#include "oventide/project.hpp"
#include "oventide/schedule.hpp"

namespace oventide {

inline constexpr std::size_t kFloatsAtOnce = 2'000;

/// Total float by activity: the largest d such that every slip of its start up to d leaves a correct schedule in
/// which nothing starts earlier, activities that share a resource keep their order, and at-once blocks and
/// activities that shared a state resource move together. kNever where nothing but the horizon holds it back.
/// Where an order of two demands is undecided (they overlap), it stays undecided. Exact, but that after 256 choices
/// between ways to make room for one slip it counts as impossible. The schedule must be a correct one.
/// Takes some microseconds for each activity of a bake day; grows with the square of the activities at worst, so
/// that beyond kFloatsAtOnce it is better asked for than given unasked.
std::vector<Time> total_float(const Project& project, const Schedule& schedule);

/// The orders that a schedule had before its project changed.
struct KeptOrders {
    std::vector<char> happened;               ///< by ActivityId: moves no more, and follows no order
    std::vector<std::vector<Interval>> busy;  ///< by ActivityId, by demand: who came before whom
};

/// The changed project's least starts that are no earlier than `starts` and the releases, with the orders and the
/// chosen resources of `before`. Empty where there are none (or 256 choices did not find them). What comes out may
/// still break a rule that the changes bring in and no order tells: the checker decides.
std::optional<std::vector<Time>> least_shift(const Project& project, const Schedule& before, const KeptOrders& kept,
                                             const std::vector<Time>& starts);

}  // namespace oventide
