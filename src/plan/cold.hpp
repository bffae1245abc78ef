#pragma once
/// Where food cools: a piece of equipment, or what a chill itself says of its surroundings.

#include <string>

#include "oventide/plan.hpp"
#include "plan/table_reader.hpp"

namespace oventide::plan_file {

/// The key `cold`: a kind of surroundings.
void read_kind(TableReader& table, Cold& cold);

/// The keys `air` and `transfer`: what the cook has measured, or read off the door.
void read_measured(TableReader& table, Cold& cold);

/// `cold` becomes the usual surroundings of that kind, if there are such.
bool find_cold(const std::string& kind, Cold& cold);

/// "'bench', 'fridge', ...": every kind of surroundings.
std::string cold_kinds();

}  // namespace oventide::plan_file
