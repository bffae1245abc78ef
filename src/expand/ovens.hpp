#pragma once
/// Oven settings, and how long an oven needs from one to another.

#include <vector>

#include "expand/durations.hpp"
#include "oventide/plan.hpp"
#include "oventide/project.hpp"

namespace oventide::expansion {

/// The distinct settings of all bakes. Switching off is a setting of its own for each temperature that it falls from
/// and time that it lasts: the oven is as much cooler afterwards as it fell.
class OvenSettings {
public:
    /// The id of the setting; a new one where it has not been asked for before.
    SettingId id(const ProgrammeStage& stage);
    std::size_t size() const { return settings_.size(); }

    std::vector<SettingInfo> infos() const;
    /// By id; absent: off.
    std::vector<std::optional<MilliCelsius>> temperatures() const;
    /// Heating and cooling times of this oven between all settings, rounded up to whole minutes.
    StateRules rules(const Equipment& oven, MilliCelsius room) const;

private:
    struct Entry {
        MilliCelsius temperature;  ///< or that before it was switched off
        Time off_for;              ///< -1: it is on
    };
    std::vector<Entry> settings_;
};

}  // namespace oventide::expansion
