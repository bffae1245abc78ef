#include "oventide/timetable.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cstdlib>
#include <tuple>

#include "timetable/jobs.hpp"
#include "timetable/oven_events.hpp"

namespace oventide {
namespace {

struct Source {
    const Plan& plan;
    const Expansion& expansion;
    const Schedule& schedule;

    Instant instant(Time at) const { return expansion.origin + Minutes{at}; }
    Instant ready(ActivityId id) const {
        return instant(schedule.start[id] + expansion.project.activities[id].duration);
    }
    bool is_last_step(const Task& task) const {
        const Component& component = plan.components[expansion.batches[task.batch].component];
        return task.step + 1 == static_cast<StepIndex>(component.steps.size());
    }
};

// ---------------------------------------------------------------------------------------------------- rows

void add_demand(const Source& source, ActivityId id, int index, Row& row) {
    const Interval busy = demand_interval(source.expansion.project, source.schedule, id, index);
    if (busy.from >= busy.to) return;
    const Span span{source.instant(busy.from), source.instant(busy.to)};
    const ResourceInfo& chosen = source.expansion.resources[source.schedule.chosen[id][index]];
    const Demand& demand = source.expansion.project.activities[id].demands[index];
    if (chosen.equipment) row.equipment.push_back({*chosen.equipment, demand.amount, span});
    const bool washing = source.expansion.demands[id][index].kind == DemandInfo::Kind::wash_hands;
    if (chosen.person) row.hands.push_back({*chosen.person, span, washing});
}

/// What the ovens go through for it, setting by setting.
void add_heat(const Source& source, ActivityId id, const Step& step, Row& row) {
    if (!step.bake) return;
    Instant at = row.start;
    for (const Demand& demand : source.expansion.project.activities[id].demands)
        for (const Stage& stage : demand.stages) {
            const auto temperature = source.expansion.temperatures[stage.setting];
            const Span span{at, at + Minutes{stage.lasts}};
            row.heat.push_back({span, temperature, !temperature && step.bake->programme.back().ajar});
            at = span.to;
        }
    if (step.bake->door_shut > Minutes{0}) row.shut_until = std::min(row.ready, row.start + step.bake->door_shut);
}

std::optional<Minutes> slip_of(const std::vector<Time>& slips, ActivityId id) {
    if (id >= static_cast<ActivityId>(slips.size()) || slips[id] >= kNever) return std::nullopt;
    return Minutes{slips[id]};
}

Row make_row(const Source& source, ActivityId id, const Slips& slips) {
    const Task& task = source.expansion.tasks[id];
    const Batch& batch = source.expansion.batches[task.batch];
    const Activity& activity = source.expansion.project.activities[id];
    Row row;
    row.id = activity.name;
    row.component = batch.component;
    row.step = task.step;
    row.batch = batch.number;
    row.load = task.load;
    row.amount = task.share.to - task.share.from;
    row.from = task.share.from;
    row.start = source.instant(source.schedule.start[id]);
    row.ready = source.ready(id);
    row.end = source.instant(source.schedule.end[id]);
    for (std::size_t k = 0; k < activity.demands.size(); ++k) add_demand(source, id, static_cast<int>(k), row);
    add_heat(source, id, source.plan.components[batch.component].steps[task.step], row);
    row.slip = slip_of(slips.to_margin, id);
    row.slip_to_pickup = slip_of(slips.to_pickup, id);
    return row;
}

std::vector<Row> make_rows(const Source& source, const Slips& slips) {
    std::vector<Row> rows;
    for (std::size_t id = 0; id < source.expansion.tasks.size(); ++id)
        rows.push_back(make_row(source, static_cast<ActivityId>(id), slips));
    std::sort(rows.begin(), rows.end(),
              [](const Row& a, const Row& b) { return std::tie(a.start, a.id) < std::tie(b.start, b.id); });
    return rows;
}

/// An oven is turned or switched off with food in it.
void tell_what_stays_in(Timetable& timetable) {
    for (OvenEvent& event : timetable.oven)
        for (const Row& row : timetable.rows) {
            const bool inside = !row.heat.empty() && row.start < event.at && event.at < row.heat.back().span.to &&
                                std::any_of(row.equipment.begin(), row.equipment.end(),
                                            [&](const EquipmentUse& use) { return use.equipment == event.oven; });
            if (!inside || event.kind == OvenEvent::Kind::hot) continue;
            event.leave_until = std::min(event.leave_until.value_or(row.end), row.end);
            event.ajar = event.kind == OvenEvent::Kind::off && row.heat.back().ajar;
        }
}

// -------------------------------------------------------------------------------------------- food, pickups

std::vector<Handover> make_handovers(const Source& source) {
    std::vector<Handover> handovers;
    for (const FoodLink& food : source.expansion.food) {
        const Batch& from = source.expansion.batches[food.from];
        const Batch& to = source.expansion.batches[food.to];
        handovers.push_back({from.component, from.number, to.component, to.number, food.step, food.amount});
    }
    return handovers;
}

std::int32_t item_of(const Order& order, ComponentIndex component) {
    const auto item = std::find_if(order.items.begin(), order.items.end(),
                                   [&](const Item& each) { return each.component == component; });
    return static_cast<std::int32_t>(item - order.items.begin());
}

void add_servings(const Source& source, std::vector<PickupLine>& lines) {
    for (const Batch& batch : source.expansion.batches)
        for (const Batch::Sale& sale : batch.sales)
            lines[sale.order].servings.push_back(
                {item_of(source.plan.orders[sale.order], batch.component), batch.number, sale.amount});
    for (PickupLine& line : lines)
        std::stable_sort(line.servings.begin(), line.servings.end(), [](const auto& a, const auto& b) {
            return std::tie(a.item, a.batch) < std::tie(b.item, b.batch);
        });
}

void set_done(const Source& source, std::vector<PickupLine>& lines) {
    for (std::size_t i = 0; i < source.expansion.tasks.size(); ++i) {
        const Task& task = source.expansion.tasks[i];
        if (!source.is_last_step(task)) continue;
        const Instant ready = source.ready(static_cast<ActivityId>(i));
        for (const Batch::Sale& sale : source.expansion.batches[task.batch].sales)
            lines[sale.order].done = std::max(lines[sale.order].done, ready);
    }
}

std::vector<PickupLine> make_pickups(const Source& source) {
    std::vector<PickupLine> lines;
    for (std::size_t order = 0; order < source.plan.orders.size(); ++order)
        lines.push_back({static_cast<std::int32_t>(order), source.plan.orders[order].pickup, source.plan.from, {}});
    add_servings(source, lines);
    set_done(source, lines);
    return lines;
}

// ------------------------------------------------------------------------------------------------ freshness

/// The first ready of a batch's last step.
Instant first_ready(const Source& source, const std::vector<Row>& rows, ComponentIndex component, std::int32_t batch) {
    const auto last = static_cast<StepIndex>(source.plan.components[component].steps.size()) - 1;
    Instant first = Instant::max();
    for (const Row& row : rows)
        if (row.component == component && row.batch == batch && row.step == last) first = std::min(first, row.ready);
    return first;
}

void add_collected(const Source& source, const Timetable& timetable, const Batch& batch, Instant ready, Instant best,
                   std::vector<PastBest>& found) {
    for (const PickupLine& line : timetable.pickups)
        for (const PickupLine::Serving& serving : line.servings) {
            const Item& item = source.plan.orders[line.order].items[static_cast<std::size_t>(serving.item)];
            if (item.component != batch.component || serving.batch != batch.number || line.pickup <= best) continue;
            found.push_back({batch.component, batch.number, serving.amount, ready, line.pickup, line.order, -1});
        }
}

void add_used(const Timetable& timetable, const Batch& batch, Instant ready, Instant best,
              std::vector<PastBest>& found) {
    for (const Handover& food : timetable.handovers) {
        if (food.from != batch.component || food.from_batch != batch.number) continue;
        std::int32_t last = -1;
        for (std::size_t i = 0; i < timetable.rows.size(); ++i) {
            const Row& row = timetable.rows[i];
            if (row.component == food.to && row.batch == food.to_batch && row.step == food.step && row.start > best)
                last = static_cast<std::int32_t>(i);
        }
        if (last < 0) continue;
        const Instant used = timetable.rows[static_cast<std::size_t>(last)].start;
        found.push_back({batch.component, batch.number, food.amount, ready, used, std::nullopt, last});
    }
}

std::vector<PastBest> past_best(const Source& source, const Timetable& timetable) {
    std::vector<PastBest> found;
    for (const Batch& batch : source.expansion.batches) {
        const auto& best_within = source.plan.components[batch.component].best_within;
        if (!best_within) continue;
        const Instant ready = first_ready(source, timetable.rows, batch.component, batch.number);
        if (ready == Instant::max()) continue;
        add_collected(source, timetable, batch, ready, ready + *best_within, found);
        add_used(timetable, batch, ready, ready + *best_within, found);
    }
    return found;
}

// --------------------------------------------------------------------------------------------------- goals

/// Minutes before the project's origin turn into minutes of the clock; the other goals count minutes as they are.
std::int64_t told(const Source& source, Goal goal, std::int64_t value) {
    return goal == Goal::alarm ? source.expansion.origin.time_since_epoch().count() - value : value;
}

Aim aim_of(Goal goal) {
    switch (goal) {
        case Goal::overrun:
            return Aim::freshness;
        case Goal::alarm:
            return Aim::alarm;
        case Goal::waiting:
            break;
    }
    return Aim::waiting;
}

/// A goal's bound holds with the goals before it at theirs: it proves something only where those are reached.
std::vector<GoalLine> make_goals(const Source& source, const Outcome& outcome) {
    std::vector<GoalLine> lines;
    bool reached = true;
    for (std::size_t i = 0; i < source.expansion.project.goals.size(); ++i) {
        const Goal goal = source.expansion.project.goals[i];
        reached = reached && (outcome.optimal || outcome.value[i] == outcome.bound[i]);
        const std::int64_t bound = outcome.optimal ? outcome.value[i] : outcome.bound[i];
        lines.push_back({aim_of(goal), told(source, goal, outcome.value[i]), told(source, goal, bound), reached});
    }
    return lines;
}

/// The earliest start of hands, or of switching on an oven without a timer.
std::optional<Instant> find_alarm(const Source& source, const std::vector<Row>& rows) {
    std::optional<Instant> alarm;
    const auto note = [&](Instant at) { alarm = std::min(alarm.value_or(at), at); };
    for (const Row& row : rows)
        for (const HandsUse& hands : row.hands) note(hands.span.from);
    for (const StartUp& start_up : source.schedule.start_ups)
        if (!source.expansion.project.resources[start_up.resource].state.self_starting)
            note(source.instant(start_up.at));
    return alarm;
}

/// Thousandths of a degree, rounded to tenths.
std::string degrees_text(std::int64_t thousandths) {
    const std::int64_t tenths = (std::abs(thousandths) + 50) / 100;
    return fmt::format("{}{}{}", thousandths < 0 && tenths > 0 ? "-" : "", tenths / 10,
                       tenths % 10 == 0 ? "" : fmt::format(".{}", tenths % 10));
}

/// Written in Fahrenheit, and nowhere else in Celsius.
bool in_fahrenheit(const Plan& plan, MilliCelsius temperature) {
    bool fahrenheit = false;
    for (const Component& component : plan.components)
        for (const Step& step : component.steps)
            for (const Setting& setting : step.bake ? step.bake->programme : std::vector<Setting>{}) {
                if (setting.temperature != temperature) continue;
                if (!setting.fahrenheit) return false;
                fahrenheit = true;
            }
    return fahrenheit;
}

}  // namespace

std::string heat_text(const Plan& plan, MilliCelsius temperature) {
    if (in_fahrenheit(plan, temperature)) return degrees_text(temperature * 9 / 5 + 32'000) + " F";
    return degrees_text(temperature) + " C";
}

Timetable make_timetable(const Plan& plan, const Expansion& expansion, const Outcome& outcome, const Slips& slips) {
    Timetable timetable;
    if (!outcome.schedule) return timetable;
    const Source source{plan, expansion, *outcome.schedule};
    timetable.rows = make_rows(source, slips);
    timetable.oven = oven_events(plan, expansion, *outcome.schedule);
    tell_what_stays_in(timetable);
    timetable.handovers = make_handovers(source);
    add_jobs(plan, timetable);
    timetable.pickups = make_pickups(source);
    timetable.past_best = past_best(source, timetable);
    timetable.goals = make_goals(source, outcome);
    for (const WaitLink& link : expansion.project.links)
        if (link.user < 0) timetable.pieces += link.weight;
    timetable.optimal = outcome.optimal;
    timetable.alarm = find_alarm(source, timetable.rows);
    return timetable;
}

}  // namespace oventide
