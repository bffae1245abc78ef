#include "expand/draft.hpp"

#include <algorithm>

#include "expand/arithmetic.hpp"

namespace oventide::expansion {

bool Draft::failed() const {
    return std::any_of(diagnostics.begin(), diagnostics.end(),
                       [](const Diagnostic& diagnostic) { return diagnostic.severity == Severity::error; });
}

std::optional<Time> Draft::actual_duration(const std::string& name) const {
    if (actual == nullptr) return std::nullopt;
    const auto known = actual->durations.find(name);
    if (known == actual->durations.end()) return std::nullopt;
    return known->second;
}

std::vector<Actual::Stretched> Draft::stretched(const std::string& name) const {
    if (actual == nullptr) return {};
    const auto known = actual->stretched.find(name);
    return known == actual->stretched.end() ? std::vector<Actual::Stretched>{} : known->second;
}

const Serving& Draft::serving(std::int32_t batch) const {
    const ComponentIndex component = expansion.batches[batch].component;
    return queues[component].batches[batch - first_batch[component]];
}

ActivityRange Draft::activities(std::int32_t batch, StepIndex step) const {
    const std::int32_t slot = first_slot[batch] + step;
    return {first_activity[slot], first_activity[slot + 1]};
}

ActivityRange Draft::last_activities(std::int32_t batch) const {
    return activities(batch, static_cast<StepIndex>(component_of(expansion.batches[batch]).steps.size()) - 1);
}

Time Draft::project_time(Instant at) const { return to_time(at - plan.from); }

void Draft::error(const Place& place, std::string message, std::string suggestion) {
    diagnostics.push_back({Severity::error, place, std::move(message), std::move(suggestion), {}});
}

}  // namespace oventide::expansion
