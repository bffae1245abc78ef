#pragma once
/// Where the search for a project's schedule looks first: everything as late as possible, then near the best
/// schedule known (solution-guided search: Beck 2007).

#include <optional>
#include <vector>

#include "prove/model.hpp"

namespace oventide::prove {

class ProjectGuide : public Guide {
public:
    explicit ProjectGuide(const Model& model);

    /// From now on the search stays near the values on the trail.
    void remember(const Trail& trail);
    /// Or near a schedule from elsewhere.
    void remember(const Schedule& schedule);
    /// Likewise, and what is constructed is so by the time: each as near to its start there as it can be.
    void keep_near(const Schedule& schedule);

    std::optional<Literal> construct(const Trail& trail) override;
    Literal split(const Trail& trail, Variable x) override;

private:
    std::optional<Literal> next_choice(const Trail& trail) const;
    std::optional<Literal> next_backwards(const Trail& trail) const;
    std::optional<Literal> next_near(const Trail& trail) const;
    static Literal towards(const Trail& trail, Variable x, Time value);

    const Model& model_;
    std::vector<Time> remembered_;  ///< by variable
    std::vector<char> known_;       ///< by variable: there is something to remember
    std::vector<char> decides_;     ///< by variable: a start, a choice, an order; the rest follows
    std::vector<char> late_first_;  ///< by variable
    /// Somewhere to do it: activities in order, and of each the literals in the order in which they are tried.
    struct Choice {
        Variable start;
        Literal chosen;
    };
    std::vector<Choice> choices_;
    std::vector<Time> near_;  ///< by ActivityId; empty: nothing to keep near to
};

}  // namespace oventide::prove
