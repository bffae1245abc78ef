#include "prove/state_model.hpp"

#include <algorithm>

#include "project/attendance.hpp"

namespace oventide::prove {

StateModel::StateModel(Model& model, ResourceId id)
    : model_(model),
      project_(model.project_),
      id_(id),
      rules_(model.project_.resources[id].state),
      origin_(Model::code(Origin::Of::resource, id)) {
    for (const auto& row : rules_.transition)
        for (const Time time : row) longest_transition_ = std::max(longest_transition_, time);
}

const Demand& StateModel::demand(const Claim& claim) const {
    return project_.activities[claim.activity].demands[claim.demand];
}

namespace {

/// The interval's place is told by the start alone.
bool rigid(Term start, const DemandTerms& terms) {
    return terms.from.side == start.side && terms.to.side == start.side;
}

Time programme_length(const Demand& demand) {
    Time length = 0;
    for (const Stage& stage : demand.stages) length += stage.lasts;
    return length;
}

std::vector<Literal> joined(std::vector<Literal> a, const std::vector<Literal>& b) {
    a.insert(a.end(), b.begin(), b.end());
    return a;
}

}  // namespace

void StateModel::add() {
    const std::vector<Claim> claims = model_.claims_on(id_);
    std::vector<Claim> visits;
    for (const Claim& claim : claims)
        if (!demand(claim).stages.empty()) visits.push_back(claim);
    for (auto a = visits.begin(); a != visits.end(); ++a)
        for (auto b = a + 1; b != visits.end(); ++b) add_pair(*a, *b);
    for (const Claim& visit : visits) add_loose_ends(visit, visits);
    for (const Claim& claim : claims)
        if (demand(claim).sealed > 0) add_seals(claim, claims);
    if (rules_.startup.empty()) return;
    warm_since_ = warm_since();
    for (std::size_t i = 0; i < visits.size(); ++i) add_start_up(i, visits);
}

// -------------------------------------------------------------------------------------------- two visits

std::vector<StateModel::Stretch> StateModel::stretches(const Claim& visit) const {
    const Term start = model_.start_[visit.activity];
    const DemandTerms& terms = model_.terms(visit);
    std::vector<Stretch> stretches;
    Time at = 0;
    if (rigid(start, terms) && terms.from.offset < 0) stretches.push_back({terms.from.offset, 0, -1});
    for (const Stage& stage : demand(visit).stages) {
        if (stage.lasts > 0) stretches.push_back({at, at + stage.lasts, stage.setting});
        at += stage.lasts;
    }
    if (rigid(start, terms) && terms.to.offset > at) stretches.push_back({at, terms.to.offset, -1});
    return stretches;
}

bool StateModel::compatible(const std::vector<Stretch>& a, const std::vector<Stretch>& b, Time apart) const {
    for (const Stretch& one : a)
        for (const Stretch& other : b) {
            const bool overlap = one.from < other.to + apart && other.from + apart < one.to;
            if (!overlap) continue;
            if (one.setting != other.setting) return false;
            if (one.setting >= 0 && project_.settings[one.setting].exclusive) return false;
        }
    return true;
}

/// The next visit starts long enough after each stage that has ended by then.
bool StateModel::far_enough(const std::vector<Stretch>& earlier, SettingId next, Time apart) const {
    return std::all_of(earlier.begin(), earlier.end(), [&](const Stretch& stretch) {
        return stretch.setting < 0 || stretch.to > apart ||
               apart - stretch.to >= rules_.transition[stretch.setting][next];
    });
}

bool StateModel::sealed_off(const Claim& sealer, const Claim& other, Time apart) const {
    const Time sealed = demand(sealer).sealed;
    const DemandTerms& terms = model_.terms(other);
    const auto inside = [&](Time moment) { return moment > 0 && moment < sealed; };
    return inside(apart + terms.from.offset) || inside(apart + terms.to.offset);
}

/// Whether two visits may be so far apart depends on nothing else: the forbidden distances are gaps.
void StateModel::add_pair(const Claim& a, const Claim& b) {
    const auto of_a = stretches(a);
    const auto of_b = stretches(b);
    const bool both_rigid =
        rigid(model_.start_[a.activity], model_.terms(a)) && rigid(model_.start_[b.activity], model_.terms(b));
    const auto allowed = [&](Time apart) {
        if (!compatible(of_a, of_b, apart) || !far_enough(of_a, first_setting(b), apart) ||
            !far_enough(of_b, first_setting(a), -apart))
            return false;
        return !both_rigid || a.activity == b.activity || (!sealed_off(a, b, apart) && !sealed_off(b, a, -apart));
    };
    const auto when = joined(model_.conditions(a), model_.conditions(b));
    if (a.activity == b.activity) {
        std::vector<Literal> clause;
        for (const Literal literal : when) clause.push_back(~literal);
        if (!allowed(0)) model_.engine_.add_clause(std::move(clause), origin_);
        return;
    }
    const auto reach = [&](const std::vector<Stretch>& visit, const Claim& claim) {
        Time furthest = demand(claim).sealed;
        for (const Stretch& stretch : visit) furthest = std::max({furthest, stretch.to, -stretch.from});
        return furthest;
    };
    const Time span = reach(of_a, a) + reach(of_b, b) + longest_transition_;
    for (Time apart = -span; apart <= span; ++apart) {
        if (allowed(apart)) continue;
        const Time low = apart - 1;
        while (apart <= span && !allowed(apart)) ++apart;
        model_.forbid_between(model_.start_[a.activity], model_.start_[b.activity], low, apart, when, origin_);
    }
}

/// A visit that is there before or after its programme, for as long as others decide, shares that time with no
/// programme.
void StateModel::add_loose_ends(const Claim& visit, const std::vector<Claim>& visits) {
    const Term start = model_.start_[visit.activity];
    const DemandTerms& terms = model_.terms(visit);
    if (rigid(start, terms)) return;
    const Term programme_end = start + programme_length(demand(visit));
    for (const Claim& other : visits) {
        if (other.activity == visit.activity) continue;
        const auto when = joined(model_.conditions(visit), model_.conditions(other));
        const Term begin = model_.start_[other.activity];
        const Term end = begin + programme_length(demand(other));
        for (const auto& [from, to] : {std::pair(terms.from, start), std::pair(programme_end, terms.to)})
            model_.add_alternatives(when, {{to, from}, {end, from}, {to, begin}}, origin_);
    }
}

void StateModel::add_seals(const Claim& sealer, const std::vector<Claim>& claims) {
    const Term start = model_.start_[sealer.activity];
    for (const Claim& other : claims) {
        if (other.activity == sealer.activity) continue;
        const DemandTerms& terms = model_.terms(other);
        const bool told_by_distance = !demand(sealer).stages.empty() && !demand(other).stages.empty() &&
                                      rigid(start, model_.terms(sealer)) && rigid(model_.start_[other.activity], terms);
        if (told_by_distance) continue;
        const auto when = joined(model_.conditions(sealer), model_.conditions(other));
        for (const Term moment : {terms.from, terms.to})
            model_.forbid_between(start, moment, 0, demand(sealer).sealed, when, origin_);
    }
}

// ---------------------------------------------------------------------------------------------- start-ups

/// By minute of a start: when the last visit before must have ended, at the earliest, for nobody to have been away
/// for too long since.
std::shared_ptr<const StepFunction::Table> StateModel::warm_since() const {
    auto table = std::make_shared<StepFunction::Table>();
    Time since = 0;
    for (Time start = 0; start <= project_.horizon; ++start) {
        while (left_alone(project_, since, start)) ++since;
        table->push_back(since);
    }
    return table;
}

/// A visit finds the resource warm because of some visit before it, or it is a cold start with all that this needs.
/// That a visit may be called cold though it is warm does no harm: it only asks for more.
void StateModel::add_start_up(std::size_t which, const std::vector<Claim>& visits) {
    const Claim& visit = visits[which];
    const Term start = model_.start_[visit.activity];
    const Time heating = rules_.startup[first_setting(visit)];
    const Term switched_on = start + -heating;
    Engine& engine = model_.engine_;
    const Literal cold = model_.add_literal();
    std::vector<Literal> warm_or_cold{cold};
    for (const Literal condition : model_.conditions(visit)) {
        warm_or_cold.push_back(~condition);
        engine.add_clause({~cold, condition}, origin_);
    }
    for (const Claim& other : visits) {
        if (other.activity == visit.activity) continue;
        const Term before = model_.start_[other.activity];
        const Term end = model_.terms(other).to;
        auto when = model_.conditions(other);
        when.push_back(cold);
        model_.add_alternatives(when, {{start, before}, {end, switched_on}}, origin_);
        const Time apart = model_.distance(start, before);
        if ((apart != Distances::kNone && apart >= 0) || model_.always_in_order(start, before)) continue;
        const Literal warm = model_.add_literal();
        warm_or_cold.push_back(warm);
        for (const Literal condition : model_.conditions(other)) engine.add_clause({~warm, condition}, origin_);
        engine.add_difference(before, start, 1, warm, origin_);
        model_.add_rule(std::make_unique<StepFunction>(warm, start, end, warm_since_), origin_);
    }
    engine.add_clause(std::move(warm_or_cold), origin_);
    engine.add_difference(model_.zero_, start, heating, cold, origin_);
    if (!rules_.self_starting) forbid_cold_starts(start, heating, cold);
    model_.cold_starts_.push_back({id_, switched_on, cold});
}

/// Somebody is there to switch it on, and nobody stays away for too long until it is hot.
void StateModel::forbid_cold_starts(Term start, Time heating, Literal cold) {
    const auto possible = [&](Time at) {
        const Time on = at - heating;
        return on >= 0 && attended(project_, on) && !left_alone(project_, on, at);
    };
    for (Time at = 0; at <= project_.horizon; ++at) {
        if (possible(at)) continue;
        const Time first = at;
        while (at <= project_.horizon && !possible(at)) ++at;
        model_.engine_.add_clause({~cold, at_most(start, first - 1), at_least(start, at)}, origin_);
    }
}

}  // namespace oventide::prove
