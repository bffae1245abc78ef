#include "support/exhaustive.hpp"

#include <algorithm>

#include "oventide/check.hpp"

namespace oventide::support {
namespace {

class Trial {
public:
    explicit Trial(const Project& project) : project_(project) {
        candidate_.start.assign(project.activities.size(), 0);
        for (std::size_t id = 0; id < project.activities.size(); ++id) {
            candidate_.chosen.emplace_back(project.activities[id].demands.size());
            for (std::size_t k = 0; k < project.activities[id].demands.size(); ++k)
                demands_.push_back({static_cast<ActivityId>(id), static_cast<std::int32_t>(k)});
        }
    }

    Exhaustive run() {
        try_starts(0);
        return std::move(result_);
    }

private:
    void try_starts(ActivityId id) {
        if (id == static_cast<ActivityId>(project_.activities.size())) {
            try_choices(0);
            return;
        }
        const Activity& activity = project_.activities[id];
        const Time latest = std::min(activity.due, project_.horizon) - activity.duration;
        for (Time start = std::max(0, activity.release); start <= latest; ++start) {
            candidate_.start[id] = start;
            if (lags_kept_up_to(id)) try_starts(id + 1);
        }
    }

    bool lags_kept_up_to(ActivityId id) const {
        return std::all_of(project_.lags.begin(), project_.lags.end(), [&](const Lag& lag) {
            return std::max(lag.from, lag.to) != id || candidate_.start[lag.to] - candidate_.start[lag.from] >= lag.lag;
        });
    }

    void try_choices(std::size_t index) {
        if (index == demands_.size()) {
            judge();
            return;
        }
        const auto [id, k] = demands_[index];
        for (const ResourceId choice : project_.activities[id].demands[k].choices) {
            candidate_.chosen[id][k] = choice;
            try_choices(index + 1);
        }
    }

    void judge() {
        complete(project_, candidate_);
        ++result_.tried;
        if (!check(project_, candidate_).empty()) return;
        ++result_.correct;
        const Value value = checked_value(project_, candidate_);
        if (result_.schedule && result_.value <= value) return;
        result_.schedule = candidate_;
        result_.value = value;
    }

    struct DemandIndex {
        ActivityId activity;
        std::int32_t demand;
    };
    const Project& project_;
    Schedule candidate_;
    std::vector<DemandIndex> demands_;
    Exhaustive result_;
};

}  // namespace

Exhaustive try_everything(const Project& project) { return Trial(project).run(); }

}  // namespace oventide::support
