#include "cli/day_chills.hpp"

#include <algorithm>
#include <cmath>
#include <tuple>

#include "oventide/chill.hpp"

namespace oventide::cli {
namespace {

/// By their times, whatever was entered first.
std::vector<chill::Probed> probed(std::vector<journal::Probe> readings) {
    std::ranges::sort(readings, {},
                      [](const journal::Probe& probe) { return std::tuple(probe.at, probe.temperature); });
    std::vector<chill::Probed> found;
    for (const journal::Probe& probe : readings)
        found.push_back({probe.at, static_cast<double>(probe.temperature) / 1000});
    return found;
}

/// The step from then on: as warm as it was read last, or, where it was not, as it went in.
Step spread_out(Step step, const journal::SpreadOut& spread, const std::vector<chill::Probed>& readings,
                const std::optional<chill::Running>& before) {
    step.cools->depth = spread.depth;
    step.cools->over = 1;
    std::optional<chill::Probed> last;
    for (std::size_t k = 0; k < readings.size(); ++k) {
        const bool doubted = before && std::ranges::count(before->doubted, k) > 0;
        if (!doubted && readings[k].at <= spread.at && (!last || readings[k].at >= last->at)) last = readings[k];
    }
    if (last) step.cools->from = std::max<MilliCelsius>(step.cools->to + 1, std::llround(last->celsius * 1000));
    return step;
}

}  // namespace

/// `spread`: null where it lies as the plan has it.
std::optional<chill::Running> DayChills::running(ActivityId id, Instant start, const Probed& readings,
                                                 const journal::SpreadOut* spread) const {
    const Task& task = expansion_.tasks[id];
    const Component& component = plan_.components[expansion_.batches[task.batch].component];
    const bool mass = component.makes.unit == Amount::Unit::milligrams;
    const std::int64_t milligrams = mass ? task.share.to - task.share.from : 0;
    const Step& step = component.steps[task.step];
    if (spread == nullptr || !step.cools) return chill::running(step, milligrams, start, readings);
    std::optional<chill::Running> as_planned;
    if (!readings.empty()) as_planned = chill::running(step, milligrams, start, readings);
    return chill::running(spread_out(step, *spread, readings, as_planned), milligrams, std::max(start, spread->at),
                          readings);
}

replan::Forecast DayChills::forecast() const {
    return [chills = *this](ActivityId id, Instant start,
                            const std::vector<journal::Probe>& readings) -> std::optional<Instant> {
        const auto* spread = journal::last_spread(chills.journal_, chills.name_of(id));
        const auto running = chills.running(id, start, probed(readings), spread);
        const bool told = running && (spread != nullptr || running->doubted.size() < readings.size());
        return told ? running->likely : std::nullopt;
    };
}

replan::ColdIfSpread DayChills::cold_if_spread(const replan::Situation& situation) const {
    return [chills = *this, &situation](ActivityId id, std::int64_t depth, Instant at) -> std::optional<Instant> {
        const journal::SpreadOut spread{chills.name_of(id), at, depth};
        const auto running = chills.running(id, situation.steps[id].start, chills.readings_of(id), &spread);
        return running ? running->likely : std::nullopt;
    };
}

DayChills::Probed DayChills::readings_of(ActivityId id) const {
    std::vector<journal::Probe> readings;
    for (const journal::Entry* entry : journal_.standing())
        if (const auto* probe = std::get_if<journal::Probe>(&entry->event); probe && probe->step == name_of(id))
            readings.push_back(*probe);
    return probed(std::move(readings));
}

/// Orders that are later where a chill that has been measured takes as long as it well may.
std::vector<replan::WayOut::Late> DayChills::late_if_latest(const replan::Situation& situation,
                                                            const replan::Replanned& result,
                                                            const report::ChillUnderWay& chill) const {
    std::vector<replan::WayOut::Late> found;
    const replan::StepState& step = situation.steps[chill.step];
    if (chill.readings.empty() || !chill.running || !chill.running->latest || step.state != replan::State::running)
        return found;
    if (result.way == replan::Replanned::Way::conditional || *chill.running->latest <= step.ready) return found;
    const auto late = replan::late_if(plan_, expansion_, journal_, situation, chill.step, *chill.running->latest);
    for (const replan::Pickup& pickup : result.pickups)
        if (!late.empty() && late[pickup.order] > std::max(Minutes{0}, pickup.done - pickup.at))
            found.push_back({pickup.order, late[pickup.order]});
    return found;
}

std::vector<report::ChillUnderWay> DayChills::under_way(const replan::Situation& situation,
                                                        const replan::Replanned& result) const {
    const auto rule = find_safety_rule(plan_.safety.rule);
    std::vector<report::ChillUnderWay> chills;
    for (std::size_t k = 0; k < situation.steps.size(); ++k) {
        const replan::StepState& step = situation.steps[k];
        const auto id = static_cast<ActivityId>(k);
        const bool doubted = std::ranges::any_of(situation.questions, [&](const replan::Question& one) {
            return one.kind == replan::Question::Kind::too_warm && one.step == id;
        });
        if (step.state != replan::State::running && !doubted) continue;
        report::ChillUnderWay chill{id, readings_of(id), {}, {}};
        chill.running = running(id, step.start, chill.readings, journal::last_spread(journal_, name_of(id)));
        if (chill.readings.empty() && !chill.running) continue;
        if (rule && result.timetable) {
            const auto row = std::ranges::find(result.timetable->rows, name_of(id), &Row::id);
            if (const auto cooked = chill::cooked_at(plan_, *result.timetable, *row))
                chill.limits = chill::limits(*rule, *cooked, step.start, situation.now, chill.readings, chill.running);
        }
        chill.late_if_latest = late_if_latest(situation, result, chill);
        chills.push_back(std::move(chill));
    }
    return chills;
}

}  // namespace oventide::cli
