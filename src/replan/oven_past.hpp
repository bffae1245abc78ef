#pragma once
/// What an oven has done until now: with something in it, as that needed; empty, as it had been announced by then.

#include <optional>
#include <vector>

#include "replan/left.hpp"

namespace oventide::replan {

/// How an oven has been turned, and how hot it is by that, by the plan's figures. Off and cold at first.
class OvenHeat {
public:
    OvenHeat(const Kitchen& kitchen, EquipmentIndex oven);

    /// As a load needs it: at that heat at once, or off from then on.
    void bakes(Instant at, std::optional<MilliCelsius> setting);
    void turns(Instant at, std::optional<MilliCelsius> setting);
    /// Off, and, since nobody can tell how warm it stays, cold.
    void breaks(Instant at);

    std::optional<MilliCelsius> setting() const { return setting_; }
    MilliCelsius heat(Instant at) const;
    /// From then on, in whole minutes, where it is turned to `wanted` then, or is so already.
    Minutes until_hot(Instant at, MilliCelsius wanted) const;
    Minutes until_cold(Instant at) const;

private:
    const Equipment* oven_;
    MilliCelsius room_;
    std::optional<MilliCelsius> setting_;
    MilliCelsius heat_;  ///< at `since_`
    Instant since_;
};

/// By start.
std::vector<Baked> loads_in(const Left& left, ResourceId oven);

/// An oven while nothing is in it.
struct WhileEmpty {
    Span span;
    std::vector<OvenEvent> events;  ///< `hot` can be later than `span`
    OvenHeat heat;                  ///< at its end
};

/// Until now, by time; the last one ends now, if the oven is empty.
std::vector<WhileEmpty> empty_times(const Situation& situation, EquipmentIndex oven, const std::vector<Baked>& loads);

/// Absent where something is in there now.
std::optional<OvenHeat> heat_now(const Situation& situation, EquipmentIndex oven, const std::vector<Baked>& loads);

/// Off, by itself.
OvenEvent breaking(EquipmentIndex oven, Instant at);

/// `day` has every oven's story as it follows from what has been in it, and from what is planned. What it did while it
/// was empty is put in its place; where that does not lead to what is planned, it is turned now.
void tell_past(const Situation& situation, const Left& left, Timetable& day);

}  // namespace oventide::replan
