#include "prove/prove.hpp"

#include <algorithm>
#include <set>

#include "prove/guide.hpp"
#include "prove/model.hpp"

namespace oventide::prove {
namespace {

/// One project's way from nothing known to a proof, goal by goal.
class Prover {
public:
    Prover(const Project& project, const ProofOptions& options)
        : project_(project), options_(options), model_(project), budget_{options.nodes, options.stop} {}

    Proof run() {
        if (!propagate_root()) return std::move(proof_);
        guide_.emplace(model_);
        if (options_.near) guide_->keep_near(*options_.near);
        take_incumbent();
        if (find_any()) improve_all_goals();
        proof_.nodes = options_.nodes - budget_.nodes;
        proof_.conflicts = model_.engine().conflicts();
        return std::move(proof_);
    }

private:
    Engine& engine() { return model_.engine(); }
    const Trail& engine_trail() const { return model_.engine().trail(); }

    bool propagate_root() {
        if (engine().propagate_root()) return true;
        proof_.verdict = Verdict::infeasible;
        proof_.contradiction = contradiction();
        return false;
    }

    Contradiction contradiction() {
        const Engine::Causes causes = engine().root_causes();
        std::set<std::int32_t> lags;
        std::set<ResourceId> resources;
        std::set<ActivityId> activities;
        for (const std::int32_t code : causes.origins) {
            if (code < 0) continue;
            const Origin origin = model_.origin(code);
            if (origin.of == Origin::Of::lag) lags.insert(origin.id);
            if (origin.of == Origin::Of::resource) resources.insert(origin.id);
            if (origin.of == Origin::Of::activity) activities.insert(origin.id);
        }
        for (const Variable x : causes.variables)
            if (model_.activity_of(x) >= 0) activities.insert(model_.activity_of(x));
        return {
            {lags.begin(), lags.end()}, {resources.begin(), resources.end()}, {activities.begin(), activities.end()}};
    }

    // ------------------------------------------------------------------------------------------ incumbent

    void take_incumbent() {
        if (!options_.incumbent) return;
        guide_->remember(*options_.incumbent);
        accept(*options_.incumbent);
    }

    /// True: it is the best so far.
    bool accept(Schedule schedule) {
        const Value value = evaluate(project_, schedule);
        if (proof_.schedule && proof_.value <= value) return false;
        proof_.value = value;
        proof_.schedule = std::move(schedule);
        return true;
    }

    // --------------------------------------------------------------------------------------------- search

    Answer search(std::optional<Literal> assumption, Budget& budget) {
        const Answer answer = engine().search(assumption, *guide_, budget);
        if (answer == Answer::found) {
            if (accept(model_.read_schedule())) guide_->remember(engine().trail());
            for (std::size_t i = 0; seen_parts_ != nullptr && i < seen_parts_->size(); ++i)
                least_seen_[i] = std::min(least_seen_[i], engine_trail().lower((*seen_parts_)[i]));
            engine().backtrack();
        }
        return answer;
    }

    /// True: there is a schedule to better.
    bool find_any() {
        if (proof_.schedule) return true;
        const Answer answer = search({}, budget_);
        if (answer == Answer::none) proof_.verdict = Verdict::infeasible;
        note_bounds(0);
        return answer == Answer::found;
    }

    /// What the root alone says of the goals from `first` on.
    void note_bounds(std::size_t first) {
        for (std::size_t goal = first; goal < goals(); ++goal) {
            const auto term = model_.objective(static_cast<int>(goal));
            proof_.bound[goal] = term ? engine().trail().lower(*term) : std::numeric_limits<std::int64_t>::min();
        }
    }

    std::size_t goals() const { return std::min(project_.goals.size(), proof_.value.size()); }

    void improve_all_goals() {
        proof_.verdict = Verdict::feasible;
        for (std::size_t goal = 0; goal < goals(); ++goal) {
            const bool proven = improve(goal);
            note_bounds(goal);
            if (!proven) return;
        }
        proof_.verdict = Verdict::optimal;
    }

    // ------------------------------------------------------------------------------------- one goal at a time

    Time best(std::size_t goal) const { return static_cast<Time>(proof_.value[goal]); }
    Time bound(Term term) const { return engine_trail().lower(term); }

    /// Searches for `target` or better, within so many nodes.
    Answer attempt(Term term, Time target, std::int64_t nodes) {
        Budget part{std::min(nodes, budget_.nodes), budget_.stop};
        const std::int64_t given = part.nodes;
        const Answer answer = search(at_most(term, target), part);
        budget_.nodes -= given - part.nodes;
        return answer;
    }

    /// The goal need not be worse than in the schedule found. True: it cannot be better.
    bool closed(std::size_t goal, Term term) {
        engine().add_clause({at_most(term, best(goal))});
        return !engine().propagate_root() || bound(term) >= best(goal);
    }

    /// True: the goal cannot be better than in the schedule found, and is held there from now on.
    bool improve(std::size_t goal) {
        const auto term = model_.objective(static_cast<int>(goal));
        if (!term) return false;
        return (options_.near && rise_from_bound(goal, *term, budget_.nodes / 2)) ||
               improve_from_above(goal, *term, budget_.nodes / 3) ||
               raise_partial_bounds(goal, *term, budget_.nodes / 3) || raise_bound(goal, *term) ||
               improve_from_above(goal, *term, budget_.nodes);
    }

    /// Targets from the bound on, in steps that grow while they are refuted. Of a question about what is nearly right
    /// already the answer is near the bound.
    bool rise_from_bound(std::size_t goal, Term term, std::int64_t nodes) {
        const std::int64_t reserve = budget_.nodes - nodes;
        for (Time step = 0; !closed(goal, term);) {
            const Time target = std::min(bound(term) + step, best(goal) - 1);
            const Answer answer = attempt(term, target, budget_.nodes - reserve);
            if (answer == Answer::out_of_budget) return false;
            step = answer == Answer::none ? 2 * step + 1 : step / 2;
        }
        return true;
    }

    /// Better and better schedules, in steps that grow while they are easy.
    bool improve_from_above(std::size_t goal, Term term, std::int64_t nodes) {
        const std::int64_t reserve = budget_.nodes - nodes;
        for (Time step = 1; !closed(goal, term);) {
            const bool leap = step > 1;
            const Time target = std::max(bound(term), best(goal) - step);
            const Answer answer = attempt(term, target, std::min(leap ? kLeap : nodes, budget_.nodes - reserve));
            if (answer == Answer::out_of_budget && !leap) return false;
            step = answer == Answer::found ? 2 * step : 1;
        }
        return true;
    }

    /// Destructive improvement (Klein and Scholl 1999): targets between the bound and the best are refuted, or
    /// given up for lower ones.
    bool raise_bound(std::size_t goal, Term term) {
        Time untried = best(goal) - 1;
        while (!closed(goal, term) && bound(term) <= untried && budget_.nodes > 0) {
            const Time target = bound(term) + (untried - bound(term)) / 2;
            const Answer answer = attempt(term, target, std::max(kLeap, budget_.nodes / 4));
            if (answer == Answer::out_of_budget) untried = target - 1;
            if (answer == Answer::found) untried = best(goal) - 1;
        }
        return closed(goal, term);
    }

    /// What each part of the sum is at least, the small ones first: their bounds add up.
    bool raise_partial_bounds(std::size_t goal, Term term, std::int64_t nodes) {
        const auto& parts = model_.partial_sums(static_cast<int>(goal));
        const std::int64_t reserve = budget_.nodes - nodes;
        least_seen_.assign(parts.size(), kNever);
        seen_parts_ = &parts;
        for (std::size_t i = 0; i < parts.size() && !closed(goal, term); ++i) {
            const auto left = static_cast<std::int64_t>(parts.size() - i);
            raise_partial_bound(parts[i], least_seen_[i], std::max(kLeap / 10, (budget_.nodes - reserve) / left));
            if (budget_.nodes <= reserve) break;
        }
        seen_parts_ = nullptr;
        return closed(goal, term);
    }

    /// Targets rise from the bound while they are refuted.
    void raise_partial_bound(Term part, const Time& least_seen, std::int64_t nodes) {
        const std::int64_t reserve = budget_.nodes - nodes;
        Time step = 0;
        for (Time untried = kNever; bound(part) < least_seen && budget_.nodes > reserve;) {
            untried = std::min({untried, least_seen - 1, engine_trail().upper(part)});
            if (bound(part) > untried) break;
            const Time target = std::min(bound(part) + step, untried);
            const Answer answer = attempt(part, target, (budget_.nodes - reserve + 2) / 3);
            step = answer == Answer::none ? 2 * step + 1 : step / 2;
            if (answer == Answer::out_of_budget) untried = target - 1;
        }
    }

    static constexpr std::int64_t kLeap = 500;  // nodes for a bold step

    const Project& project_;
    const ProofOptions& options_;
    Model model_;
    std::optional<ProjectGuide> guide_;
    Budget budget_;
    const std::vector<Term>* seen_parts_ = nullptr;  ///< where set, each schedule found is looked at for
    std::vector<Time> least_seen_;                   ///< the least value of each of them
    Proof proof_;
};

}  // namespace

Proof prove(const Project& project, const ProofOptions& options) { return Prover(project, options).run(); }

}  // namespace oventide::prove
