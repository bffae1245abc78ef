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
#include "replan/reduced.hpp"

namespace oventide::replan {

/// What may give way: each order so many minutes past its pickup, each limit so many minutes, each food that is best
/// within a time so many minutes beyond it.
struct Allowance {
    std::vector<Time> late;    ///< by order; kNever: as late as it likes
    std::vector<Time> limits;  ///< by Left::limits
    std::vector<Time> stale;   ///< by Project::freshness; empty: as it likes
};

/// How far a schedule is from what was announced; smaller is better. Steps earlier, steps moved, minutes moved, each
/// for hands and then for machines; and who or what is not whom or what it was to be.
using Upset = std::array<std::int64_t, 7>;

/// In all.
std::int64_t minutes(const std::vector<Time>& late);

class Search {
public:
    /// `announced` is the schedule published, null where it cannot be read back.
    Search(const Plan& today, const Situation& situation, const Left& left, const Schedule* announced,
           const Options& options);

    /// `may_be_late`: by order.
    void run(const std::vector<char>& may_be_late);
    /// Only the announced order; false where that does not keep everything, or comes no nearer to what was announced
    /// than `rival`.
    bool run_in_order(const Schedule& rival);
    /// By how little the best moves what was announced.
    bool is_nearer_than(const Schedule& rival) const { return upset(*best) < upset(rival); }
    /// Whether all orders together can be fewer minutes late than so many; true where that is not decided.
    bool can_be_sooner(std::int64_t late);
    /// Only how few minutes late it can be, if no pickup is later than `most`: for a way out that is tried.
    void run_for_lateness(const std::vector<char>& may_be_late, Time most);

    /// What was found otherwise, and does no more harm.
    void take(Schedule schedule, bool in_order) {
        best = std::move(schedule);
        kept_order = in_order;
    }

    /// Nothing does less harm: no fewer minutes late, nor past limits.
    bool is_proven() const { return best && proven_; }

    std::optional<Schedule> best;
    bool kept_order = true;
    Outcome outcome;  ///< of the last call to the scheduler
    const Allowance& allowance() const { return allowance_; }

    /// By how much a limit is passed under the best schedule.
    Time over(const Limit& limit) const { return over(limit, *best); }
    /// Minutes past its pickup under the best schedule, 0 if none.
    Time lateness(std::size_t order) const { return lateness(order, *best); }
    /// By order, likewise; and what has begun counts, which nothing makes sooner.
    std::vector<Time> late_in_all() const;
    /// After the step something of the order can be collected.
    bool completes(ActivityId step, std::size_t order) const;
    Project project_with(const Allowance& allowance) const;
    /// What the referee says of a schedule of what is left, and whether it moves what has happened.
    std::vector<std::string> faults(const Project& project, const Schedule& schedule) const;

private:
    /// Of what more could be held as announced.
    static constexpr int kTrials = 200;

    using Steps = std::vector<char>;  ///< by ActivityId
    /// Where a waiting step is held.
    enum class Hold : char { told, not_earlier, free };
    using Holds = std::vector<Hold>;  ///< by ActivityId
    using Measure = std::int64_t (Search::*)(const Schedule&) const;
    using Question = Project (Search::*)(Project) const;

    Time due_of(std::size_t id, const Allowance& allowance) const;
    void keep_fresh(Project& project, const std::vector<Time>& stale) const;
    bool sound(const Project& project, const Schedule& schedule) const { return faults(project, schedule).empty(); }
    bool waits(ActivityId id) const { return !left_.happened[id]; }
    Schedule near(const Project& project) const;
    Schedule with_added(const Project& project, Schedule schedule) const;
    std::optional<Schedule> solved(const Project& project, std::int64_t nodes);

    // What a schedule is worth.
    Time over(const Limit& limit, const Schedule& schedule) const;
    Time lateness(std::size_t order, const Schedule& schedule) const;
    Time overrun(const Freshness& food, const Schedule& schedule) const;
    std::int64_t minutes_late(const Schedule& schedule) const;
    std::int64_t minutes_over(const Schedule& schedule) const;
    std::int64_t minutes_stale(const Schedule& schedule) const;
    bool as_told(ActivityId id, const Schedule& schedule) const;
    Upset upset(const Schedule& schedule) const;
    Time late_anyway(std::size_t order) const;
    bool is_last_of(ActivityId step, std::size_t order) const;

    // What must give way.
    void find_announced_staleness(const Situation& situation);
    void give_way(const std::vector<char>& may_be_late);
    bool keep_limits();
    bool least(Measure measure, Question question);
    bool least_late(const std::vector<char>& may_be_late);
    bool find_any(std::vector<Holds> stretches);
    bool take_better(Measure measure, std::optional<Schedule> schedule);
    Project lateness_project(Project project) const;
    Project limits_project(Project project) const;
    Project staleness_project(Project project) const;
    Freshness as_freshness(const Limit& limit) const;

    // As much as can be of what was announced: calm.cpp.
    std::optional<Schedule> shifted(const Project& project, const Schedule& before,
                                    const std::vector<Time>& from) const;
    std::optional<Schedule> announced_shifted(const Project& project) const;
    bool keep_order(const Allowance& allowance);
    Steps hit(const Project& project) const;
    void add_followers(Steps& steps) const;
    std::vector<Holds> neighbourhoods(const Project& project) const;
    Project with_held(const Allowance& allowance, const Holds& holds) const;
    Schedule tightened(const Project& project, Schedule schedule) const;
    bool repair(const Allowance& allowance);
    bool repair_with(const Allowance& allowance, const Holds& holds, std::int64_t nodes);
    bool take_repaired(const Allowance& allowance, Schedule schedule);
    bool take_calmer(const Project& project, Schedule schedule);
    void calm(const Allowance& allowance);
    void put_back_one_by_one(const Project& project);
    void put_back_people(const Project& project);
    void hold_more(const Project& project, HeldTrials& trials, Holds& holds, Hold hold, std::vector<ActivityId> steps);
    std::vector<prove::Hold> held_faster(const std::vector<ActivityId>& steps, Hold hold) const;
    void aim(const Allowance& allowance, const Holds& holds);
    void begin_by_themselves(const Project& project);
    bool only_stands(ActivityId id) const;
    std::optional<Time> begins_by_itself(ActivityId id) const;
    Project aims_project(Project project) const;

    const Plan& today_;
    const Left& left_;
    const Schedule* announced_;
    const Options& options_;
    const ActivityId count_;
    std::vector<Time> told_;        ///< by ActivityId: the start announced; -1: none, or it has happened
    std::vector<Time> told_ready_;  ///< by ActivityId: likewise, of what has happened as well
    Steps hands_;                   ///< needs somebody
    std::vector<Time> stale_;       ///< by Project::freshness: what is announced, or has happened, in any case
    Allowance allowance_;
    int searches_;
    int trials_ = kTrials;
    bool calming_ = false;
    bool proven_ = true;    ///< what gives way, gives way by no more than it must
    bool decided_ = false;  ///< the last call to the scheduler: the best, or that there is none
};

}  // namespace oventide::replan
