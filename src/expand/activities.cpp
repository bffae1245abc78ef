#include <string>

#include "expand/arithmetic.hpp"
#include "expand/draft.hpp"
#include "expand/durations.hpp"
#include "expand/slug.hpp"
#include "oventide/limits.hpp"

namespace oventide::expansion {
namespace {

/// "tart-case", "bake"
struct Names {
    std::vector<std::string> components;
    std::vector<std::vector<std::string>> steps;
};

Names names(const Plan& plan) {
    Names result;
    std::vector<std::string_view> components;
    for (const Component& component : plan.components) {
        components.push_back(component.name);
        std::vector<std::string_view> steps;
        for (const Step& step : component.steps) steps.push_back(step.name);
        result.steps.push_back(distinct_slugs(steps));
    }
    result.components = distinct_slugs(components);
    return result;
}

/// "tart-case.1.bake.2"
std::string activity_name(const Names& names, const Batch& batch, StepIndex step, std::int32_t load) {
    std::string name = names.components[batch.component] + '.' + std::to_string(batch.number) + '.' +
                       names.steps[batch.component][step];
    return load == 0 ? name : name + '.' + std::to_string(load);
}

void add_step(Draft& draft, const Names& names, std::int32_t batch_index, StepIndex step_index) {
    const Batch& batch = draft.expansion.batches[batch_index];
    const Component& component = draft.component_of(batch);
    const Step& step = component.steps[step_index];
    const std::int64_t load_size = draft.load_sizes[batch.component][step_index];
    const std::int64_t batch_size = batch.share.to - batch.share.from;
    const auto loads = static_cast<std::int32_t>(load_count(load_size, batch_size));
    for (std::int32_t load = 0; load < loads; ++load) {
        const Portion share = load_portion(load_size, batch_size, load);
        const std::int32_t number = load_size == 0 ? 0 : load + 1;
        draft.expansion.tasks.push_back({batch_index, step_index, number, share});
        Activity activity;
        activity.name = activity_name(names, batch, step_index, number);
        activity.duration = draft.actual_duration(activity.name)
                                .value_or(minutes_taken(draft.plan, component, step, share.to - share.from));
        activity.stretchable = step.keeps.has_value();
        activity.keep = step.keeps ? to_time(*step.keeps) : 0;
        draft.expansion.project.activities.push_back(std::move(activity));
    }
}

void give_keep_promises(Draft& draft) {
    for (std::size_t index = 0; index < draft.plan.components.size(); ++index) {
        const auto component = static_cast<ComponentIndex>(index);
        if (!draft.made(component)) continue;
        const auto steps = static_cast<StepIndex>(draft.plan.components[index].steps.size());
        for (StepIndex step = 0; step < steps; ++step) {
            if (!draft.plan.components[index].steps[step].keeps) continue;
            const PromiseId promise = draft.promises.step_keeps(component, step);
            for (std::int32_t batch = draft.first_batch[index]; batch < draft.first_batch[index + 1]; ++batch) {
                const ActivityRange range = draft.activities(batch, step);
                for (ActivityId id = range.first; id < range.end; ++id)
                    draft.expansion.project.activities[id].keep_promise = promise;
            }
        }
    }
}

/// One error a component says enough.
void check_durations(Draft& draft) {
    constexpr Time most = Limits::duration_days * 24 * 60;
    std::int32_t reported = -1;
    for (std::size_t id = 0; id < draft.expansion.tasks.size(); ++id) {
        const Task& task = draft.expansion.tasks[id];
        const ComponentIndex component = draft.expansion.batches[task.batch].component;
        if (draft.expansion.project.activities[id].duration <= most || component == reported) continue;
        reported = component;
        const Amount amount{draft.plan.components[component].makes.unit, task.share.to - task.share.from};
        draft.error(draft.plan.components[component].steps[task.step].place,
                    step_name(draft.plan, component, task.step) + " takes more than " +
                        std::to_string(Limits::duration_days) + " days for " + in_words(amount),
                    "check `takes` and `each`");
    }
}

}  // namespace

void add_activities(Draft& draft) {
    const Names all_names = names(draft.plan);
    for (std::size_t batch = 0; batch < draft.expansion.batches.size(); ++batch) {
        draft.first_slot.push_back(static_cast<std::int32_t>(draft.first_activity.size()));
        const auto steps = static_cast<StepIndex>(draft.component_of(draft.expansion.batches[batch]).steps.size());
        for (StepIndex step = 0; step < steps; ++step) {
            draft.first_activity.push_back(static_cast<ActivityId>(draft.expansion.tasks.size()));
            add_step(draft, all_names, static_cast<std::int32_t>(batch), step);
        }
    }
    draft.first_activity.push_back(static_cast<ActivityId>(draft.expansion.tasks.size()));
    give_keep_promises(draft);
    check_durations(draft);
}

}  // namespace oventide::expansion
