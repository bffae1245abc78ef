#include "project/attendance.hpp"

#include <algorithm>

namespace oventide {
namespace {

/// The first attended interval that ends after `at`.
auto interval_after(const Project& project, Time at) {
    return std::upper_bound(project.attended.begin(), project.attended.end(), at,
                            [](Time time, const Interval& interval) { return time < interval.to; });
}

}  // namespace

bool attended(const Project& project, Time at) {
    const auto interval = interval_after(project, at);
    return interval != project.attended.end() && interval->from <= at;
}

bool left_alone(const Project& project, Time from, Time to) {
    for (auto interval = interval_after(project, from); from < to; ++interval) {
        const bool last = interval == project.attended.end() || interval->from >= to;
        if ((last ? to : interval->from) - from >= project.reset_after) return true;
        if (last) return false;
        from = interval->to;
    }
    return false;
}

}  // namespace oventide
