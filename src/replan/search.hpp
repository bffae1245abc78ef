#pragma once
/// Looks for the timetable of what is left, in this order: pickups, limits, as much as can be of what was announced.

#include <array>
#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "oventide/replan.hpp"
#include "oventide/schedule.hpp"
#include "oventide/slack.hpp"
#include "replan/left.hpp"

namespace oventide::replan {

/// What may give way: each order so many minutes past its pickup, each limit so many minutes.
struct Allowance {
    std::vector<Time> late;    ///< by order; kNever: as late as it likes
    std::vector<Time> limits;  ///< by Left::limits
};

/// How far a schedule is from what was announced; smaller is better. Steps earlier, steps moved, minutes moved, each
/// for hands and then for machines.
using Upset = std::array<std::int64_t, 6>;

class Search {
public:
    /// `announced` is the schedule published, null where it cannot be read back.
    Search(const Plan& today, const Situation& situation, const Left& left, const Schedule* announced,
           const Options& options);

    /// `may_be_late`: by order.
    void run(const std::vector<char>& may_be_late);

    std::optional<Schedule> best;
    bool kept_order = true;
    Outcome outcome;  ///< of the last call to the scheduler
    const Allowance& allowance() const { return allowance_; }

    /// By how much a limit is passed under the best schedule.
    Time over(const Limit& limit) const;
    /// Minutes past its pickup under the best schedule, 0 if none.
    Time lateness(std::size_t order) const { return lateness(order, *best); }
    Project project_with(const Allowance& allowance) const;
    /// What the referee says of a schedule of what is left, and whether it moves what has happened.
    std::vector<std::string> faults(const Project& project, const Schedule& schedule) const;

private:
    using Steps = std::vector<char>;  ///< by ActivityId

    Time due_of(std::size_t id, const Allowance& allowance) const;
    bool sound(const Project& project, const Schedule& schedule) const { return faults(project, schedule).empty(); }
    bool waits(ActivityId id) const { return !left_.happened[id]; }

    std::optional<Schedule> shifted(const Project& project, const Schedule& before,
                                    const std::vector<Time>& from) const;
    std::optional<Schedule> announced_shifted(const Project& project) const;
    std::optional<Schedule> solved(const Project& project, std::int64_t nodes);
    bool keep_order(const Allowance& allowance);
    Time lateness(std::size_t order, const Schedule& schedule) const;
    std::int64_t minutes_late(const Schedule& schedule) const;
    bool is_last_of(ActivityId step, std::size_t order) const;
    bool least_late(const std::vector<char>& may_be_late);
    void less_late(const std::vector<char>& may_be_late, const Steps& free, bool earlier);
    Project lateness_project(Project project) const;
    bool least_broken();
    Freshness as_freshness(const Limit& limit) const;
    std::int64_t minutes_over() const;
    bool within(const Allowance& allowance) const;

    bool as_told(ActivityId id, const Schedule& schedule) const;
    Upset upset(const Schedule& schedule) const;
    Steps hit(const Project& project) const;
    void add_followers(Steps& steps) const;
    std::vector<Steps> neighbourhoods(const Project& project) const;
    Project with_free(const Allowance& allowance, const Steps& free, bool earlier) const;
    Schedule tightened(const Project& project, Schedule schedule) const;
    bool repair(const Allowance& allowance);
    void pull_back(const Allowance& allowance, Steps free, bool earlier);
    void pin(const Allowance& allowance, Steps& free, bool earlier, std::vector<ActivityId> steps);

    const Plan& today_;
    const Left& left_;
    const Schedule* announced_;
    const Options& options_;
    const ActivityId count_;
    std::vector<Time> told_;  ///< by ActivityId: the start announced; -1: none, or it has happened
    Steps hands_;             ///< needs somebody
    Allowance allowance_;
    int searches_;
};

}  // namespace oventide::replan
