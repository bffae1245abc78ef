#include <algorithm>
#include <optional>
#include <utility>

#include "oventide/scheduler.hpp"
#include "prove/prove.hpp"
#include "schedule/bound.hpp"
#include "schedule/genetic.hpp"
#include "schedule/neighbourhood.hpp"
#include "schedule/priority.hpp"
#include "schedule/random.hpp"
#include "schedule/relaxation.hpp"
#include "schedule/serial_pass.hpp"
#include "schedule/settle.hpp"

namespace oventide {
namespace {

using namespace scheduling;

/// The exact search has so much to set up, activities and choices of resources, that it would cost more than it finds.
constexpr std::size_t kMostToProve = 2'000;
/// Where nothing else finds a first schedule it is worth more, and then is given so many decisions an activity.
constexpr std::size_t kMostToProveFirst = 20'000;
constexpr std::int64_t kDecisionsForFirst = 20;
/// Setting it up takes as long as about so many decisions an activity: with fewer at hand, and a schedule, it is not
/// begun.
constexpr std::int64_t kDecisionsToSetUp = 5;
/// Repair that takes back so many placings counts for one more schedule.
constexpr std::int64_t kUndoneASchedule = 2'500;
/// Lists near a rule's, where no rule leads to a schedule: cheaper than to have the exact search find the first.
constexpr int kFirstLists = 100;
/// Settling looks at every goal anew for each activity that it moves: for a day, not for a season.
constexpr std::size_t kMostToSettle = 1'000;
/// Windows for the exact search: decisions for one, and units that are free in it.
constexpr std::int64_t kNodesPerWindow = 150;
constexpr std::size_t kWindow = 14;
/// Stretches for everything else: schedules for one, and units that are free in it, to begin with.
constexpr std::int64_t kSchedulesPerStretch = 150;
constexpr std::size_t kStretch = 30;
constexpr std::uint32_t kSeeds = 1U << 31;
/// Starts that the relaxation may look at for each schedule that may be generated: as long as about half a schedule.
constexpr std::int64_t kWorkASchedule = 20'000;

/// Steps of repair in one pass: a rule's list is worth taking everything back a few times; later on another list is
/// cheaper.
std::int32_t thorough_repairs(const Model& model) { return 20 + 4 * model.count(); }
std::int32_t quick_repairs(const Model& model) { return 10 + model.count() / 4; }

/// From a first schedule to the best one that the budget allows. The stages, after a search near a schedule that is
/// nearly right where there is one:
///   1. a list by each priority rule, and if need be others near them, scheduled backward and repaired
///      (serial_pass.hpp);
///   2. plain projects: two populations of lists (genetic.hpp);
///   3. the exact search over everything, from the best schedule so far (prove/prove.hpp);
///   4. where food must wait: how little at least, by a relaxation, and a list by its starts (relaxation.hpp);
///   5. the exact search over small windows of it, the rest held (neighbourhood.hpp);
///   6. all this, from the schedule so far, over stretches of it, and longer ones where these better nothing (variable
///      neighbourhood search, Mladenovic and Hansen 1997);
///   7. lists near the best one;
///   8. of what is worth the same, the schedule in which food waits where it keeps (settle.hpp).
/// Each stops when the value meets the bound, and everything when the budget is spent.
class Solver {
public:
    Solver(const Project& project, const Model& model, const SearchOptions& options)
        : project_(project), model_(model), options_(options), pass_(model), random_(options.seed) {
        outcome_.bound = lower_bound(model);
        nodes_left_ = options.nodes < 0 ? 2 * options.schedules : options.nodes;
    }

    Outcome run() {
        if (options_.first) take(*options_.first);
        if (options_.near) find_near();
        if (const auto plain = make_plain(model_))
            breed(*plain);
        else
            try_rules();
        if (!outcome_.schedule) find_first();
        if (pays_to_set_up()) {
            decide();
            improve_stretches();
        }
        while (!finished()) try_list(near_best(), quick_repairs(model_));
        conclude();
        return std::move(outcome_);
    }

    /// From a schedule to a better one.
    Outcome run_from(Schedule schedule) {
        take(std::move(schedule));
        std::vector<std::int64_t> latest_first;
        for (const Time start : unit_starts(model_, *outcome_.schedule)) latest_first.push_back(-std::int64_t{start});
        best_list_ = list_by(model_, latest_first);
        try_list(best_list_, quick_repairs(model_));
        decide();
        while (!finished()) try_list(near_best(), quick_repairs(model_));
        return std::move(outcome_);
    }

private:
    bool stopped() const { return options_.stop && options_.stop->load(); }
    bool decided() const { return outcome_.infeasible || (outcome_.schedule && outcome_.value == outcome_.bound); }
    bool finished() const { return decided() || outcome_.schedules >= options_.schedules || stopped(); }

    void decide() {
        prove_all((nodes_left_ + 2) / 3);
        relax();
        improve_windows();
        prove_all(nodes_left_);
    }

    // ------------------------------------------------------------------------------------------- lists

    void try_rules() {
        for (const Rule rule : kRules) {
            if (finished()) return;
            try_list(list_by(model_, priorities(model_, rule)), thorough_repairs(model_));
        }
        for (int k = 0; k < kFirstLists && !outcome_.schedule && !finished(); ++k)
            try_list(near_best(), quick_repairs(model_));
    }

    void try_list(List list, std::int32_t repairs) {
        const bool placed = pass_.run(list, repairs);
        outcome_.schedules += 1 + pass_.undone() / kUndoneASchedule;
        if (!placed) {
            note_obstacle();
            return;
        }
        if (take(pass_.schedule())) best_list_ = std::move(list);
    }

    /// True: as good as the best, or better, and now the best.
    bool take(Schedule schedule) {
        const Value value = evaluate(project_, schedule);
        if (outcome_.schedule && value > outcome_.value) return false;
        const bool better = !outcome_.schedule || value < outcome_.value;
        outcome_.schedule = std::move(schedule);
        outcome_.value = value;
        if (better) report();
        return true;
    }

    void report() {
        if (options_.progress) options_.progress({outcome_.schedules, outcome_.value});
    }

    /// The best list, or the first rule's, with a few units moved.
    List near_best() {
        auto priority = priorities(model_, Rule::latest_finish);
        for (std::size_t k = 0; k < best_list_.size(); ++k) priority[best_list_[k]] = static_cast<std::int64_t>(2 * k);
        const auto count = static_cast<std::uint32_t>(model_.count());
        const std::uint32_t reach =
            best_list_.empty() ? static_cast<std::uint32_t>(std::max<Time>(2, project_.horizon / 8)) : 2 + count / 2;
        for (std::uint32_t moves = 1 + random_.below(3); moves > 0; --moves)
            priority[random_.below(count)] += std::int64_t{random_.below(2 * reach)} - reach;
        return list_by(model_, priority);
    }

    void breed(const PlainModel& plain) {
        GeneticLimits limits;
        limits.schedules = options_.schedules;
        limits.target = static_cast<Time>((plain.deadline + outcome_.bound[0]) / plain.unit_time);
        limits.stop = [this] { return stopped(); };
        limits.progress = [&](const GeneticResult& result) {
            outcome_.schedules = result.schedules;
            take(schedule_of(result.start));
        };
        outcome_.schedules = search_plain(model_, plain, limits, random_).schedules;
    }

    Schedule schedule_of(const std::vector<Time>& unit_starts) const {
        Schedule schedule;
        schedule.chosen.resize(project_.activities.size());
        for (std::size_t id = 0; id < project_.activities.size(); ++id) {
            schedule.start.push_back(unit_starts[model_.unit_of[id]] + model_.offset[id]);
            for (const Demand& demand : project_.activities[id].demands)
                schedule.chosen[id].push_back(demand.choices.front());
        }
        complete(project_, schedule);
        return schedule;
    }

    // ------------------------------------------------------------------------------------ exact search

    void spend(std::int64_t nodes) {
        nodes_left_ -= std::max<std::int64_t>(1, nodes);
        nodes_spent_ += std::max<std::int64_t>(1, nodes);
    }

    bool may_decide() const { return !decided() && nodes_left_ > 0 && !stopped(); }

    static std::size_t to_set_up(const Project& project) {
        std::size_t count = project.activities.size();
        for (const Activity& activity : project.activities)
            for (const Demand& demand : activity.demands) count += demand.choices.size();
        return count;
    }

    bool pays_to_set_up() const {
        const auto most = static_cast<std::int64_t>(std::min(project_.activities.size(), kMostToProve / 5));
        return outcome_.schedule && nodes_left_ >= kDecisionsToSetUp * most;
    }

    prove::Proof prove(std::int64_t nodes, const std::optional<Schedule>& near = {}) {
        prove::ProofOptions options;
        options.nodes = std::min(nodes, nodes_left_);
        options.incumbent = outcome_.schedule;
        options.near = near;
        options.stop = options_.stop;
        prove::Proof proof = prove::prove(project_, options);
        spend(proof.nodes);
        if (proof.schedule) take(*proof.schedule);
        return proof;
    }

    /// Any schedule will do: stretches of it are bettered sooner than the whole. By default these decisions come on
    /// top.
    void find_first() {
        if (!may_decide() || to_set_up(project_) > kMostToProveFirst) return;
        Project any = project_;
        any.goals.clear();
        prove::ProofOptions options;
        options.nodes = nodes_left_;
        if (options_.nodes < 0)
            options.nodes =
                std::max(nodes_left_, kDecisionsForFirst * static_cast<std::int64_t>(any.activities.size()));
        options.stop = options_.stop;
        const prove::Proof proof = prove::prove(any, options);
        if (options_.nodes >= 0) nodes_left_ -= std::max<std::int64_t>(1, proof.nodes);
        outcome_.infeasible = proof.verdict == prove::Verdict::infeasible;
        if (proof.schedule) take(*proof.schedule);
    }

    /// Where any will do, it is found at once or not at all.
    void find_near() {
        const std::int64_t part = project_.goals.empty() ? 4 : 2;
        if (may_decide() && to_set_up(project_) <= kMostToProve)
            note(prove((nodes_left_ + part - 1) / part, options_.near));
    }

    void prove_all(std::int64_t nodes) {
        if (may_decide() && to_set_up(project_) <= kMostToProve) note(prove(nodes));
    }

    void note(const prove::Proof& proof) {
        outcome_.infeasible = proof.verdict == prove::Verdict::infeasible;
        if (proof.verdict == prove::Verdict::optimal) {
            outcome_.bound = outcome_.value;
        } else {
            for (std::size_t goal = 0; goal < outcome_.bound.size(); ++goal)
                outcome_.bound[goal] = std::max(outcome_.bound[goal], proof.bound[goal]);
        }
    }

    /// Goals before the waiting are held where they are proven; without that the relaxation would say too little.
    void relax() {
        if (!outcome_.schedule || finished()) return;
        WaitingCase held;
        held.work = kWorkASchedule * options_.schedules;
        for (std::size_t goal = 0; goal < std::min(project_.goals.size(), outcome_.value.size()); ++goal) {
            if (project_.goals[goal] == Goal::waiting) {
                held.best = outcome_.value[goal];
                held.offer = [&](const std::vector<Time>& starts) {
                    std::vector<std::int64_t> latest_first;
                    for (const Time start : starts) latest_first.push_back(-std::int64_t{start});
                    if (!finished()) try_list(list_by(model_, latest_first), quick_repairs(model_));
                    return outcome_.value[goal];
                };
                if (const auto bound = relaxed_waiting(model_, held))
                    outcome_.bound[goal] = std::max(outcome_.bound[goal], *bound);
                return;
            }
            if (outcome_.value[goal] != outcome_.bound[goal]) return;
            if (project_.goals[goal] == Goal::alarm) held.not_before = static_cast<Time>(-outcome_.value[goal]);
            if (project_.goals[goal] == Goal::overrun) held.overrun = static_cast<Time>(outcome_.value[goal]);
        }
    }

    // ----------------------------------------------------------------------------------- neighbourhoods

    /// Stretches of all lengths, again and again; where none is bettered any more, with more schedules for each.
    void improve_stretches() {
        for (std::int64_t schedules = kSchedulesPerStretch; !finished();) {
            bool bettered = false;
            bool any = false;
            for (std::size_t size = kStretch; size < model_.units.size() && !finished();) {
                any = true;
                if (improve_stretches(size, schedules))
                    bettered = true;
                else
                    size += size / 2;
            }
            if (!any) return;
            if (!bettered) schedules *= 2;
        }
    }

    /// From the earliest start on, and then from the middle of the first one on.
    bool improve_stretches(std::size_t size, std::int64_t schedules) {
        bool bettered = false;
        for (const std::size_t first : {std::size_t{0}, size / 2}) {
            const std::vector<UnitId> order = by_start(model_, *outcome_.schedule);
            for (std::size_t from = first; from < order.size() && !finished(); from += size)
                bettered = improve_stretch(stretch_of(order, from, size), schedules) || bettered;
        }
        return bettered;
    }

    std::optional<Subproject> part_with(const std::vector<UnitId>& units) const {
        return subproject_of(project_, *outcome_.schedule, all_held_but(model_, *outcome_.schedule, units));
    }

    bool improve_stretch(const std::vector<UnitId>& units, std::int64_t schedules) {
        const auto part = part_with(units);
        if (!part) return false;
        const Model model = make_model(part->project);
        if (!model.contradiction.empty()) return false;
        SearchOptions options;
        options.schedules = schedules;
        if (options_.nodes >= 0) options.nodes = std::min(2 * schedules, nodes_left_);
        options.seed = random_.below(kSeeds);
        options.stop = options_.stop;
        const Schedule seen = seen_from(*part, *outcome_.schedule);
        Solver solver(part->project, model, options);
        const Outcome found = solver.run_from(seen);
        if (options_.nodes >= 0) nodes_left_ -= solver.nodes_spent_;
        placings_ += (found.schedules + solver.nodes_spent_ / 2) * model.count();
        outcome_.schedules += placings_ / model_.count();
        placings_ %= model_.count();
        return found.value < evaluate(part->project, seen) && adopt(*part, *found.schedule);
    }

    /// Until a round betters nothing.
    void improve_windows() {
        while (may_decide() && (improve_short_stretches() | improve_relatives())) {
        }
    }

    /// What is not settled, in the order of its starts.
    std::vector<UnitId> open_units() const {
        std::vector<UnitId> order = by_start(model_, *outcome_.schedule);
        std::erase_if(order, [&](UnitId unit) { return model_.units[unit].earliest == model_.units[unit].latest; });
        return order;
    }

    bool improve_short_stretches() {
        bool bettered = false;
        const std::vector<UnitId> order = open_units();
        for (std::size_t from = 0; order.size() > kWindow && from < order.size() && may_decide(); from += kWindow / 2)
            bettered = improve_window(stretch_of(order, from, kWindow)) || bettered;
        return bettered;
    }

    /// Each unit is in one window at least.
    bool improve_relatives() {
        bool bettered = false;
        std::vector<char> seen(model_.units.size());
        for (const UnitId unit : open_units()) {
            if (seen[unit] || !may_decide()) continue;
            const std::vector<UnitId> window = relatives_of(model_, unit, kWindow);
            for (const UnitId member : window) seen[member] = 1;
            bettered = (window.size() > 1 && improve_window(window)) || bettered;
        }
        return bettered;
    }

    bool improve_window(const std::vector<UnitId>& units) {
        const auto part = part_with(units);
        if (!part || to_set_up(part->project) > kMostToProve) return false;
        prove::ProofOptions options;
        options.nodes = std::min(kNodesPerWindow, nodes_left_);
        options.incumbent = seen_from(*part, *outcome_.schedule);
        options.stop = options_.stop;
        const prove::Proof proof = prove::prove(part->project, options);
        spend(proof.nodes);
        return proof.value < evaluate(part->project, *options.incumbent) && adopt(*part, *proof.schedule);
    }

    /// True: the whole is better for it.
    bool adopt(const Subproject& part, const Schedule& of_part) {
        const Value before = outcome_.value;
        take(joined(project_, *outcome_.schedule, part, of_part));
        return outcome_.value < before;
    }

    // ----------------------------------------------------------------------------------------- the end

    void note_obstacle() {
        if (outcome_.schedule) return;
        const Obstacle obstacle = pass_.obstacle();
        const auto same = std::find_if(seen_.begin(), seen_.end(), [&](const auto& entry) {
            return entry.second.activity == obstacle.activity && entry.second.resource == obstacle.resource;
        });
        if (same != seen_.end())
            ++same->first;
        else
            seen_.push_back({1, obstacle});
    }

    void conclude() {
        if (outcome_.schedule && project_.activities.size() <= kMostToSettle) {
            settle(project_, *outcome_.schedule);
            outcome_.value = evaluate(project_, *outcome_.schedule);
        }
        outcome_.optimal = outcome_.schedule && outcome_.value == outcome_.bound;
        if (outcome_.schedule) return;
        if (seen_.empty()) try_list(list_by(model_, priorities(model_, Rule::latest_finish)), 0);
        std::stable_sort(seen_.begin(), seen_.end(), [](const auto& a, const auto& b) { return a.first > b.first; });
        for (auto& entry : seen_) outcome_.obstacles.push_back(std::move(entry.second));
    }

    const Project& project_;
    const Model& model_;
    const SearchOptions& options_;
    SerialPass pass_;
    Random random_;
    List best_list_;
    std::int64_t nodes_left_ = 0;
    std::int64_t nodes_spent_ = 0;
    std::int64_t placings_ = 0;                            ///< in stretches, not yet counted as schedules of the whole
    std::vector<std::pair<std::int32_t, Obstacle>> seen_;  ///< how often, what
    Outcome outcome_;
};

}  // namespace

Outcome solve(const Project& project, const SearchOptions& options) {
    const Model model = make_model(project);
    if (!model.contradiction.empty()) {
        Outcome outcome;
        outcome.infeasible = true;
        outcome.contradiction = model.contradiction;
        return outcome;
    }
    return Solver(project, model, options).run();
}

}  // namespace oventide
