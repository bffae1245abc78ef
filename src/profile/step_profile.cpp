#include "profile/step_profile.hpp"

#include <algorithm>

#include "profile/from_the_end.hpp"

namespace oventide::profile {

StepProfile::StepProfile(const std::vector<CapacityStep>& capacity) {
    for (auto step = capacity.rbegin(); step != capacity.rend(); ++step) bare_.push_back({step->from, step->capacity});
    bare_.push_back({-kNever, 0});  // nothing is there before the project's origin
    clear();
}

void StepProfile::clear() { steps_ = bare_; }

std::size_t StepProfile::step_at(Time time) const {
    const auto found = partition_from_the_end(steps_, [&](const Step& step) { return step.from > time; });
    return static_cast<std::size_t>(found - steps_.begin());
}

std::size_t StepProfile::cut(Time time) {
    const std::size_t index = step_at(time);
    if (steps_[index].from == time) return index;
    steps_.insert(steps_.begin() + static_cast<std::ptrdiff_t>(index), {time, steps_[index].free});
    return index;
}

void StepProfile::join(std::size_t index) {
    if (index + 1 < steps_.size() && steps_[index].free == steps_[index + 1].free)
        steps_.erase(steps_.begin() + static_cast<std::ptrdiff_t>(index));
}

void StepProfile::change(Interval busy, std::int32_t by) {
    if (busy.from >= busy.to) return;
    const std::size_t earliest = cut(busy.from);
    const std::size_t before = steps_.size();
    const std::size_t end = cut(busy.to);
    const std::size_t first = end + 1;
    const std::size_t last = earliest + (steps_.size() - before);
    for (std::size_t index = first; index <= last; ++index) steps_[index].free += by;
    join(last);
    join(end);
}

bool StepProfile::fits(Interval busy, std::int32_t amount) const {
    return busy.from >= busy.to || least_free(busy) >= amount;
}

std::int32_t StepProfile::least_free(Interval interval) const {
    std::size_t index = step_at(interval.to - 1);
    std::int32_t least = steps_[index].free;
    while (steps_[index].from > interval.from) least = std::min(least, steps_[++index].free);
    return least;
}

Fit StepProfile::latest_fit(const BusySpan& span, std::int32_t amount, Time latest) const {
    Time start = latest;
    Interval busy = span.at(start);
    if (busy.from >= busy.to) return {start, -kNever};
    std::size_t index = step_at(busy.to - 1);
    for (;;) {
        if (steps_[index].free < amount) {
            const Time blocked_from = steps_[index].from;
            if (blocked_from <= -kNever) return {};
            if (span.to.fixed > blocked_from) return {-kNever, blocked_from};
            start = blocked_from - span.to.shift;
            busy = span.at(start);
            if (busy.from >= busy.to) return {start, -kNever};
            ++index;
            continue;
        }
        if (steps_[index].from <= busy.from) return {start, -kNever};
        ++index;
    }
}

}  // namespace oventide::profile
