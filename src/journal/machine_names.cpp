#include "journal/machine_names.hpp"

#include <algorithm>
#include <array>
#include <utility>

namespace oventide::journal {
namespace {

/// What a machine is called that the plan gives no name.
constexpr std::array<std::pair<const char*, EquipmentKind>, 4> kKinds{{{"oven", EquipmentKind::oven},
                                                                       {"mixer", EquipmentKind::mixer},
                                                                       {"hob", EquipmentKind::hob},
                                                                       {"fridge", EquipmentKind::fridge}}};

std::vector<Renamed> renamings(const Kitchen& kitchen) {
    std::vector<Renamed> found;
    for (const auto& [word, kind] : kKinds) {
        if (std::ranges::find(kitchen.equipment, word, &Equipment::name) != kitchen.equipment.end()) continue;
        const auto first = std::ranges::find(kitchen.equipment, kind, &Equipment::kind);
        if (first != kitchen.equipment.end()) found.push_back({word, first->name});
    }
    return found;
}

/// Each gives the names of equipment that the event holds.
void visit_names(Broken& event, auto&& rename) { rename(event.equipment); }
void visit_names(Mended& event, auto&& rename) { rename(event.equipment); }
void visit_names(Published& event, auto&& rename) {
    for (PublishedStep& step : event.steps)
        for (std::string& name : step.uses) rename(name);
    for (PublishedTurn& turn : event.turns) rename(turn.oven);
}
void visit_names(auto&, auto&&) {}

}  // namespace

std::vector<Renamed> name_machines(Journal& journal, const Kitchen& kitchen) {
    const std::vector<Renamed> all = renamings(kitchen);
    std::vector<Renamed> noted;
    const std::vector<const Entry*> standing = journal.standing();
    for (Entry& entry : journal.entries) {
        const auto is_note = [&] {
            return !std::holds_alternative<Published>(entry.event) &&
                   std::ranges::find(standing, &entry) != standing.end();
        };
        const auto rename = [&](std::string& name) {
            const auto found = std::ranges::find(all, name, &Renamed::noted);
            if (found == all.end()) return;
            name = found->now;
            if (is_note() && std::ranges::find(noted, *found) == noted.end()) noted.push_back(*found);
        };
        std::visit([&](auto& event) { visit_names(event, rename); }, entry.event);
    }
    return noted;
}

}  // namespace oventide::journal
