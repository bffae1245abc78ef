#include "sheet/lanes.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "common/spans.hpp"
#include "common/text.hpp"
#include "sheet/source.hpp"
#include "timetable/job_words.hpp"

namespace oventide::sheet {
namespace {

std::string describe(const Plan& plan, const clock::Zone& zone, const Row& row, const Span& span) {
    const Component& component = plan.components[row.component];
    return fmt::format("{} to {}: {}, {}", clock_of(zone, span.from), clock_of(zone, span.to), component.name,
                       component.steps[row.step].name);
}

/// "a", or "a2" for the second of several batches.
std::string label(const Numbers& numbers, const Row& row) {
    return letter(row.component) + (numbers.several_batches(row.component) ? std::to_string(row.batch) : "");
}

std::string step_name(const Plan& plan, const Row& row) {
    return text::clean(plan.components[row.component].steps[row.step].name);
}

/// What hands do there: "bake in", "wash up".
std::string job_word(const Plan& plan, const Row& row, const Job& job) {
    switch (job.kind) {
        case Job::Kind::washing:
            return "wash up";
        case Job::Kind::into:
            return step_name(plan, row) + " in";
        case Job::Kind::out:
            return step_name(plan, row) + " out";
        case Job::Kind::end:
            return step_name(plan, row) + " end";
        default:
            return step_name(plan, row);
    }
}

/// Those of one lane.
std::vector<Span> solved_of(const std::vector<Solved>& all, std::optional<EquipmentIndex> equipment,
                            std::optional<PersonIndex> person) {
    std::vector<Span> spans;
    for (const Solved& each : all)
        if (each.equipment == equipment && each.person == person) spans.push_back(each.when);
    return merged(std::move(spans));
}

}  // namespace

std::vector<Lane> people_lanes(const Plan& plan, const clock::Zone& zone, const Timetable& timetable,
                               const std::vector<Solved>& solved) {
    const Numbers numbers(timetable);
    std::vector<Lane> lanes;
    for (std::size_t person = 0; person < plan.kitchen.crew.size(); ++person) {
        Lane lane{plan.kitchen.crew[person].name,
                  {},
                  plan.kitchen.crew[person].hours,
                  {},
                  solved_of(solved, std::nullopt, static_cast<PersonIndex>(person))};
        for (const Job& job : timetable.jobs) {
            if (job.person != static_cast<PersonIndex>(person) || job.row < 0 || job.span.from == job.span.to) continue;
            const Row& row = timetable.rows[static_cast<std::size_t>(job.row)];
            lane.bars.push_back({job.span, label(numbers, row), job_word(plan, row, job),
                                 job.kind == Job::Kind::washing ? "wash" : "hands",
                                 describe(plan, zone, row, job.span)});
        }
        lanes.push_back(std::move(lane));
    }
    return lanes;
}

std::vector<Lane> equipment_lanes(const Plan& plan, const clock::Zone& zone, const Timetable& timetable,
                                  const std::vector<Solved>& solved) {
    const Numbers numbers(timetable);
    Instant until{};
    for (const Row& row : timetable.rows) until = std::max(until, row.end);
    std::vector<Lane> lanes;
    for (std::size_t piece = 0; piece < plan.kitchen.equipment.size(); ++piece) {
        const auto index = static_cast<EquipmentIndex>(piece);
        Lane lane{plan.kitchen.equipment[piece].name,
                  {},
                  {},
                  heat_curve(plan, index, timetable.oven, until),
                  solved_of(solved, index, std::nullopt)};
        for (const Row& row : timetable.rows)
            for (const EquipmentUse& use : row.equipment)
                if (use.equipment == index)
                    lane.bars.push_back({use.span, label(numbers, row), step_name(plan, row), "machine",
                                         describe(plan, zone, row, use.span)});
        if (!lane.bars.empty()) lanes.push_back(std::move(lane));
    }
    return lanes;
}

}  // namespace oventide::sheet
