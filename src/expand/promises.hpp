#pragma once
/// Why each constraint is there: promises in the cook's words, one for each thing that the plan says.

#include <string>
#include <vector>

#include "oventide/expand.hpp"

namespace oventide::expansion {

/// "2 days", "1 h 30 min", "0 min".
std::string in_words(Minutes minutes);
/// "24 pieces", "1.25 kg", "35 g".
std::string in_words(Amount amount);
/// "tart case / bake"
std::string step_name(const Plan& plan, ComponentIndex component, StepIndex step);

/// The promises of a project. Ids are given in the order in which they are made.
class PromiseBook {
public:
    explicit PromiseBook(const Plan& plan) : plan_(plan) {}

    PromiseId order(ComponentIndex component, StepIndex step, const After& after);
    PromiseId within(ComponentIndex component, StepIndex step, const After& after);
    PromiseId drawn_order(ComponentIndex component, StepIndex step, const Draw& draw);
    PromiseId drawn_within(ComponentIndex component, StepIndex step, const Draw& draw);
    PromiseId step_keeps(ComponentIndex component, StepIndex step);
    PromiseId component_keeps(ComponentIndex component);
    PromiseId kept_until_pickup(ComponentIndex component);
    PromiseId pickup(std::int32_t order);
    PromiseId safety(ComponentIndex component, StepIndex step, Minutes limit);
    PromiseId batch_order(ComponentIndex component);
    PromiseId load_order(ComponentIndex component, StepIndex step);

    std::vector<Promise> take() { return std::move(promises_); }

private:
    PromiseId add(Promise promise);
    PromiseId add_after(Promise::Kind kind, std::string text, ComponentIndex component, StepIndex step,
                        const After& after);
    PromiseId add_draw(Promise::Kind kind, std::string text, ComponentIndex component, StepIndex step,
                       const Draw& draw);

    const Plan& plan_;
    std::vector<Promise> promises_;
};

}  // namespace oventide::expansion
