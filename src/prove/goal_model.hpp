#pragma once
/// What each goal of a project minimises, as a term of the engine.

#include <cstdint>
#include <optional>
#include <vector>

#include "prove/model.hpp"
#include "prove/rules.hpp"

namespace oventide::prove {

class GoalModel {
public:
    explicit GoalModel(Model& model) : model_(model), project_(model.project_) {}
    void add();

private:
    std::optional<Term> add_overrun(std::vector<Term>& partial_sums);
    std::optional<Term> add_alarm();
    std::optional<Term> add_waiting(std::vector<Term>& partial_sums);

    Term add_overrun_of(const Freshness& food);
    void add_wakers(Term alarm);
    Term add_wait(ActivityId maker, ActivityId user);
    Term add_pair_sum(WeightedSum::Part a, WeightedSum::Part b);
    /// A term that is at least the weighted sum, exactly that once it is made as small as it can be; with the sums
    /// that it is made of, the smallest first. Nothing where it does not fit in the engine's numbers.
    std::optional<Term> add_sum(std::vector<WeightedSum::Part> parts, std::vector<Term>& partial_sums);

    Model& model_;
    const Project& project_;
};

}  // namespace oventide::prove
