#pragma once
/// Writes what ties activities to each other, and stops at the limit before memory runs out.

#include <cstdint>
#include <vector>

#include "expand/draft.hpp"

namespace oventide::expansion {

/// Food goes from one activity to another.
struct FoodArc {
    ActivityId maker = 0;
    ActivityId user = 0;
    std::int64_t weight = 0;  ///< pieces of the user that it serves
};

class LinkWriter {
public:
    explicit LinkWriter(Draft& draft) : draft_(draft), project_(draft.expansion.project) {}

    /// More than Limits::links: nothing further is written.
    bool full() const;

    /// `user` starts at least `rest` after `maker` is ready.
    void at_least(ActivityId maker, ActivityId user, Minutes rest, PromiseId promise);
    /// `user` starts at most `within` after `maker` is ready.
    void at_most(ActivityId maker, ActivityId user, Minutes within, PromiseId promise);
    /// `second` starts no earlier than `first`.
    void in_sequence(ActivityId first, ActivityId second, PromiseId promise);
    /// `maker` may be stretched until `user` starts.
    void use(ActivityId maker, ActivityId user);
    void food(ActivityId maker, ActivityId user, std::int64_t weight);

    /// Each of `makers` before each of `users`. Loads go in sequence, so that a few of the makers bind for all.
    void all_at_least(ActivityRange makers, ActivityRange users, Minutes rest, PromiseId promise);
    void all_at_most(ActivityRange makers, ActivityRange users, Minutes within, PromiseId promise);
    void all_use(ActivityRange makers, ActivityRange users);

    const std::vector<FoodArc>& arcs() const { return arcs_; }

private:
    Draft& draft_;
    Project& project_;
    std::vector<FoodArc> arcs_;
    std::size_t uses_ = 0;
};

/// A cooked perishable step goes into the cold in time: along every way that the food takes, up to the first chill.
void add_safety_limits(Draft& draft, LinkWriter& links);

}  // namespace oventide::expansion
