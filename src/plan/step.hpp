#pragma once
/// One step of a component.

#include "oventide/plan.hpp"
#include "plan/complaints.hpp"
#include "plan/names.hpp"
#include "plan/table_reader.hpp"

namespace oventide::plan_file {

/// Where a step stands and what its keys may refer to.
struct StepContext {
    const Names& names;
    const std::vector<Component>& components;  ///< with their `makes`, not yet with their steps
    StepId id;
    Name name;
    Complaints& complaints;
};

/// How a step is done: what `by` says, or what follows from the rest.
enum class By { unsaid, load, batch };

struct StepReading {
    Step step;
    By by = By::unsaid;
    Place by_place;
};

StepReading read_step(const Node& node, const StepContext& context);

// The parts of it, each in a file of its own.
void read_order(TableReader& table, const StepContext& context, Step& step);      // after, rest, within, at_once
void read_resources(TableReader& table, const StepContext& context, Step& step);  // hands, who, uses, wash
void read_bake(TableReader& table, const StepContext& context, Step& step);       // oven, tray, in, door_shut, takes
void read_draws(TableReader& table, const StepContext& context, Step& step);      // with
void read_cools(TableReader& table, const StepContext& context, Step& step);      // cools; after uses and chill

}  // namespace oventide::plan_file
