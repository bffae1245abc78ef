/// Reports of random plans: every page keeps its width, every object parses, and the clashes are those that a count
/// minute by minute finds.

#include <doctest/doctest.h>

#include <algorithm>
#include <map>
#include <nlohmann/json.hpp>
#include <set>
#include <sstream>
#include <string>
#include <vector>

#include "clashes/alone.hpp"
#include "common/text.hpp"
#include "support/planned.hpp"
#include "support/random_plan.hpp"

using namespace oventide;
using namespace oventide::test;

namespace {

constexpr std::uint64_t kSeeds = 25;

void check_page(const std::string& page, int width) {
    std::istringstream lines(page);
    for (std::string line; std::getline(lines, line);) {
        CAPTURE(line);
        CHECK(text::columns(line) <= width);
    }
}

/// Minutes at which components, each planned alone, want more of a resource than there is, where every demand on it
/// names it alone; and the minutes that the clashes name.
struct Count {
    std::set<Time> counted;
    std::set<Time> named;
};

bool stands_alone(const Project& project, ResourceId resource) {
    for (const Activity& activity : project.activities)
        for (const Demand& demand : activity.demands)
            if (demand.choices.size() > 1 &&
                std::find(demand.choices.begin(), demand.choices.end(), resource) != demand.choices.end())
                return false;
    return true;
}

std::int32_t capacity_at(const Resource& resource, Time at) {
    std::int32_t capacity = 0;
    for (const CapacityStep& step : resource.capacity)
        if (step.from <= at) capacity = step.capacity;
    return capacity;
}

Count minutes_of(const Planned& day, const Schedule& alone, ResourceId resource, const std::vector<Clash>& clashes) {
    const Project& project = day.expansion.project;
    std::map<Time, std::int32_t> wanted;
    std::map<Time, std::set<ComponentIndex>> who;
    for (ActivityId id = 0; id < static_cast<ActivityId>(project.activities.size()); ++id) {
        for (int k = 0; k < static_cast<int>(project.activities[id].demands.size()); ++k) {
            const Demand& demand = project.activities[id].demands[k];
            if (demand.choices != std::vector<ResourceId>{resource}) continue;
            const Interval busy = demand_interval(project, alone, id, k);
            for (Time at = busy.from; at < busy.to; ++at) {
                wanted[at] += demand.amount;
                who[at].insert(day.expansion.batches[day.expansion.tasks[id].batch].component);
            }
        }
    }
    Count minutes;
    for (const auto& [at, amount] : wanted)
        if (who[at].size() > 1 && amount > capacity_at(project.resources[resource], at)) minutes.counted.insert(at);
    for (const Clash& clash : clashes)
        if (clash.kind == Clash::Kind::capacity && clash.resources == std::vector<ResourceId>{resource})
            for (Time at = clash.when.from; at < clash.when.to; ++at) minutes.named.insert(at);
    return minutes;
}

/// Of a step's start, or of the washing up after it.
Time begin_of(const Planned& day, const Schedule& schedule, const Clash::Claim& claim) {
    if (!claim.washing) return schedule.start[claim.activity];
    const auto& demands = day.expansion.demands[claim.activity];
    const auto wash = std::find_if(demands.begin(), demands.end(), [](const DemandInfo& demand) {
        return demand.kind == DemandInfo::Kind::wash_hands;
    });
    REQUIRE(wash != demands.end());
    return demand_interval(day.expansion.project, schedule, claim.activity, static_cast<int>(wash - demands.begin()))
        .from;
}

}  // namespace

TEST_CASE("reports of random plans") {
    int timetables = 0;
    for (std::uint64_t seed = 1; seed <= kSeeds; ++seed) {
        CAPTURE(seed);
        const Planned day = planned(support::random_plan(seed), 20);
        const auto clashes = day.clashes();
        timetables += day.timetable ? 1 : 0;
        for (const int width : {60, 80}) {
            report::Style style;
            style.width = width;
            if (!day.timetable) {
                check_page(report::no_timetable_text(day.subject(), style), width);
                continue;
            }
            check_page(report::timetable_text(day.subject(), style), width);
            check_page(report::checklist_text(day.subject(), style), width);
            check_page(report::clashes_text(day.subject(), clashes, style), width);
        }
        CHECK(nlohmann::json::accept(report::timetable_json(day.subject())));
        CHECK(nlohmann::json::accept(report::checklist_json(day.subject())));
        CHECK(nlohmann::json::accept(report::clashes_json(day.subject(), clashes)));
    }
    CHECK(timetables >= 15);
}

TEST_CASE("clashes of random plans are those that a count finds") {
    std::size_t found = 0;
    for (std::uint64_t seed = 1; seed <= kSeeds; ++seed) {
        CAPTURE(seed);
        const Planned day = planned(support::random_plan(seed), 20);
        if (!day.timetable) continue;
        const auto clashes = day.clashes();
        const Schedule alone = clashes::plan_alone(day.expansion);
        for (ResourceId id = 0; id < static_cast<ResourceId>(day.expansion.project.resources.size()); ++id) {
            if (!stands_alone(day.expansion.project, id)) continue;
            CAPTURE(day.expansion.project.resources[id].name);
            const Count minutes = minutes_of(day, alone, id, clashes);
            CHECK(minutes.counted == minutes.named);
            found += minutes.counted.size();
        }
        for (const Clash& clash : clashes) {
            std::set<ComponentIndex> components;
            for (const Clash::Claim& claim : clash.claims) {
                components.insert(day.expansion.batches[day.expansion.tasks[claim.activity].batch].component);
                CHECK(claim.alone == begin_of(day, alone, claim));
                CHECK(claim.actual == begin_of(day, *day.outcome.schedule, claim));
            }
            CHECK(components.size() > 1);
            CHECK(clash.when.from < clash.when.to);
            CHECK(clash.wanted > clash.available);
        }
    }
    CHECK(found > 0);
}
