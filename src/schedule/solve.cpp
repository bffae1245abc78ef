#include <algorithm>
#include <utility>

#include "oventide/scheduler.hpp"
#include "prove/prove.hpp"
#include "schedule/bound.hpp"
#include "schedule/genetic.hpp"
#include "schedule/priority.hpp"
#include "schedule/random.hpp"
#include "schedule/relaxation.hpp"
#include "schedule/serial_pass.hpp"
#include "schedule/settle.hpp"

namespace oventide {
namespace {

using namespace scheduling;

/// More activities than this are not put before the exact search: setting it up would cost more than it finds.
constexpr std::size_t kMostToProve = 400;
/// Setting it up takes as long as about so many decisions an activity: with fewer at hand, and a schedule, it is not
/// begun.
constexpr std::int64_t kDecisionsToSetUp = 5;
/// Repair that takes back so many placings counts for one more schedule.
constexpr std::int64_t kUndoneASchedule = 2'500;
/// Lists near a rule's, where no rule leads to a schedule: cheaper than to have the exact search find the first.
constexpr int kFirstLists = 100;
/// Settling looks at every goal anew for each activity that it moves: for a day, not for a season.
constexpr std::size_t kMostToSettle = 1'000;
/// Large neighbourhoods: decisions for one, and activities that are free in it.
constexpr std::int64_t kNodesPerWindow = 150;
constexpr std::size_t kWindow = 14;
/// Starts that the relaxation may look at for each schedule that may be generated: as long as about half a schedule.
constexpr std::int64_t kWorkASchedule = 20'000;

/// Steps of repair in one pass: a rule's list is worth taking everything back a few times; later on another list is
/// cheaper.
std::int32_t thorough_repairs(const Model& model) { return 20 + 4 * model.count(); }
std::int32_t quick_repairs(const Model& model) { return 10 + model.count() / 4; }

/// From a first schedule to the best one that the budget allows. The stages:
///   1. a list by each priority rule, and if need be others near them, scheduled backward and repaired
///      (serial_pass.hpp);
///   2. plain projects: two populations of lists (genetic.hpp);
///   3. the exact search over everything, from the best schedule so far (prove/prove.hpp);
///   4. where food must wait: how little at least, by a relaxation, and a list by its starts (relaxation.hpp);
///   5. the exact search over windows of it, the rest held (large neighbourhood search, Shaw 1998);
///   6. lists near the best one;
///   7. of what is worth the same, the schedule in which food waits where it keeps (settle.hpp).
/// Each stops when the value meets the bound, and everything when the budget is spent.
class Solver {
public:
    Solver(const Project& project, const Model& model, const SearchOptions& options)
        : project_(project), model_(model), options_(options), pass_(model), random_(options.seed) {
        outcome_.bound = lower_bound(model);
        nodes_left_ = options.nodes < 0 ? 2 * options.schedules : options.nodes;
    }

    Outcome run() {
        if (const auto plain = make_plain(model_))
            breed(*plain);
        else
            try_rules();
        if (!outcome_.schedule || pays_to_set_up()) {
            prove_all((nodes_left_ + 2) / 3);
            relax();
            improve_windows();
            prove_all(nodes_left_);
        }
        while (!finished()) try_list(near_best(), quick_repairs(model_));
        conclude();
        return std::move(outcome_);
    }

private:
    bool stopped() const { return options_.stop && options_.stop->load(); }
    bool decided() const { return outcome_.infeasible || (outcome_.schedule && outcome_.value == outcome_.bound); }
    bool finished() const { return decided() || outcome_.schedules >= options_.schedules || stopped(); }

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

    bool may_prove() const {
        return !decided() && nodes_left_ > 0 && !stopped() && project_.activities.size() <= kMostToProve;
    }

    bool pays_to_set_up() const {
        return nodes_left_ >= kDecisionsToSetUp * static_cast<std::int64_t>(project_.activities.size());
    }

    prove::Proof prove(std::int64_t nodes, std::vector<bool> frozen) {
        prove::ProofOptions options;
        options.nodes = std::min(nodes, nodes_left_);
        options.incumbent = outcome_.schedule;
        options.frozen = std::move(frozen);
        options.stop = options_.stop;
        prove::Proof proof = prove::prove(project_, options);
        nodes_left_ -= std::max<std::int64_t>(1, proof.nodes);
        if (proof.schedule) take(*proof.schedule);
        return proof;
    }

    /// All that is left of the decisions where there is no schedule yet.
    void prove_all(std::int64_t nodes) {
        if (!may_prove()) return;
        const prove::Proof proof = prove(outcome_.schedule ? nodes : nodes_left_, {});
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

    /// Frees a stretch of the schedule at a time, from the earliest start on, until a round betters nothing.
    void improve_windows() {
        if (project_.activities.size() <= kWindow) return;
        for (bool bettered = true; bettered && outcome_.schedule && may_prove();) {
            bettered = false;
            for (std::size_t from = 0; from < project_.activities.size() && may_prove(); from += kWindow / 2) {
                const Value before = outcome_.value;
                prove(kNodesPerWindow, all_but(from));
                bettered = bettered || outcome_.value < before;
            }
        }
    }

    /// Everything is held but `kWindow` activities in the order of their starts.
    std::vector<bool> all_but(std::size_t from) const {
        std::vector<ActivityId> order(project_.activities.size());
        for (std::size_t id = 0; id < order.size(); ++id) order[id] = static_cast<ActivityId>(id);
        std::stable_sort(order.begin(), order.end(), [&](ActivityId a, ActivityId b) {
            return outcome_.schedule->start[a] < outcome_.schedule->start[b];
        });
        std::vector<bool> frozen(order.size(), true);
        for (std::size_t k = from; k < std::min(from + kWindow, order.size()); ++k) frozen[order[k]] = false;
        return frozen;
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
