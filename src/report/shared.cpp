#include "report/shared.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "oventide/safety.hpp"

namespace oventide::report {
namespace {

bool any_step(const Plan& plan, bool (*holds)(const Step&)) {
    return std::any_of(plan.components.begin(), plan.components.end(), [&](const Component& component) {
        return std::any_of(component.steps.begin(), component.steps.end(), holds);
    });
}

std::string goal_text(const GoalLine& goal, const Days& days) {
    const auto instant = [](std::int64_t minutes) { return Instant{Minutes{minutes}}; };
    switch (goal.aim) {
        case Aim::freshness:
            return fmt::format("freshness: {} beyond 'best within' in all; no timetable can have less than {}",
                               duration_text(Minutes{goal.value}), duration_text(Minutes{goal.best}));
        case Aim::alarm:
            return fmt::format("alarm clock {}; no timetable can have it later than {}", days.time(instant(goal.value)),
                               days.time_from(instant(goal.best), instant(goal.value)));
        case Aim::waiting:
            return fmt::format("food waits {} piece-minutes in all; no timetable can have less than {}",
                               grouped(goal.value), grouped(goal.best));
    }
    return "";
}

const char* aim_name(Aim aim) {
    switch (aim) {
        case Aim::freshness:
            return "freshness";
        case Aim::alarm:
            return "alarm clock";
        case Aim::waiting:
            return "waiting";
    }
    return "";
}

}  // namespace

Span span_of(const Subject& subject) {
    Span span{subject.plan.from, subject.plan.from};
    for (const Order& order : subject.plan.orders) span.to = std::max(span.to, order.pickup);
    if (subject.timetable == nullptr || subject.timetable->rows.empty()) return span;
    span.from = span.to;
    for (const Row& row : subject.timetable->rows) {
        span.from = std::min(span.from, row.start);
        span.to = std::max(span.to, row.end);
    }
    for (const OvenEvent& event : subject.timetable->oven) span.from = std::min(span.from, event.at);
    return span;
}

std::string distance_to_best(const Subject& subject, const Words&, const Days& days) {
    const auto& goals = subject.timetable->goals;
    const auto open = std::find_if(goals.begin(), goals.end(), [](const GoalLine& goal) { return !goal.proven; });
    if (subject.timetable->optimal || open == goals.end()) return "This timetable cannot be bettered.";
    std::string text = goal_text(*open, days) + ".";
    text.front() = static_cast<char>(std::toupper(static_cast<unsigned char>(text.front())));
    std::vector<std::string> proven;
    for (auto goal = goals.begin(); goal != open; ++goal) proven.emplace_back(aim_name(goal->aim));
    if (!proven.empty()) text += " Cannot be bettered: " + joined(proven) + ".";
    return text;
}

void add_cautions(const Subject& subject, const Words& words, Page& page) {
    const bool cooked = any_step(subject.plan, [](const Step& step) { return step.cooked; });
    const bool baked = any_step(subject.plan, [](const Step& step) { return step.bake.has_value(); });
    page.heading("Mind");
    if (const auto rule = find_safety_rule(subject.plan.safety.rule)) {
        page.paragraph(fmt::format("Food: {} [{}] Rule '{}', {}.", words.name(rule->text), words.name(rule->source),
                                   words.name(rule->key),
                                   cooked ? "applied to the steps marked as cooked"
                                          : "with nothing to apply to: no step is marked as cooked"),
                       2, 2);
    } else {
        page.paragraph("Food: no food-safety rule was applied, as the plan asks.", 2, 2);
    }
    add_chills(subject, words, page);
    page.paragraph("Local rules and a trained person decide what may be served; this page does not.", 4);
    if (baked) page.paragraph("Burns: ovens and trays are hot when loads change.", 2, 2);
    page.paragraph(subject.plan.ingredients.empty()
                       ? "Allergens: the plan does not say what is in the food; tell who collects it."
                       : "Allergens: 'oventide allergens' lists what the plan declares, and what is not stated.",
                   2, 2);
}

std::vector<OvenTurn> oven_turns(const Timetable& timetable) {
    std::vector<OvenTurn> turns;
    for (const OvenEvent& event : timetable.oven) {
        if (event.kind != OvenEvent::Kind::hot) {
            turns.push_back({event, std::nullopt});
            continue;
        }
        const auto from = std::find_if(turns.rbegin(), turns.rend(),
                                       [&](const OvenTurn& turn) { return turn.event.oven == event.oven; });
        if (from != turns.rend() && !from->hot) from->hot = event.at;
    }
    return turns;
}

std::string oven_turn_text(const OvenTurn& turn, const Subject& subject, const Days& days) {
    const OvenEvent& event = turn.event;
    const bool timer = subject.plan.kitchen.equipment[event.oven].timer;
    const std::string at = event.temperature ? temperature_text(*event.temperature) : "";
    const std::string hot = turn.hot ? ", ready " + days.time_from(*turn.hot, event.at) : "";
    switch (event.kind) {
        case OvenEvent::Kind::on:
            return (timer ? "comes on by its timer, " : "switch on, ") + at + hot;
        case OvenEvent::Kind::set:
            return "turn to " + at + hot;
        case OvenEvent::Kind::off:
            return "switch off";
        case OvenEvent::Kind::hot:
            return "ready at " + at;
    }
    return "";
}

std::string equipment_text(const Row& row, Span during, const Words& words, const Days& days, bool until) {
    std::vector<std::string> parts;
    for (const EquipmentUse& use : row.equipment) {
        if (use.span.from >= during.to || use.span.to <= during.from) continue;
        std::string text = words.equipment(use.equipment);
        if (use.amount > 1) text += fmt::format(" x{}", use.amount);
        const bool washed = std::any_of(row.hands.begin(), row.hands.end(), [&](const HandsUse& hands) {
            return hands.washing && hands.span.to == use.span.to;
        });
        if (until && use.span.to > during.to && !washed) text += " to " + days.time_from(use.span.to, row.start);
        parts.push_back(std::move(text));
    }
    return joined(parts);
}

std::string joined(const std::vector<std::string>& parts, const char* between) {
    std::vector<std::string> seen;
    std::string text;
    for (const std::string& part : parts) {
        if (part.empty() || std::find(seen.begin(), seen.end(), part) != seen.end()) continue;
        if (!text.empty()) text += between;
        text += part;
        seen.push_back(part);
    }
    return text;
}

}  // namespace oventide::report
