#include "prove/model.hpp"

#include <algorithm>
#include <map>

#include "prove/cumulative.hpp"
#include "prove/goal_model.hpp"
#include "prove/rules.hpp"
#include "prove/state_model.hpp"

namespace oventide::prove {

namespace {

constexpr std::int32_t kDistancesUpTo = 400;  // activities; the table of longest paths grows with their square
constexpr std::int64_t kOrdersUpTo = 20'000;  // pairs a resource; beyond that the timetable rule does without

template <class T>
std::int32_t count(const std::vector<T>& things) {
    return static_cast<std::int32_t>(things.size());
}

}  // namespace

Model::Model(const Project& project) : project_(project) {
    zero_ = {rising(engine_.add_variable(0, 0)), 0};
    add_starts();
    add_lags();
    if (!engine_.propagate_root()) return;
    add_ends();
    add_demands();
    add_capacities();
    for (ResourceId id = 0; id < count(project.resources); ++id)
        if (project.resources[id].has_state) StateModel(*this, id).add();
    add_orders();
    decide_gaps();
    GoalModel(*this).add();
}

// ---------------------------------------------------------------------------------------- times and lags

void Model::add_starts() {
    for (ActivityId id = 0; id < count(project_.activities); ++id) {
        const Activity& activity = project_.activities[id];
        const Time latest = std::min(activity.due, project_.horizon) - activity.duration;
        const Time earliest = std::max(0, activity.release);
        start_.push_back({rising(engine_.add_variable(earliest, latest)), 0});
    }
}

void Model::add_lags() {
    if (count(project_.activities) <= kDistancesUpTo) distances_.emplace(count(project_.activities));
    for (std::int32_t i = 0; i < count(project_.lags); ++i) {
        const Lag& lag = project_.lags[i];
        engine_.add_difference(start_[lag.from], start_[lag.to], lag.lag, {}, code(Origin::Of::lag, i));
        if (distances_ && !distances_->add(lag.from, lag.to, lag.lag)) distances_.reset();  // the engine will see
    }
}

Term Model::add_maximum(std::vector<Term> terms, std::int32_t origin) {
    const Trail& trail = engine_.trail();
    Time least = trail.lower(terms.front());
    Time most = trail.upper(terms.front());
    for (const Term term : terms) {
        least = std::max(least, trail.lower(term));
        most = std::max(most, trail.upper(term));
    }
    const Term result{rising(engine_.add_variable(least, most)), 0};
    for (const Term term : terms) engine_.add_difference(term, result, 0, {}, origin);
    add_rule(std::make_unique<Maximum>(result, std::move(terms)), origin);
    return result;
}

void Model::add_ends() {
    for (ActivityId id = 0; id < count(project_.activities); ++id) {
        const Activity& activity = project_.activities[id];
        const Term ready = start_[id] + activity.duration;
        std::vector<Term> reasons{ready};
        if (activity.stretchable) {
            if (activity.held_until >= 0) reasons.push_back(zero_ + activity.held_until);
            for (const ActivityId user : activity.users) reasons.push_back(start_[user]);
        }
        const std::int32_t origin = code(Origin::Of::activity, id);
        const Time keep = std::min(activity.keep, project_.horizon);
        for (std::size_t i = 1; i < reasons.size(); ++i) {
            engine_.add_difference(reasons[i], ready, -keep, {}, origin);
            engine_.add_difference(reasons[i], zero_, -project_.horizon, {}, origin);
        }
        end_.push_back(reasons.size() == 1 ? ready : add_maximum(std::move(reasons), origin));
    }
}

// ------------------------------------------------------------------------------------- demands and choices

Term Model::moment(ActivityId id, const Moment& moment) const {
    return (moment.of == Moment::Of::start ? start_[id] : end_[id]) + moment.offset;
}

void Model::add_demands() {
    for (ActivityId id = 0; id < count(project_.activities); ++id) {
        std::vector<DemandTerms> all;
        for (const Demand& demand : project_.activities[id].demands) {
            DemandTerms terms;
            terms.from = moment(id, demand.from);
            std::vector<Term> tos{moment(id, demand.to)};
            for (const ActivityId user : demand.held_until) tos.push_back(start_[user]);
            terms.to = tos.size() == 1 ? tos.front() : add_maximum(std::move(tos), code(Origin::Of::activity, id));
            const Trail& trail = engine_.trail();
            if (terms.from.side == terms.to.side) {
                terms.shortest = terms.longest = terms.to.offset - terms.from.offset;
            } else {
                terms.shortest = trail.lower(terms.to) - trail.upper(terms.from);
                terms.longest = trail.upper(terms.to) - trail.lower(terms.from);
                // Its own end is no earlier than ready, whatever else holds it.
                if (demand.from.of == Moment::Of::start) {
                    const Time own = demand.to.of == Moment::Of::end ? project_.activities[id].duration : 0;
                    terms.shortest = std::max(terms.shortest, own + demand.to.offset - demand.from.offset);
                } else if (demand.to.of == Moment::Of::end) {
                    terms.shortest = std::max(terms.shortest, demand.to.offset - demand.from.offset);
                }
            }
            add_choices(id, static_cast<std::int32_t>(all.size()), terms);
            if (!terms.never_empty() && !terms.always_empty()) {
                terms.nonempty = add_literal();
                engine_.add_difference(terms.from, terms.to, 1, *terms.nonempty, code(Origin::Of::activity, id));
                engine_.add_difference(terms.to, terms.from, 0, ~*terms.nonempty, code(Origin::Of::activity, id));
            }
            all.push_back(std::move(terms));
        }
        demands_.push_back(std::move(all));
    }
}

void Model::add_choices(ActivityId id, std::int32_t index, DemandTerms& terms) {
    const Demand& demand = project_.activities[id].demands[index];
    if (demand.choices.size() == 1) {
        terms.chosen.emplace_back();
        return;
    }
    std::vector<Literal> any;
    for (std::size_t i = 0; i < demand.choices.size(); ++i) {
        const Literal chosen = add_literal();
        terms.chosen.emplace_back(chosen);
        for (const Literal other : any) engine_.add_clause({~other, ~chosen}, code(Origin::Of::activity, id));
        any.push_back(chosen);
    }
    engine_.add_clause(any, code(Origin::Of::activity, id));
}

std::vector<Model::Claim> Model::claims_on(ResourceId id) const {
    std::vector<Claim> claims;
    for (ActivityId activity = 0; activity < count(project_.activities); ++activity) {
        const auto& demands = project_.activities[activity].demands;
        for (std::int32_t k = 0; k < count(demands); ++k)
            for (std::size_t choice = 0; choice < demands[k].choices.size(); ++choice)
                if (demands[k].choices[choice] == id && !demands_[activity][k].always_empty()) {
                    auto chosen = demands_[activity][k].chosen[choice];
                    if (chosen && engine_.trail().fails(*chosen)) continue;
                    if (chosen && engine_.trail().holds(*chosen)) chosen.reset();
                    claims.push_back({activity, k, chosen});
                }
    }
    return claims;
}

std::vector<Literal> Model::conditions(const Claim& claim) const {
    std::vector<Literal> literals;
    if (claim.chosen) literals.push_back(*claim.chosen);
    if (terms(claim).nonempty) literals.push_back(*terms(claim).nonempty);
    return literals;
}

// --------------------------------------------------------------------------------------------- capacities

void Model::add_capacities() {
    for (ResourceId id = 0; id < count(project_.resources); ++id) add_capacity(id);
    add_pooled_capacities();
}

void Model::add_capacity(ResourceId id) {
    std::vector<Use> uses;
    for (const Claim& claim : claims_on(id)) {
        const std::int32_t amount = project_.activities[claim.activity].demands[claim.demand].amount;
        if (amount > 0) uses.push_back({terms(claim).from, terms(claim).to, amount, claim.chosen});
    }
    if (uses.empty()) return;
    add_rule(std::make_unique<Cumulative>(std::move(uses), project_.resources[id].capacity),
             code(Origin::Of::resource, id));
}

namespace {

/// What several resources have together.
std::vector<CapacityStep> pooled(const Project& project, const std::vector<ResourceId>& resources) {
    std::map<Time, std::int32_t> changes;
    for (const ResourceId id : resources) {
        std::int32_t before = 0;
        for (const CapacityStep& step : project.resources[id].capacity) {
            changes[step.from] += step.capacity - before;
            before = step.capacity;
        }
    }
    std::vector<CapacityStep> steps;
    std::int32_t capacity = 0;
    for (const auto& [from, change] : changes) steps.push_back({from, capacity += change});
    return steps;
}

}  // namespace

/// Whatever is chosen, demands that share a set of choices share the sum of their capacities. Nothing new at the
/// end, but it is seen before anything is chosen.
void Model::add_pooled_capacities() {
    std::map<std::vector<ResourceId>, std::vector<Use>> pools;
    const auto each_demand = [&](const auto& visit) {
        for (ActivityId id = 0; id < count(project_.activities); ++id)
            for (std::int32_t k = 0; k < count(project_.activities[id].demands); ++k) {
                auto choices = project_.activities[id].demands[k].choices;
                std::sort(choices.begin(), choices.end());
                visit(project_.activities[id].demands[k], demands_[id][k], choices);
            }
    };
    each_demand([&](const Demand&, const DemandTerms&, const std::vector<ResourceId>& choices) {
        if (choices.size() > 1) pools[choices];
    });
    each_demand([&](const Demand& demand, const DemandTerms& terms, const std::vector<ResourceId>& choices) {
        if (demand.amount <= 0 || terms.always_empty()) return;
        for (auto& [pool, uses] : pools)
            if (std::includes(pool.begin(), pool.end(), choices.begin(), choices.end()))
                uses.push_back({terms.from, terms.to, demand.amount, {}});
    });
    for (auto& [pool, uses] : pools) {
        if (uses.empty()) continue;
        add_rule(std::make_unique<Cumulative>(std::move(uses), pooled(project_, pool)),
                 code(Origin::Of::resource, pool.front()));
    }
}

/// Two demands that never fit side by side follow each other one way or the other.
void Model::add_orders() {
    for (ResourceId id = 0; id < count(project_.resources); ++id) {
        std::int64_t most = 0;
        for (const CapacityStep& step : project_.resources[id].capacity)
            most = std::max<std::int64_t>(most, step.capacity);
        auto claims = claims_on(id);
        std::erase_if(claims, [&](const Claim& claim) { return !terms(claim).never_empty(); });
        if (static_cast<std::int64_t>(claims.size()) * static_cast<std::int64_t>(claims.size()) > 2 * kOrdersUpTo)
            continue;
        const auto amount = [&](const Claim& claim) {
            return std::int64_t{project_.activities[claim.activity].demands[claim.demand].amount};
        };
        for (auto a = claims.begin(); a != claims.end(); ++a)
            for (auto b = a + 1; b != claims.end(); ++b) {
                if (a->activity == b->activity || amount(*a) + amount(*b) <= most) continue;
                // With a choice on both sides there would be many, which say little before both have chosen.
                if (a->chosen && b->chosen) continue;
                const Term& x = terms(*a).from;
                const Term& y = terms(*b).from;
                // Only intervals of a fixed length are told by the distance of their beginnings.
                if (terms(*a).to.side != x.side || terms(*b).to.side != y.side) continue;
                std::vector<Literal> when;
                if (a->chosen) when.push_back(*a->chosen);
                if (b->chosen) when.push_back(*b->chosen);
                forbid_between(x, y, -terms(*b).shortest, terms(*a).shortest, std::move(when),
                               code(Origin::Of::resource, id));
            }
    }
}

// --------------------------------------------------------------------------------------------------- gaps

void Model::forbid_between(Term x, Term y, Time low, Time high, std::vector<Literal> when, std::int32_t origin) {
    if (low + 1 >= high || always_in_order(x + high, y) || always_in_order(y + -low, x)) return;
    gaps_.push_back({x, y, low, high, std::move(when), origin});
}

bool Model::always_in_order(Term earlier, Term later) const {
    return engine_.trail().lower(later) >= engine_.trail().upper(earlier);
}

bool Model::never_in_order(Term earlier, Term later) const {
    return engine_.trail().upper(later) < engine_.trail().lower(earlier);
}

void Model::add_alternatives(const std::vector<Literal>& when, const std::vector<InOrder>& orders,
                             std::int32_t origin) {
    std::vector<Literal> clause;
    for (const Literal literal : when) clause.push_back(~literal);
    for (const InOrder& order : orders)
        if (always_in_order(order.earlier, order.later)) return;
    for (const InOrder& order : orders) {
        if (never_in_order(order.earlier, order.later)) continue;
        clause.push_back(add_literal());
        engine_.add_difference(order.earlier, order.later, 0, clause.back(), origin);
    }
    engine_.add_clause(std::move(clause), origin);
}

Time Model::distance(Term x, Term y) const {
    if (x.side == y.side) return y.offset - x.offset;
    const ActivityId from = activity_of(variable_of(x.side));
    const ActivityId to = activity_of(variable_of(y.side));
    if (!distances_ || from < 0 || to < 0) return Distances::kNone;
    const Time longest = distances_->longest(from, to);
    return longest == Distances::kNone ? longest : longest + y.offset - x.offset;
}

void Model::settle_gap(const Gap& gap, bool above) {
    const Term from = above ? gap.x : gap.y;
    const Term to = above ? gap.y : gap.x;
    const Time weight = above ? gap.high : -gap.low;
    if (!gap.when.empty()) {
        std::vector<Literal> clause;
        for (const Literal literal : gap.when) clause.push_back(~literal);
        if (gap.when.size() == 1) {
            engine_.add_difference(from, to, weight, gap.when.front(), gap.origin);
            return;
        }
        const Literal both = add_literal();
        clause.push_back(both);
        engine_.add_clause(std::move(clause), gap.origin);
        engine_.add_difference(from, to, weight, both, gap.origin);
        return;
    }
    engine_.add_difference(from, to, weight, {}, gap.origin);
    const ActivityId a = activity_of(variable_of(from.side));
    const ActivityId b = activity_of(variable_of(to.side));
    if (distances_ && a >= 0 && b >= 0 && !distances_->add(a, b, weight + from.offset - to.offset)) distances_.reset();
}

/// True: the distances known so far leave at most one way.
bool Model::decide_gap(const Gap& gap) {
    const Time forth = distance(gap.x, gap.y);
    const Time back = distance(gap.y, gap.x);
    const bool not_low = forth != Distances::kNone && forth > gap.low;
    const bool not_high = back != Distances::kNone && -back < gap.high;
    if (not_low && forth >= gap.high) return true;
    if (not_high && -back <= gap.low) return true;
    if (not_low && not_high) {
        std::vector<Literal> clause;
        for (const Literal literal : gap.when) clause.push_back(~literal);
        engine_.add_clause(std::move(clause), gap.origin);
        return true;
    }
    if (not_low || not_high) settle_gap(gap, not_low);
    return not_low || not_high;
}

void Model::emit_gap(const Gap& gap) {
    const Literal above = add_literal();
    Literal below = ~above;
    if (!gap.when.empty()) {
        below = add_literal();
        std::vector<Literal> clause{above, below};
        for (const Literal literal : gap.when) clause.push_back(~literal);
        engine_.add_clause(std::move(clause), gap.origin);
    }
    engine_.add_difference(gap.x, gap.y, gap.high, above, gap.origin);
    engine_.add_difference(gap.y, gap.x, -gap.low, below, gap.origin);
}

/// Of two gaps for one pair, one within the other, the wider says it all.
void Model::drop_contained_gaps() {
    const auto key = [](const Gap& gap) { return std::pair(gap.x.side, gap.y.side); };
    std::stable_sort(gaps_.begin(), gaps_.end(), [&](const Gap& a, const Gap& b) { return key(a) < key(b); });
    const auto contains = [](const Gap& wide, const Gap& narrow) {
        const Time shift = (narrow.y.offset - narrow.x.offset) - (wide.y.offset - wide.x.offset);
        return wide.when == narrow.when && wide.low <= narrow.low - shift && narrow.high - shift <= wide.high;
    };
    std::vector<Gap> kept;
    for (auto first = gaps_.begin(); first != gaps_.end();) {
        const auto last = std::find_if(first, gaps_.end(), [&](const Gap& gap) { return key(gap) != key(*first); });
        for (auto gap = first; gap != last; ++gap) {
            const bool superfluous = std::any_of(first, last, [&](const Gap& other) {
                return &other != &*gap && contains(other, *gap) && (!contains(*gap, other) || &other < &*gap);
            });
            if (!superfluous) kept.push_back(*gap);
        }
        first = last;
    }
    gaps_ = std::move(kept);
}

void Model::decide_gaps() {
    drop_contained_gaps();
    for (std::size_t before = gaps_.size() + 1; gaps_.size() < before;) {
        before = gaps_.size();
        std::erase_if(gaps_, [&](const Gap& gap) { return decide_gap(gap); });
    }
    for (const Gap& gap : gaps_) emit_gap(gap);
}

// ----------------------------------------------------------------------------------------------- solution

Schedule Model::read_schedule() const {
    const Trail& trail = engine_.trail();
    Schedule schedule;
    for (ActivityId id = 0; id < count(project_.activities); ++id) {
        schedule.start.push_back(trail.lower(start_[id]));
        std::vector<ResourceId> chosen;
        for (std::size_t k = 0; k < demands_[id].size(); ++k) {
            const auto& choices = demands_[id][k].chosen;
            const auto taken = std::find_if(choices.begin(), choices.end(), [&](const std::optional<Literal>& choice) {
                return !choice || trail.holds(*choice);
            });
            chosen.push_back(project_.activities[id].demands[k].choices[taken - choices.begin()]);
        }
        schedule.chosen.push_back(std::move(chosen));
    }
    complete(project_, schedule);
    return schedule;
}

}  // namespace oventide::prove
