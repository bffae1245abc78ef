#include "replan/no_place.hpp"

#include <algorithm>

namespace oventide::replan {
namespace {

struct Load {
    ActivityId step;
    const Demand* demand;
    Span span;
};

/// What stands in one of them, while it does: in a fridge there is always another corner.
bool holds_few(EquipmentKind kind) {
    return kind == EquipmentKind::oven || kind == EquipmentKind::mixer || kind == EquipmentKind::hob;
}

class Places {
public:
    Places(const Plan& plan, const Expansion& expansion, const Situation& situation, const UsedBy& used)
        : plan_(plan), expansion_(expansion), situation_(situation), loads_(plan.kitchen.equipment.size()) {
        const auto count = static_cast<ActivityId>(situation.steps.size());
        for (ActivityId id = 0; id < count; ++id) {
            if (situation.steps[id].state == State::waiting) continue;
            for (const Demand& demand : expansion.project.activities[id].demands)
                if (const auto equipment = used(id, demand))
                    loads_[static_cast<std::size_t>(*equipment)].push_back({id, &demand, span(id, demand)});
        }
    }

    /// The first reason why the step cannot have begun there; absent where there was a place, or nothing is wanted.
    std::optional<Question> question(ActivityId id) const {
        for (const Demand& demand : expansion_.project.activities[id].demands) {
            std::optional<Question> found;
            const auto has_place = [&](ResourceId choice) {
                const auto equipment = expansion_.resources[choice].equipment;
                if (!equipment || !holds_few(plan_.kitchen.equipment[*equipment].kind)) return true;
                const auto question = question_at(id, demand, *equipment);
                if (question && !found) found = question;
                return !question;
            };
            if (std::ranges::none_of(demand.choices, has_place) && found) return found;
        }
        return std::nullopt;
    }

private:
    /// What runs on beyond its time is out by then, until the cook says otherwise.
    Span span(ActivityId id, const Demand& demand) const {
        const StepState& state = situation_.steps[id];
        const Instant end = state.state == State::running ? state.expected : state.ready;
        const auto moment = [&](const Moment& one) {
            return (one.of == Moment::Of::start ? state.start : end) + Minutes{one.offset};
        };
        Instant to = std::min(moment(demand.to), end);
        for (const ActivityId until : demand.held_until)
            if (situation_.steps[until].state != State::waiting) to = std::max(to, situation_.steps[until].start);
        return {moment(demand.from), to};
    }

    std::optional<Question> question_at(ActivityId id, const Demand& demand, EquipmentIndex equipment) const {
        const Span own = span(id, demand);
        std::int64_t taken = demand.amount;
        const Load* longest = nullptr;
        for (const Load& load : loads_[static_cast<std::size_t>(equipment)]) {
            if (load.step == id || own.from < load.span.from || load.span.to <= own.from) continue;
            taken += load.demand->amount;
            if (longest == nullptr || load.span.to > longest->span.to) longest = &load;
        }
        if (longest == nullptr) return std::nullopt;
        Question question;
        question.kind = Question::Kind::no_room;
        question.step = id;
        question.other = longest->step;
        question.at = own.from;
        question.expected = longest->span.to;
        question.equipment = equipment;
        if (taken > plan_.kitchen.equipment[equipment].capacity) return question;
        const auto heat = heat_in(*longest, own.from);
        if (demand.stages.empty() || !heat) return std::nullopt;
        const auto wanted = expansion_.temperatures[demand.stages.front().setting];
        if (!wanted || *wanted == *heat) return std::nullopt;
        question.kind = Question::Kind::other_heat;
        question.reading = *heat;
        question.wanted = *wanted;
        return question;
    }

    /// Absent where it dries in what heat is left.
    std::optional<MilliCelsius> heat_in(const Load& load, Instant at) const {
        if (load.demand->stages.empty()) return std::nullopt;
        Instant until = load.span.from;
        for (const Stage& stage : load.demand->stages) {
            until += Minutes{stage.lasts};
            if (at < until) return expansion_.temperatures[stage.setting];
        }
        return expansion_.temperatures[load.demand->stages.back().setting];
    }

    const Plan& plan_;
    const Expansion& expansion_;
    const Situation& situation_;
    std::vector<std::vector<Load>> loads_;  ///< by equipment
};

}  // namespace

std::vector<Question> without_place(const Plan& plan, const Expansion& expansion, const Situation& situation,
                                    const UsedBy& used, const std::vector<std::optional<std::int32_t>>& entries) {
    const Places places(plan, expansion, situation, used);
    std::vector<Question> questions;
    for (std::size_t id = 0; id < entries.size(); ++id) {
        if (!entries[id]) continue;
        auto question = places.question(static_cast<ActivityId>(id));
        if (!question) continue;
        question->entry = entries[id];
        questions.push_back(*question);
    }
    return questions;
}

}  // namespace oventide::replan
