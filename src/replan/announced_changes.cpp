#include "replan/announced_changes.hpp"

#include <algorithm>
#include <iterator>
#include <map>
#include <tuple>
#include <utility>

namespace oventide::replan {
namespace {

/// Turns to one setting of one oven, by time.
using Turns = std::map<std::pair<std::string, std::optional<MilliCelsius>>, std::vector<Instant>>;

/// Those of `few` in their order to as many of `many`, each as near as can be, all in all: which of `many` each goes
/// to.
std::vector<std::size_t> nearest(const std::vector<Instant>& few, const std::vector<Instant>& many) {
    const auto apart = [&](std::size_t i, std::size_t k) {
        return std::max(few[i], many[k]) - std::min(few[i], many[k]);
    };
    const std::size_t spare = many.size() - few.size();
    // least[i][k]: of the first i, to some of the first i + k.
    std::vector<std::vector<Minutes>> least(few.size() + 1, std::vector<Minutes>(spare + 1, Minutes{0}));
    for (std::size_t i = 1; i <= few.size(); ++i)
        for (std::size_t k = 0; k <= spare; ++k) {
            least[i][k] = least[i - 1][k] + apart(i - 1, i - 1 + k);
            if (k > 0) least[i][k] = std::min(least[i][k], least[i][k - 1]);
        }
    std::vector<std::size_t> to(few.size());
    for (std::size_t i = few.size(), k = spare; i > 0; --i) {
        while (k > 0 && least[i][k] == least[i][k - 1]) --k;
        to[i - 1] = i - 1 + k;
    }
    return to;
}

Instant time_of(const TurnChange& change) { return change.to ? *change.to : *change.from; }

/// What is in both stays as it is.
void leave_out_common(std::vector<Instant>& told, std::vector<Instant>& found) {
    std::vector<Instant> common;
    std::ranges::set_intersection(told, found, std::back_inserter(common));
    const auto is_common = [&](Instant at) { return std::ranges::find(common, at) != common.end(); };
    std::erase_if(told, is_common);
    std::erase_if(found, is_common);
}

}  // namespace

std::vector<TurnChange> changed_turns(const Plan& today, Instant now, const journal::Published& published,
                                      const Timetable& timetable) {
    std::vector<TurnChange> changes;
    if (published.turns.empty()) return changes;
    Turns told, found;
    for (const journal::PublishedTurn& turn : published.turns)
        if (turn.at >= now) told[{turn.oven, turn.temperature}].push_back(turn.at);
    for (const OvenEvent& event : timetable.oven)
        if (event.kind != OvenEvent::Kind::hot && !event.breaks && event.at >= now)
            found[{today.kitchen.equipment[event.oven].name, event.temperature}].push_back(event.at);
    for (const auto& [key, times] : told) found[key];
    for (auto& [key, times] : found) {
        const auto oven = std::ranges::find(today.kitchen.equipment, key.first, &Equipment::name);
        if (oven == today.kitchen.equipment.end()) continue;
        std::vector<Instant>& before = told[key];
        leave_out_common(before, times);
        const bool more = times.size() > before.size();
        const std::vector<Instant>& few = more ? before : times;
        const std::vector<Instant>& many = more ? times : before;
        const std::vector<std::size_t> partner = nearest(few, many);
        for (std::size_t k = 0; k < many.size(); ++k) {
            TurnChange change{static_cast<EquipmentIndex>(oven - today.kitchen.equipment.begin()), key.second, {}, {}};
            (more ? change.to : change.from) = many[k];
            if (const auto i = std::ranges::find(partner, k); i != partner.end())
                (more ? change.from : change.to) = few[static_cast<std::size_t>(i - partner.begin())];
            changes.push_back(change);
        }
    }
    std::ranges::stable_sort(changes, {}, time_of);
    return changes;
}

std::vector<WashingChange> changed_washing(const Situation& situation, const Expansion& expansion,
                                           const journal::Published& published, const Timetable& timetable) {
    std::vector<WashingChange> changes;
    if (published.washing.empty()) return changes;
    for (const Row& row : timetable.rows)
        for (const HandsUse& hands : row.hands) {
            if (!hands.washing || hands.span.from < situation.now) continue;
            const std::string& person = situation.today.kitchen.crew[hands.person].name;
            const auto told = std::ranges::find(published.washing, row.id, &journal::PublishedWashing::step);
            const bool known = told != published.washing.end();
            if (known && told->from == hands.span.from && told->who == person) continue;
            const auto step = std::ranges::find(expansion.project.activities, row.id, &Activity::name);
            changes.push_back({static_cast<ActivityId>(step - expansion.project.activities.begin()), hands.person,
                               known ? std::optional(told->from) : std::nullopt, hands.span.from});
        }
    std::ranges::stable_sort(changes, {}, [](const WashingChange& one) { return std::tuple(one.to, one.step); });
    return changes;
}

}  // namespace oventide::replan
