#include "support/expansion_text.hpp"

#include <doctest/doctest.h>

#include <algorithm>

#include "support/plan_text.hpp"

namespace oventide::test {
namespace {

using Lines = std::vector<std::string>;

std::string text(Portion portion) {
    return "[" + std::to_string(portion.from) + ", " + std::to_string(portion.to) + ")";
}

std::string text(const Plan& plan, const Batch& batch) {
    return plan.components[batch.component].name + ' ' + std::to_string(batch.number);
}

/// " + 5", " - 5", nothing for 0.
std::string signed_text(Time time) {
    if (time == 0) return "";
    return (time < 0 ? " - " : " + ") + std::to_string(std::abs(time));
}

std::string text(const Moment& moment) {
    return (moment.of == Moment::Of::start ? "start" : "end") + signed_text(moment.offset);
}

const std::string& name(const Expansion& expansion, ActivityId id) { return expansion.project.activities[id].name; }

std::string text(const Expansion& expansion, const Lag& lag) {
    return name(expansion, lag.from) + signed_text(lag.lag) + " <= " + name(expansion, lag.to);
}

std::string text(const Expansion& expansion, const Demand& demand) {
    std::string result = demand.amount == 1 ? "" : std::to_string(demand.amount) + ' ';
    for (const ResourceId choice : demand.choices)
        result += (choice == demand.choices.front() ? "" : "|") + expansion.project.resources[choice].name;
    result += " [" + text(demand.from) + ", " + text(demand.to) + ")";
    for (const ActivityId id : demand.held_until) result += " until " + name(expansion, id);
    for (const Stage& stage : demand.stages)
        result += ", " + expansion.project.settings[stage.setting].name + ' ' + std::to_string(stage.lasts);
    if (demand.sealed > 0) result += ", sealed " + std::to_string(demand.sealed);
    return result;
}

Lines sorted(Lines lines) {
    std::sort(lines.begin(), lines.end());
    return lines;
}

bool begins(std::string_view text, std::string_view prefix) { return text.substr(0, prefix.size()) == prefix; }

}  // namespace

Expansion expansion_of(const Plan& plan) {
    ExpandResult result = expand(plan);
    std::string wrong;
    for (const Diagnostic& diagnostic : result.diagnostics) wrong += diagnostic.message + '\n';
    INFO(wrong);
    REQUIRE(result.expansion.has_value());
    REQUIRE(malformed(result.expansion->project) == "");
    return std::move(*result.expansion);
}

Expansion expansion_of(std::string_view plan_text) { return expansion_of(plan_of(plan_text)); }

std::string refusal_of(std::string_view plan_text) { return refusal_of(plan_of(plan_text)); }

std::string refusal_of(const Plan& plan) {
    const ExpandResult result = expand(plan);
    CHECK(!result.expansion.has_value());
    std::string all;
    for (const Diagnostic& diagnostic : result.diagnostics) all += diagnostic.message + '\n';
    return all;
}

ActivityId activity_named(const Expansion& expansion, std::string_view wanted) {
    const auto& activities = expansion.project.activities;
    const auto found = std::find_if(activities.begin(), activities.end(),
                                    [&](const Activity& activity) { return activity.name == wanted; });
    INFO(std::string(wanted));
    REQUIRE(found != activities.end());
    return static_cast<ActivityId>(found - activities.begin());
}

const Activity& activity_of(const Expansion& expansion, std::string_view wanted) {
    return expansion.project.activities[activity_named(expansion, wanted)];
}

Lines batches_text(const Plan& plan, const Expansion& expansion, std::string_view component) {
    Lines lines;
    for (const Batch& batch : expansion.batches)
        if (plan.components[batch.component].name == component)
            lines.push_back(text(plan, batch) + ' ' + text(batch.share));
    return lines;
}

Lines food_text(const Plan& plan, const Expansion& expansion) {
    Lines lines;
    for (const FoodLink& food : expansion.food)
        lines.push_back(text(plan, expansion.batches[food.from]) + " -> " + text(plan, expansion.batches[food.to]) +
                        " / " + std::to_string(food.step) + ": " + std::to_string(food.amount) + " (" +
                        std::to_string(food.weight) + ")");
    return lines;
}

Lines tasks_text(const Expansion& expansion, std::string_view prefix) {
    Lines lines;
    for (std::size_t id = 0; id < expansion.tasks.size(); ++id) {
        const Activity& activity = expansion.project.activities[id];
        if (begins(activity.name, prefix))
            lines.push_back(activity.name + ' ' + text(expansion.tasks[id].share) + ' ' +
                            std::to_string(activity.duration));
    }
    return lines;
}

Lines lags_text(const Expansion& expansion) { return lags_text(expansion, ""); }

Lines lags_text(const Expansion& expansion, std::string_view prefix) {
    Lines lines;
    for (const Lag& lag : expansion.project.lags)
        if (begins(name(expansion, lag.from), prefix) || begins(name(expansion, lag.to), prefix))
            lines.push_back(text(expansion, lag));
    return sorted(lines);
}

Lines demands_text(const Expansion& expansion, std::string_view wanted) {
    Lines lines;
    for (const Demand& demand : activity_of(expansion, wanted).demands) lines.push_back(text(expansion, demand));
    return lines;
}

std::string capacity_text(const Expansion& expansion, std::string_view resource) {
    std::string result;
    for (const Resource& each : expansion.project.resources) {
        if (each.name != resource) continue;
        for (const CapacityStep& step : each.capacity)
            result += (result.empty() ? "" : " ") + std::to_string(step.from) + ':' + std::to_string(step.capacity);
    }
    return result;
}

Lines waiting_text(const Expansion& expansion) {
    Lines lines;
    for (const WaitLink& link : expansion.project.links)
        lines.push_back(name(expansion, link.maker) + " -> " +
                        (link.user < 0 ? '@' + std::to_string(link.time) : name(expansion, link.user)) + ' ' +
                        std::to_string(link.weight));
    return sorted(lines);
}

Lines users_text(const Expansion& expansion, std::string_view wanted) {
    Lines lines;
    for (const ActivityId user : activity_of(expansion, wanted).users) lines.push_back(name(expansion, user));
    return sorted(lines);
}

}  // namespace oventide::test
