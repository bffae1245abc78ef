#pragma once
/// Free capacity of one resource over time, calendar included. Knows no precedence.

#include <vector>

#include "oventide/project.hpp"
#include "profile/busy_span.hpp"

namespace oventide::profile {

/// A step function from minus infinity to infinity. Steps are kept latest first: a backward pass works near the
/// early end, where inserting moves little.
class StepProfile {
public:
    explicit StepProfile(const std::vector<CapacityStep>& capacity);

    /// Back to the bare calendar.
    void clear();

    void take(Interval busy, std::int32_t amount) { change(busy, -amount); }
    void give_back(Interval busy, std::int32_t amount) { change(busy, amount); }

    bool fits(Interval busy, std::int32_t amount) const;
    /// The latest start at or before `latest` at which `amount` is free all through the span.
    Fit latest_fit(const BusySpan& span, std::int32_t amount, Time latest) const;

    /// The least free anywhere within an interval that is not empty.
    std::int32_t least_free(Interval interval) const;

private:
    struct Step {
        Time from;
        std::int32_t free;
    };
    std::size_t step_at(Time time) const;  ///< the step that holds `time`
    std::size_t cut(Time time);            ///< makes a step begin at `time`
    void change(Interval busy, std::int32_t by);
    void join(std::size_t index);  ///< drops the step where it says nothing new

    std::vector<Step> steps_;  ///< latest first; the last one begins at -kNever
    std::vector<Step> bare_;
};

}  // namespace oventide::profile
