#include "prove/goal_model.hpp"

#include <algorithm>

namespace oventide::prove {

namespace {
constexpr std::int64_t kLargest = std::numeric_limits<Time>::max() / 4;
}

void GoalModel::add() {
    for (const Goal goal : project_.goals) {
        std::vector<Term> partial_sums;
        switch (goal) {
            case Goal::overrun:
                model_.objectives_.push_back(add_overrun(partial_sums));
                break;
            case Goal::alarm:
                model_.objectives_.push_back(add_alarm());
                break;
            case Goal::waiting:
                model_.objectives_.push_back(add_waiting(partial_sums));
                break;
        }
        model_.partial_sums_.push_back(std::move(partial_sums));
    }
}

Term GoalModel::add_pair_sum(WeightedSum::Part a, WeightedSum::Part b) {
    const Trail& trail = model_.engine_.trail();
    const std::int64_t least = a.factor * trail.lower(a.term) + b.factor * trail.lower(b.term);
    const std::int64_t most = a.factor * trail.upper(a.term) + b.factor * trail.upper(b.term);
    const Term sum{rising(model_.engine_.add_variable(static_cast<Time>(least), static_cast<Time>(most))), 0};
    model_.add_rule(std::make_unique<WeightedSum>(std::vector<WeightedSum::Part>{a, b, {1, -sum}}, 0), -1);
    return sum;
}

/// Neighbours are added first, then their sums, and so on: each partial sum is a term of its own about which the
/// search can learn, and whose bound can be raised alone.
std::optional<Term> GoalModel::add_sum(std::vector<WeightedSum::Part> parts, std::vector<Term>& partial_sums) {
    const Trail& trail = model_.engine_.trail();
    std::int64_t largest = 0;
    for (const auto& part : parts)
        largest += part.factor * std::max(std::abs(std::int64_t{trail.lower(part.term)}),
                                          std::abs(std::int64_t{trail.upper(part.term)}));
    if (largest > kLargest) return {};
    if (parts.empty()) return model_.zero_;
    if (parts.size() == 1 && parts.front().factor > 1) parts.push_back({1, model_.zero_});
    while (parts.size() > 1) {
        std::vector<WeightedSum::Part> sums;
        for (std::size_t i = 0; i + 1 < parts.size(); i += 2) {
            sums.push_back({1, add_pair_sum(parts[i], parts[i + 1])});
            partial_sums.push_back(sums.back().term);
        }
        if (parts.size() % 2 == 1) sums.push_back(parts.back());
        parts = std::move(sums);
    }
    return parts.front().term;
}

// ------------------------------------------------------------------------------------------------ overrun

Term GoalModel::add_overrun_of(const Freshness& food) {
    Engine& engine = model_.engine_;
    const Term overrun{rising(engine.add_variable(0, std::max(project_.horizon, food.last_time))), 0};
    for (const ActivityId maker : food.makers) {
        const Term allowed = model_.start_[maker] + (project_.activities[maker].duration + food.best_within);
        engine.add_difference(-allowed, overrun, food.last_time, {}, -1);
        for (const ActivityId user : food.users)
            model_.add_rule(
                std::make_unique<WeightedSum>(
                    std::vector<WeightedSum::Part>{{1, model_.start_[user]}, {1, -allowed}, {1, -overrun}}, 0),
                -1);
    }
    return overrun;
}

std::optional<Term> GoalModel::add_overrun(std::vector<Term>& partial_sums) {
    std::vector<WeightedSum::Part> parts;
    for (const Freshness& food : project_.freshness) parts.push_back({1, add_overrun_of(food)});
    return add_sum(std::move(parts), partial_sums);
}

// -------------------------------------------------------------------------------------------------- alarm

std::optional<Term> GoalModel::add_alarm() {
    if (project_.activities.empty()) return {};
    const Trail& trail = model_.engine_.trail();
    Time least = 0;
    for (const auto& demands : model_.demands_)
        for (const DemandTerms& terms : demands) least = std::min(least, trail.lower(terms.from));
    for (const ColdStart& start : model_.cold_starts_) least = std::min(least, trail.lower(start.at));
    Time most = project_.horizon;
    for (const auto& demands : model_.demands_)
        for (const DemandTerms& terms : demands) most = std::max(most, trail.upper(terms.from));
    const Term alarm{rising(model_.engine_.add_variable(least, most)), 0};
    add_wakers(alarm);
    return -alarm;
}

void GoalModel::add_wakers(Term alarm) {
    Engine& engine = model_.engine_;
    std::vector<Literal> somebody_wakes;  // one of these; meaningless once `certain`
    bool certain = false;
    const auto add_waker = [&](Term at, const std::vector<Literal>& when) {
        if (when.empty()) {
            certain = true;
            engine.add_difference(alarm, at, 0);
            return;
        }
        Literal all = when.front();
        if (when.size() > 1) {
            all = model_.add_literal();
            std::vector<Literal> clause{all};
            for (const Literal literal : when) {
                clause.push_back(~literal);
                engine.add_clause({~all, literal});
            }
            engine.add_clause(std::move(clause));
        }
        engine.add_difference(alarm, at, 0, all);
        somebody_wakes.push_back(all);
    };
    for (std::size_t id = 0; id < project_.activities.size(); ++id) {
        for (std::size_t k = 0; k < project_.activities[id].demands.size(); ++k) {
            const DemandTerms& terms = model_.demands_[id][k];
            if (terms.always_empty()) continue;
            const auto& choices = project_.activities[id].demands[k].choices;
            const auto wakes = [&](ResourceId choice) { return project_.resources[choice].wakes; };
            std::vector<Literal> when;
            if (terms.nonempty) when.push_back(*terms.nonempty);
            if (std::all_of(choices.begin(), choices.end(), wakes)) {
                add_waker(terms.from, when);
                continue;
            }
            for (std::size_t c = 0; c < choices.size(); ++c) {
                if (!wakes(choices[c])) continue;
                auto with_choice = when;
                with_choice.push_back(*terms.chosen[c]);
                add_waker(terms.from, with_choice);
            }
        }
    }
    // A cold start that is only called so still has a real one on that resource before it.
    for (const ColdStart& start : model_.cold_starts_)
        if (!project_.resources[start.resource].state.self_starting) add_waker(start.at, {start.cold});
    if (certain) return;
    const Literal nobody = model_.add_literal();
    somebody_wakes.push_back(nobody);
    engine.add_clause(std::move(somebody_wakes));
    for (const Term start : model_.start_) engine.add_difference(alarm, start, 0, nobody);
}

// ------------------------------------------------------------------------------------------------ waiting

/// A term of its own for how long the food waits, so that the search can learn about it.
Term GoalModel::add_wait(ActivityId maker, ActivityId user) {
    const Trail& trail = model_.engine_.trail();
    const Term ready = model_.start_[maker] + project_.activities[maker].duration;
    const Term start = model_.start_[user];
    Time least = trail.lower(start) - trail.upper(ready);
    const Time most = trail.upper(start) - trail.lower(ready);
    const Time apart = model_.distance(ready, start);
    if (apart != Distances::kNone) least = std::max(least, apart);
    const Term wait{rising(model_.engine_.add_variable(least, std::max(least, most))), 0};
    model_.add_rule(
        std::make_unique<WeightedSum>(std::vector<WeightedSum::Part>{{1, start}, {1, -ready}, {1, -wait}}, 0), -1);
    return wait;
}

std::optional<Term> GoalModel::add_waiting(std::vector<Term>& partial_sums) {
    std::vector<WeightedSum::Part> parts;
    for (const WaitLink& link : project_.links) {
        if (link.weight < 0) return {};
        if (link.weight == 0) continue;
        const Term ready = model_.start_[link.maker] + project_.activities[link.maker].duration;
        if (link.user >= 0)
            parts.push_back({link.weight, add_wait(link.maker, link.user)});
        else
            parts.push_back({link.weight, -ready + link.time});
    }
    return add_sum(std::move(parts), partial_sums);
}

}  // namespace oventide::prove
