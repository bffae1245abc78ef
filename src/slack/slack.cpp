#include "oventide/slack.hpp"

#include "slack/bonds.hpp"
#include "slack/slip.hpp"

namespace oventide {

std::vector<Time> total_float(const Project& project, const Schedule& schedule) {
    const slack::Bonds bonds(project, schedule);
    slack::Slip slip(project, schedule, bonds);
    std::vector<Time> floats;
    floats.reserve(project.activities.size());
    for (ActivityId id = 0; id < static_cast<ActivityId>(project.activities.size()); ++id)
        floats.push_back(slip.total(id));
    return floats;
}

std::optional<std::vector<Time>> least_shift(const Project& project, const Schedule& before, const KeptOrders& kept,
                                             const std::vector<Time>& starts) {
    const slack::Bonds bonds(project, before, &kept);
    return slack::Slip(project, before, bonds).shift(starts);
}

}  // namespace oventide
