#include "expand/calendars.hpp"

#include <algorithm>

#include "expand/arithmetic.hpp"

namespace oventide::expansion {
namespace {

/// Spans as project time within [0, horizon], sorted, merged where they touch, none empty.
std::vector<Interval> intervals(const Plan& plan, std::vector<Span> spans, Time horizon) {
    std::sort(spans.begin(), spans.end(), [](const Span& a, const Span& b) { return a.from < b.from; });
    std::vector<Interval> result;
    for (const Span& span : spans) {
        const Time from = std::clamp(to_time(span.from - plan.from), 0, horizon);
        const Time to = std::clamp(to_time(span.to - plan.from), 0, horizon);
        if (from >= to) continue;
        if (!result.empty() && from <= result.back().to)
            result.back().to = std::max(result.back().to, to);
        else
            result.push_back({from, to});
    }
    return result;
}

/// `inside` in the intervals, `outside` elsewhere.
std::vector<CapacityStep> calendar(const std::vector<Interval>& intervals, std::int32_t inside, std::int32_t outside) {
    std::vector<CapacityStep> steps;
    if (intervals.empty() || intervals.front().from > 0) steps.push_back({0, outside});
    for (const Interval& interval : intervals) {
        steps.push_back({interval.from, inside});
        steps.push_back({interval.to, outside});
    }
    return steps;
}

}  // namespace

ResourceId resource_of_equipment(EquipmentIndex equipment) { return equipment; }

ResourceId resource_of_person(const Plan& plan, PersonIndex person) {
    return static_cast<ResourceId>(plan.kitchen.equipment.size()) + person;
}

std::vector<Resource> resources(const Plan& plan, Time horizon) {
    std::vector<Resource> result;
    for (const Equipment& equipment : plan.kitchen.equipment) {
        Resource resource;
        resource.name = equipment.name;
        resource.capacity = calendar(intervals(plan, equipment.closed, horizon), 0, equipment.capacity);
        resource.has_state = equipment.kind == EquipmentKind::oven;
        result.push_back(std::move(resource));
    }
    for (const Person& person : plan.kitchen.crew) {
        Resource resource;
        resource.name = person.name;
        resource.capacity = calendar(intervals(plan, person.hours, horizon), 1, 0);
        resource.wakes = true;
        result.push_back(std::move(resource));
    }
    return result;
}

std::vector<ResourceInfo> resource_infos(const Plan& plan) {
    std::vector<ResourceInfo> infos(plan.kitchen.equipment.size() + plan.kitchen.crew.size());
    for (std::size_t i = 0; i < plan.kitchen.equipment.size(); ++i) {
        const auto equipment = static_cast<EquipmentIndex>(i);
        infos[resource_of_equipment(equipment)].equipment = equipment;
    }
    for (std::size_t i = 0; i < plan.kitchen.crew.size(); ++i) {
        const auto person = static_cast<PersonIndex>(i);
        infos[resource_of_person(plan, person)].person = person;
    }
    return infos;
}

std::vector<Interval> attended(const Plan& plan, Time horizon) {
    std::vector<Span> hours;
    for (const Person& person : plan.kitchen.crew) hours.insert(hours.end(), person.hours.begin(), person.hours.end());
    return intervals(plan, std::move(hours), horizon);
}

}  // namespace oventide::expansion
