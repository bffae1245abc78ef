#include "oventide/expand.hpp"

#include <algorithm>
#include <string>

#include "expand/arithmetic.hpp"
#include "expand/calendars.hpp"
#include "expand/draft.hpp"
#include "oventide/limits.hpp"

namespace oventide {
namespace expansion {
namespace {

Minutes reach_past_end(const Hands& hands) { return hands.lasts ? hands.from + *hands.lasts : Minutes{0}; }

/// How long after an end somebody or something can still be busy.
Minutes longest_reach_past_end(const Plan& plan) {
    Minutes longest{0};
    for (const Component& component : plan.components)
        for (const Step& step : component.steps) {
            if (step.wash) longest = std::max(longest, step.wash->takes);
            for (const Use& use : step.uses) longest = std::max(longest, use.part.past_end);
            for (const Hands& hands : step.hands) longest = std::max(longest, reach_past_end(hands));
        }
    return longest;
}

/// Nothing starts before `from` or ends after the last pickup; washing may take a little longer.
void set_horizon(Draft& draft) {
    const Plan& plan = draft.plan;
    Instant last = plan.from;
    for (const Order& order : plan.orders) {
        last = std::max(last, order.pickup);
        if (order.pickup - plan.from > std::chrono::days{Limits::horizon_days})
            draft.error(order.place,
                        "the pickup of " + order.name + " is more than " + std::to_string(Limits::horizon_days) +
                            " days after the plan's beginning",
                        "give a later `from`");
    }
    draft.horizon = to_time(last - plan.from + longest_reach_past_end(plan));
    if (draft.actual != nullptr) draft.horizon += to_time(draft.actual->longer);
}

std::vector<Goal> goals(const Plan& plan) {
    std::vector<Goal> result;
    for (const Aim aim : plan.aim) {
        switch (aim) {
            case Aim::freshness:
                result.push_back(Goal::overrun);
                break;
            case Aim::alarm:
                result.push_back(Goal::alarm);
                break;
            case Aim::waiting:
                result.push_back(Goal::waiting);
                break;
        }
    }
    return result;
}

void share_out_batches(Draft& draft) {
    for (const Component& component : draft.plan.components)
        draft.load_sizes.push_back(load_sizes(draft.plan, component));
    const Plan& announced = draft.actual != nullptr ? *draft.actual->announced : draft.plan;
    draft.queues = share_out(announced, draft.load_sizes, draft.diagnostics);
}

void add_kitchen(Draft& draft) {
    Expansion& expansion = draft.expansion;
    expansion.origin = draft.plan.from;
    expansion.resources = resource_infos(draft.plan);
    expansion.project.horizon = draft.horizon;
    expansion.project.resources = resources(draft.plan, draft.horizon);
    expansion.project.attended = attended(draft.plan, draft.horizon);
    expansion.project.goals = goals(draft.plan);
}

ExpandResult expand(const Plan& plan, const Actual* actual) {
    Draft draft(plan, actual);
    const auto refused = [&] { return ExpandResult{std::nullopt, std::move(draft.diagnostics)}; };
    set_horizon(draft);
    share_out_batches(draft);
    if (draft.queues.empty()) return refused();
    add_batches(draft);
    check_capacities(draft);
    add_activities(draft);
    if (draft.failed()) return refused();

    add_kitchen(draft);
    add_demands(draft);
    if (draft.failed()) return refused();
    add_links(draft);
    add_deadlines(draft);
    if (draft.failed()) return refused();
    draft.expansion.promises = draft.promises.take();
    return {std::move(draft.expansion), std::move(draft.diagnostics)};
}

}  // namespace
}  // namespace expansion

ExpandResult expand(const Plan& plan) { return expansion::expand(plan, nullptr); }

ExpandResult expand(const Plan& plan, const Actual& actual) { return expansion::expand(plan, &actual); }

Project without_margins(Plan plan) {
    for (Order& order : plan.orders) order.margin = Minutes{0};
    auto expanded = expand(plan);
    return expanded.expansion ? std::move(expanded.expansion->project) : Project{};
}

}  // namespace oventide
