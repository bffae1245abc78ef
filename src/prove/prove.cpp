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
        take_incumbent();
        if (find_any()) improve_all_goals();
        proof_.nodes = options_.nodes - budget_.nodes;
        proof_.conflicts = model_.engine().conflicts();
        return std::move(proof_);
    }

private:
    Engine& engine() { return model_.engine(); }

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
        for (std::size_t id = 0; id < options_.frozen.size(); ++id)
            if (options_.frozen[id]) freeze(static_cast<ActivityId>(id));
    }

    void freeze(ActivityId id) {
        const Time start = options_.incumbent->start[id];
        engine().add_clause({at_least(model_.start(id), start)});
        engine().add_clause({at_most(model_.start(id), start)});
        const auto& demands = project_.activities[id].demands;
        for (std::size_t k = 0; k < demands.size(); ++k)
            for (std::size_t choice = 0; choice < demands[k].choices.size(); ++choice)
                if (const auto& chosen = model_.demands(id)[k].chosen[choice];
                    chosen && demands[k].choices[choice] == options_.incumbent->chosen[id][k])
                    engine().add_clause({*chosen});
    }

    void accept(Schedule schedule) {
        const Value value = evaluate(project_, schedule);
        if (proof_.schedule && proof_.value <= value) return;
        proof_.value = value;
        proof_.schedule = std::move(schedule);
    }

    // --------------------------------------------------------------------------------------------- search

    Answer search(std::optional<Literal> assumption) {
        const Answer answer = engine().search(assumption, *guide_, budget_);
        if (answer == Answer::found) {
            accept(model_.read_schedule());
            guide_->remember(engine().trail());
            engine().backtrack();
        }
        return answer;
    }

    /// True: there is a schedule to better.
    bool find_any() {
        if (proof_.schedule) return true;
        const Answer answer = search({});
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

    /// True: the goal cannot be better than in the schedule found, and is held there from now on.
    bool improve(std::size_t goal) {
        const auto term = model_.objective(static_cast<int>(goal));
        if (!term) return false;
        for (;;) {
            const auto best = static_cast<Time>(proof_.value[goal]);
            engine().add_clause({at_most(*term, best)});
            if (!engine().propagate_root()) return false;
            if (engine().trail().lower(*term) >= best) return true;
            if (search(at_most(*term, best - 1)) == Answer::out_of_budget) return false;
        }
    }

    const Project& project_;
    const ProofOptions& options_;
    Model model_;
    std::optional<ProjectGuide> guide_;
    Budget budget_;
    Proof proof_;
};

}  // namespace

Proof prove(const Project& project, const ProofOptions& options) { return Prover(project, options).run(); }

}  // namespace oventide::prove
