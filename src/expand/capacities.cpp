#include <algorithm>
#include <string>

#include "expand/draft.hpp"

namespace oventide::expansion {
namespace {

struct Checked {
    Draft& draft;
    ComponentIndex component;
    StepIndex index;
    const Step& step;
    std::string name() const { return step_name(draft.plan, component, index); }
};

void check_use(const Checked& checked, const Use& use) {
    const auto& equipment = checked.draft.plan.kitchen.equipment;
    std::int32_t most = 0;
    for (const EquipmentIndex choice : use.choices) {
        most = std::max(most, equipment[choice].capacity);
        if (equipment[choice].kind == EquipmentKind::oven)
            checked.draft.error(use.place,
                                checked.name() + " uses the oven " + equipment[choice].name + " like a shelf",
                                "write `oven = \"180 C\"` for what goes into an oven");
    }
    if (use.amount > most)
        checked.draft.error(use.place,
                            checked.name() + " wants " + std::to_string(use.amount) + " of " +
                                equipment[use.choices.front()].name + ", which has " + std::to_string(most),
                            "ask for at most " + std::to_string(most));
}

void check_hands(const Checked& checked, const Hands& hands) {
    const auto crew =
        static_cast<std::int32_t>(hands.who.empty() ? checked.draft.plan.kitchen.crew.size() : hands.who.size());
    if (hands.people > crew)
        checked.draft.error(hands.place,
                            checked.name() + " wants the hands of " + std::to_string(hands.people) +
                                ", and there are only " + std::to_string(crew) + " who may do it",
                            "name more people in the kitchen's crew, or ask for fewer");
}

}  // namespace

void check_capacities(Draft& draft) {
    for (std::size_t i = 0; i < draft.plan.components.size(); ++i) {
        const auto component = static_cast<ComponentIndex>(i);
        if (!draft.made(component)) continue;
        for (std::size_t k = 0; k < draft.plan.components[i].steps.size(); ++k) {
            const Step& step = draft.plan.components[i].steps[k];
            const Checked checked{draft, component, static_cast<StepIndex>(k), step};
            for (const Use& use : step.uses) check_use(checked, use);
            for (const Hands& hands : step.hands) check_hands(checked, hands);
            if (step.wash && draft.plan.kitchen.crew.empty())
                draft.error(step.wash->place, checked.name() + " is followed by washing, and nobody is there to wash",
                            "name somebody in the kitchen's crew");
        }
    }
}

}  // namespace oventide::expansion
