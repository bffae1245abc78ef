#include "prove/guide.hpp"

#include <algorithm>

namespace oventide::prove {

ProjectGuide::ProjectGuide(const Model& model) : model_(model) {
    const std::size_t variables = static_cast<std::size_t>(model.engine().trail().sides()) / 2;
    remembered_.assign(variables, 0);
    known_.assign(variables, 0);
    decides_.assign(variables, 0);
    late_first_.assign(variables, 0);
    const Trail& trail = model.engine().trail();
    for (Variable x = 0; x < static_cast<Variable>(variables); ++x)
        decides_[x] = trail.lower(rising(x)) == 0 && trail.upper(rising(x)) == 1;
    for (ActivityId id = 0; id < static_cast<ActivityId>(model.project().activities.size()); ++id) {
        const Variable start = variable_of(model.start(id).side);
        decides_[start] = late_first_[start] = 1;
        for (const DemandTerms& terms : model.demands(id))
            for (const auto& chosen : terms.chosen)
                if (chosen) choices_.push_back({start, *chosen});
    }
    for (std::size_t goal = 0; goal < model.project().goals.size(); ++goal)
        if (const auto term = model.objective(static_cast<int>(goal)))
            late_first_[variable_of(term->side)] = term->side == falling(variable_of(term->side));
}

void ProjectGuide::remember(const Trail& trail) {
    for (Variable x = 0; x < static_cast<Variable>(remembered_.size()); ++x) {
        remembered_[x] = trail.lower(rising(x));
        known_[x] = decides_[x];
    }
}

void ProjectGuide::remember(const Schedule& schedule) {
    for (ActivityId id = 0; id < static_cast<ActivityId>(schedule.start.size()); ++id) {
        const Variable start = variable_of(model_.start(id).side);
        remembered_[start] = schedule.start[id];
        known_[start] = 1;
        const auto& demands = model_.project().activities[id].demands;
        for (std::size_t k = 0; k < demands.size(); ++k)
            for (std::size_t choice = 0; choice < demands[k].choices.size(); ++choice) {
                const auto& chosen = model_.demands(id)[k].chosen[choice];
                if (!chosen) continue;
                remembered_[variable_of(chosen->side)] = demands[k].choices[choice] == schedule.chosen[id][k];
                known_[variable_of(chosen->side)] = 1;
            }
    }
}

void ProjectGuide::keep_near(const Schedule& schedule) {
    remember(schedule);
    near_ = schedule.start;
}

/// Of the first activity that has its start and something left to choose.
std::optional<Literal> ProjectGuide::next_choice(const Trail& trail) const {
    std::optional<Choice> any;
    for (const Choice& choice : choices_) {
        if (any && choice.start != any->start) break;
        const Variable x = variable_of(choice.chosen.side);
        if (trail.fixed(x) || !trail.fixed(choice.start)) continue;
        if (near_.empty() || (known_[x] && remembered_[x] == 1)) return choice.chosen;
        if (!any) any = choice;
    }
    return any ? std::optional(any->chosen) : std::nullopt;
}

/// What has its start chooses; then the next has one.
std::optional<Literal> ProjectGuide::construct(const Trail& trail) {
    if (const auto choice = next_choice(trail)) return choice;
    return near_.empty() ? next_backwards(trail) : next_near(trail);
}

/// The activity that can start latest does so.
std::optional<Literal> ProjectGuide::next_backwards(const Trail& trail) const {
    ActivityId latest = -1;
    const auto later = [&](Term a, Term b) {
        return std::pair(trail.upper(a), trail.lower(a)) > std::pair(trail.upper(b), trail.lower(b));
    };
    for (ActivityId id = 0; id < static_cast<ActivityId>(model_.project().activities.size()); ++id) {
        const Term start = model_.start(id);
        if (trail.fixed(variable_of(start.side))) continue;
        if (latest < 0 || later(start, model_.start(latest))) latest = id;
    }
    if (latest < 0) return {};
    return at_least(model_.start(latest), trail.upper(model_.start(latest)));
}

/// The activity that comes first does so, as near as it can to its start there.
std::optional<Literal> ProjectGuide::next_near(const Trail& trail) const {
    ActivityId first = -1;
    Time when = 0;
    for (ActivityId id = 0; id < static_cast<ActivityId>(model_.project().activities.size()); ++id) {
        const Term start = model_.start(id);
        if (trail.fixed(variable_of(start.side))) continue;
        const Time at = std::clamp(near_[id], trail.lower(start), trail.upper(start));
        if (first >= 0 && at >= when) continue;
        first = id;
        when = at;
    }
    if (first < 0) return {};
    const Term start = model_.start(first);
    return when > trail.lower(start) ? at_least(start, when) : at_most(start, when);
}

Literal ProjectGuide::towards(const Trail& trail, Variable x, Time value) {
    if (value > trail.lower(rising(x))) return {rising(x), std::min(value, trail.upper(rising(x)))};
    return {falling(x), std::min(-value, -trail.lower(rising(x)))};
}

Literal ProjectGuide::split(const Trail& trail, Variable x) {
    if (x >= static_cast<Variable>(known_.size())) return towards(trail, x, trail.lower(rising(x)));  // added since
    if (known_[x]) return towards(trail, x, remembered_[x]);
    return towards(trail, x, late_first_[x] ? trail.upper(rising(x)) : trail.lower(rising(x)));
}

}  // namespace oventide::prove
