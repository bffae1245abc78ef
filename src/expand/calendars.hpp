#pragma once
/// The kitchen as resources: equipment first, then the crew, each with its capacity over time.

#include <vector>

#include "oventide/expand.hpp"

namespace oventide::expansion {

/// Resource ids of a plan: equipment as numbered, then people as numbered.
ResourceId resource_of_equipment(EquipmentIndex equipment);
ResourceId resource_of_person(const Plan& plan, PersonIndex person);

/// Resources without their state rules. Hours and closed times are cut to [0, horizon].
std::vector<Resource> resources(const Plan& plan, Time horizon);
std::vector<ResourceInfo> resource_infos(const Plan& plan);

/// When somebody is in their hours.
std::vector<Interval> attended(const Plan& plan, Time horizon);

}  // namespace oventide::expansion
