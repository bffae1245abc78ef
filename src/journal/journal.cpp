#include "oventide/journal.hpp"

#include <algorithm>
#include <set>

namespace oventide::journal {
namespace {

/// The step that an event speaks of; empty for an event that speaks of none or of many.
struct StepOf {
    std::string_view operator()(const Started& e) const { return e.step; }
    std::string_view operator()(const Finished& e) const { return e.step; }
    std::string_view operator()(const WillEnd& e) const { return e.step; }
    std::string_view operator()(const Probe& e) const { return e.step; }
    std::string_view operator()(const SpreadOut& e) const { return e.step; }
    template <class Other>
    std::string_view operator()(const Other&) const {
        return {};
    }
};

}  // namespace

std::vector<const Entry*> Journal::standing() const {
    std::set<std::int32_t> taken_back;
    for (const Entry& entry : entries) {
        if (const auto* event = std::get_if<TakenBack>(&entry.event)) taken_back.insert(event->number);
    }
    std::vector<const Entry*> result;
    for (const Entry& entry : entries) {
        if (!std::holds_alternative<TakenBack>(entry.event) && !taken_back.contains(entry.number)) {
            result.push_back(&entry);
        }
    }
    return result;
}

const Published* Journal::published() const {
    const Published* last = nullptr;
    for (const Entry* entry : standing()) {
        if (const auto* event = std::get_if<Published>(&entry->event)) last = event;
    }
    return last;
}

const SpreadOut* last_spread(const Journal& journal, std::string_view step) {
    const SpreadOut* last = nullptr;
    for (const Entry* entry : journal.standing())
        if (const auto* spread = std::get_if<SpreadOut>(&entry->event);
            spread && spread->step == step && (last == nullptr || last->at <= spread->at))
            last = spread;
    return last;
}

std::vector<std::string> unmatched(const Journal& journal, const std::vector<std::string>& ids) {
    const std::set<std::string_view> known(ids.begin(), ids.end());
    std::set<std::string_view> seen;
    std::vector<std::string> result;
    const auto consider = [&](std::string_view id) {
        if (!id.empty() && !known.contains(id) && seen.insert(id).second) result.emplace_back(id);
    };
    for (const Entry* entry : journal.standing()) consider(std::visit(StepOf{}, entry->event));
    if (const Published* published = journal.published()) {
        for (const PublishedStep& step : published->steps) consider(step.id);
    }
    return result;
}

namespace {

/// Washing up is told by itself.
std::vector<std::string> who_works(const Plan& plan, const Row& row) {
    std::vector<HandsUse> hands = row.hands;
    std::erase_if(hands, [](const HandsUse& use) { return use.washing; });
    std::ranges::stable_sort(hands, {}, [](const HandsUse& use) { return use.span.from; });
    const bool one = std::ranges::all_of(hands, [&](const auto& use) { return use.person == hands.front().person; });
    if (one && !hands.empty()) hands.erase(hands.begin() + 1, hands.end());
    std::vector<std::string> names;
    for (const HandsUse& use : hands) names.push_back(plan.kitchen.crew[use.person].name);
    return names;
}

}  // namespace

Published publication(const Plan& plan, const Timetable& timetable, const std::string& fingerprint) {
    Published result{fingerprint, {}, {}, {}};
    for (const Row& row : timetable.rows) {
        PublishedStep step{row.id, row.start, row.ready, row.end, who_works(plan, row), {}};
        for (const EquipmentUse& use : row.equipment) {
            const std::string& name = plan.kitchen.equipment[use.equipment].name;
            if (std::ranges::find(step.uses, name) == step.uses.end()) step.uses.push_back(name);
        }
        result.steps.push_back(std::move(step));
        for (const HandsUse& hands : row.hands)
            if (hands.washing)
                result.washing.push_back(
                    {row.id, hands.span.from, hands.span.to, plan.kitchen.crew[hands.person].name});
    }
    for (const OvenEvent& event : timetable.oven)
        if (event.kind != OvenEvent::Kind::hot && !event.breaks)
            result.turns.push_back({plan.kitchen.equipment[event.oven].name, event.at, event.temperature});
    return result;
}

}  // namespace oventide::journal
