/// QuickXplain over the conditions of a plan, and a second look at each that it names.

#include <algorithm>

#include "ways/conditions.hpp"

namespace oventide::ways {
namespace {

enum class Verdict { possible, impossible, undecided };

class Explainer {
public:
    Explainer(const Relaxations& relaxations, const Effort& effort) : relaxations_(relaxations), effort_(effort) {}

    using Set = std::vector<std::size_t>;  ///< of conditions, by index, in order

    Outcome solve_with(const Set& set) const {
        std::vector<bool> kept(relaxations_.conditions().size(), false);
        for (const std::size_t one : set) kept[one] = true;
        SearchOptions options;
        options.schedules = effort_.schedules;
        options.nodes = effort_.nodes;
        options.seed = effort_.seed;
        options.stop = effort_.stop;
        return solve(relaxations_.keeping(kept), options);
    }

    Verdict verdict(const Set& set) const {
        const Outcome outcome = solve_with(set);
        if (outcome.schedule) return Verdict::possible;
        return outcome.infeasible ? Verdict::impossible : Verdict::undecided;
    }

    /// A part of `candidates` that contradicts `background`, knowing that all of them do. `added`: the background has
    /// grown since it was last looked at, and may be enough. What is undecided counts as possible, so that what is
    /// returned is proven to contradict, but may hold more than it must.
    Set quick_explain(const Set& background, bool added, const Set& candidates) const {
        if (added && verdict(background) == Verdict::impossible) return {};
        if (candidates.size() <= 1) return candidates;
        const auto middle = candidates.begin() + static_cast<std::ptrdiff_t>((candidates.size() + 1) / 2);
        const Set first(candidates.begin(), middle);
        const Set second(middle, candidates.end());
        const Set of_second = quick_explain(united(background, first), true, second);
        const Set of_first = quick_explain(united(background, of_second), !of_second.empty(), first);
        return united(of_first, of_second);
    }

    static Set united(const Set& a, const Set& b) {
        Set all;
        std::set_union(a.begin(), a.end(), b.begin(), b.end(), std::back_inserter(all));
        return all;
    }

    static Set without(const Set& set, std::size_t one) {
        Set rest = set;
        std::erase(rest, one);
        return rest;
    }

private:
    const Relaxations& relaxations_;
    const Effort& effort_;
};

Explainer::Set numbered(std::size_t count) {
    Explainer::Set all(count);
    for (std::size_t i = 0; i < count; ++i) all[i] = i;
    return all;
}

}  // namespace

Outcome solve_with(const Plan& plan, const Expansion& expansion, const std::vector<Condition>& kept,
                   const Effort& effort) {
    const Relaxations relaxations(plan, expansion);
    Explainer::Set set;
    for (std::size_t i = 0; i < relaxations.conditions().size(); ++i)
        if (std::find(kept.begin(), kept.end(), relaxations.conditions()[i]) != kept.end()) set.push_back(i);
    return Explainer(relaxations, effort).solve_with(set);
}

WhyNot why_not(const Plan& plan, const Expansion& expansion, const Effort& effort) {
    const Relaxations relaxations(plan, expansion);
    const Explainer explainer(relaxations, effort);
    const Explainer::Set all = numbered(relaxations.conditions().size());
    WhyNot why;
    if (explainer.verdict(all) != Verdict::impossible) return why;

    Explainer::Set set = explainer.quick_explain({}, false, all);
    std::vector<bool> needed(all.size(), false);
    for (const std::size_t one : Explainer::Set(set)) {
        const Explainer::Set rest = Explainer::without(set, one);
        const Verdict verdict = explainer.verdict(rest);
        needed[one] = verdict == Verdict::possible;
        if (verdict == Verdict::impossible) set = rest;
    }

    why.proven = true;
    why.chain = explainer.solve_with(set).contradiction;
    for (const std::size_t one : set) {
        why.conditions.push_back(relaxations.conditions()[one]);
        why.needed.push_back(needed[one]);
    }
    return why;
}

}  // namespace oventide::ways
