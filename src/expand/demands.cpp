#include <algorithm>
#include <string>

#include "expand/arithmetic.hpp"
#include "expand/calendars.hpp"
#include "expand/draft.hpp"
#include "expand/durations.hpp"
#include "expand/ovens.hpp"
#include "oventide/limits.hpp"

namespace oventide::expansion {
namespace {

using Of = Moment::Of;

/// One activity whose demands are being written.
struct Subject {
    Draft& draft;
    ActivityId id;
    const Task& task;
    const Component& component;
    const Step& step;
    Activity& activity;

    void add(Demand demand, DemandInfo info) const {
        activity.demands.push_back(std::move(demand));
        draft.expansion.demands[id].push_back(info);
    }
    bool fixed() const { return !activity.stretchable; }
};

std::vector<ResourceId> resources_of(const Plan& plan, const std::vector<EquipmentIndex>& choices,
                                     std::int64_t amount) {
    std::vector<ResourceId> result;
    for (const EquipmentIndex choice : choices)
        if (plan.kitchen.equipment[choice].capacity >= amount) result.push_back(resource_of_equipment(choice));
    std::sort(result.begin(), result.end());
    result.erase(std::unique(result.begin(), result.end()), result.end());
    return result;
}

std::vector<ResourceId> people(const Plan& plan, const std::vector<PersonIndex>& who) {
    std::vector<ResourceId> result;
    for (const PersonIndex person : who) result.push_back(resource_of_person(plan, person));
    if (who.empty())
        for (std::size_t person = 0; person < plan.kitchen.crew.size(); ++person)
            result.push_back(resource_of_person(plan, static_cast<PersonIndex>(person)));
    std::sort(result.begin(), result.end());
    result.erase(std::unique(result.begin(), result.end()), result.end());
    return result;
}

void add_use(const Subject& subject, std::int32_t entry) {
    const Use& use = subject.step.uses[entry];
    Demand demand;
    demand.choices = resources_of(subject.draft.plan, use.choices, use.amount);
    demand.amount = use.amount;
    demand.from = {Of::start, to_time(use.part.from)};
    if (use.part.to)
        demand.to = {Of::start, to_time(*use.part.to)};
    else
        demand.to = {Of::end, to_time(use.part.past_end)};
    if (use.washed && subject.step.wash) {
        // It is not free again before it has been washed, even where the step itself is done with it early.
        const Time washed = to_time(subject.step.wash->takes);
        demand.to = {Of::end, demand.to.of == Of::end ? std::max(demand.to.offset, washed) : washed};
    }
    if (use.until) {
        const ActivityRange range = subject.draft.activities(subject.task.batch, *use.until);
        for (ActivityId id = range.first; id < range.end; ++id) demand.held_until.push_back(id);
    }
    subject.add(std::move(demand), {DemandInfo::Kind::equipment, entry, 0});
}

/// Empty when the settings alone last longer than the step.
std::vector<Stage> stages(const Subject& subject, OvenSettings& settings) {
    const Seconds total = seconds_taken(subject.draft.plan, subject.component, subject.step,
                                        subject.task.share.to - subject.task.share.from);
    std::vector<Stage> result;
    for (const ProgrammeStage& stage : programme_stages(*subject.step.bake, total, subject.draft.plan.kitchen.room))
        result.push_back({settings.id(stage), stage.lasts});
    return result;
}

/// The stage that runs so long after the start, at its very end too; the last one where that is past them all.
Stage& running_at(std::vector<Stage>& stages, Time at) {
    for (Stage& stage : stages) {
        if (at <= stage.lasts) return stage;
        at -= stage.lasts;
    }
    return stages.back();
}

/// A programme that really took `duration`: some settings went on for longer; then its last ones were cut short, or the
/// last went on.
void fit(std::vector<Stage>& stages, Time duration, const std::vector<Actual::Stretched>& stretched) {
    if (stages.empty()) return;
    for (const Actual::Stretched& one : stretched) running_at(stages, one.at).lasts += one.by;
    Time left = duration;
    for (Stage& stage : stages) {
        stage.lasts = std::min(stage.lasts, left);
        left -= stage.lasts;
    }
    while (stages.size() > 1 && stages.back().lasts == 0) stages.pop_back();
    stages.back().lasts += left;
}

void add_bake(const Subject& subject, OvenSettings& settings) {
    const Bake& bake = *subject.step.bake;
    const std::int64_t pieces = subject.task.share.to - subject.task.share.from;
    Demand demand;
    demand.amount = static_cast<std::int32_t>(divided_up(pieces, std::max<std::int64_t>(bake.tray.count, 1)));
    demand.choices = resources_of(subject.draft.plan, bake.ovens, demand.amount);
    demand.stages = stages(subject, settings);
    if (subject.draft.actual_duration(subject.activity.name))
        fit(demand.stages, subject.activity.duration, subject.draft.stretched(subject.activity.name));
    demand.sealed = std::min(to_time(bake.door_shut), subject.activity.duration);
    subject.add(std::move(demand), {DemandInfo::Kind::oven, 0, 0});
}

/// Hands over part of a step, as moments of its activity.
struct Stint {
    Moment from;
    Moment to;
    std::int32_t entry;
};

/// The end of a fixed step is so long after its start: all of it is counted from there, and neither first nor last
/// reaches past the step.
Stint stint(const Subject& subject, std::int32_t entry) {
    const Hands& hands = subject.step.hands[entry];
    const Time duration = subject.activity.duration;
    const Time from = to_time(hands.from);
    const Time to = hands.lasts ? to_time(hands.from + *hands.lasts) : duration;
    if (hands.counted_from == Hands::From::start)
        return {{Of::start, from}, {Of::start, subject.fixed() ? std::min(to, duration) : to}, entry};
    if (!hands.lasts) return {{Of::end, from}, {Of::end, 0}, entry};
    if (!subject.fixed() || from >= 0) return {{Of::end, from}, {Of::end, to}, entry};
    return {{Of::start, std::max(duration + from, 0)}, {Of::start, duration + to}, entry};
}

bool same_people(const Hands& a, const Hands& b) { return a.people == b.people && a.who == b.who; }

bool overlap(const Stint& a, const Stint& b) {
    return a.from.of == b.from.of && a.to.of == b.to.of && a.from.of == a.to.of && a.from.offset < b.to.offset &&
           b.from.offset < a.to.offset;
}

/// First and last that overlap are hands throughout.
std::vector<Stint> stints(const Subject& subject) {
    std::vector<Stint> result;
    for (std::size_t entry = 0; entry < subject.step.hands.size(); ++entry) {
        Stint next = stint(subject, static_cast<std::int32_t>(entry));
        const auto joins = [&](const Stint& other) {
            return overlap(next, other) && same_people(subject.step.hands[next.entry], subject.step.hands[other.entry]);
        };
        for (auto other = std::find_if(result.begin(), result.end(), joins); other != result.end();
             other = std::find_if(result.begin(), result.end(), joins)) {
            next = {{next.from.of, std::min(next.from.offset, other->from.offset)},
                    {next.to.of, std::max(next.to.offset, other->to.offset)},
                    other->entry};
            result.erase(other);
        }
        result.push_back(next);
    }
    return result;
}

/// Whether first and last of a step that keeps overlap when it is used at once, and do not when it is kept: such
/// hands are neither one demand nor two.
bool hands_meet_when_short(const Subject& subject, const std::vector<Stint>& stints) {
    if (subject.fixed()) return false;
    Time first_until = 0;
    Time last_from = subject.activity.duration;
    for (const Stint& stint : stints) {
        if (stint.to.of == Of::start) first_until = std::max(first_until, stint.to.offset);
        if (stint.from.of == Of::end && stint.from.offset < 0)
            last_from = std::min(last_from, subject.activity.duration + stint.from.offset);
    }
    return last_from < subject.activity.duration && last_from < first_until;
}

/// False where the hands of the step make no sense.
bool add_hands(const Subject& subject) {
    const std::vector<Stint> all = stints(subject);
    const bool planned = !subject.draft.actual_duration(subject.activity.name);
    if (planned && hands_meet_when_short(subject, all)) return false;
    for (const Stint& stint : all) {
        const Hands& hands = subject.step.hands[stint.entry];
        Demand demand;
        demand.choices = people(subject.draft.plan, hands.who);
        demand.from = stint.from;
        demand.to = stint.to;
        for (std::int32_t person = 0; person < hands.people; ++person)
            subject.add(demand, {DemandInfo::Kind::hands, stint.entry, person});
    }
    return true;
}

void add_wash(const Subject& subject) {
    const Wash& wash = *subject.step.wash;
    if (wash.takes <= Minutes{0}) return;
    Demand demand;
    demand.choices = people(subject.draft.plan, wash.who);
    demand.from = {Of::end, 0};
    demand.to = {Of::end, to_time(wash.takes)};
    subject.add(std::move(demand), {DemandInfo::Kind::wash_hands, 0, 0});
}

std::string name(const Subject& subject) {
    return step_name(subject.draft.plan, subject.draft.expansion.batches[subject.task.batch].component,
                     subject.task.step);
}

void refuse_long_programme(const Subject& subject) {
    subject.draft.error(subject.step.bake->place, "the settings of " + name(subject) + " last longer than it takes",
                        "leave the time of one setting out: it gets what is left of `takes`");
}

void refuse_settings(const Subject& subject) {
    subject.draft.error(subject.step.bake->place,
                        "the plan has more than " + std::to_string(Limits::oven_settings) + " different oven settings",
                        "bake more of it at the same temperature, or split the plan into several");
}

void refuse_short_hands(const Subject& subject) {
    subject.draft.error(subject.step.hands.front().place,
                        "the hands at the beginning and at the end of " + name(subject) + " come to more than it takes",
                        "let `takes` be at least as long as both together; it may be kept for longer");
}

}  // namespace

void add_demands(Draft& draft) {
    Expansion& expansion = draft.expansion;
    Project& project = expansion.project;
    OvenSettings settings;
    expansion.demands.resize(project.activities.size());
    for (std::size_t i = 0; i < project.activities.size(); ++i) {
        const Task& task = expansion.tasks[i];
        const Component& component = draft.component_of(expansion.batches[task.batch]);
        const Subject subject{draft,     static_cast<ActivityId>(i), task,
                              component, component.steps[task.step], project.activities[i]};
        for (std::size_t entry = 0; entry < subject.step.uses.size(); ++entry)
            add_use(subject, static_cast<std::int32_t>(entry));
        if (subject.step.bake) add_bake(subject, settings);
        if (!add_hands(subject)) return refuse_short_hands(subject);
        if (subject.step.wash) add_wash(subject);
        if (subject.step.bake && subject.activity.demands[subject.step.uses.size()].stages.empty())
            return refuse_long_programme(subject);
        if (settings.size() > Limits::oven_settings) return refuse_settings(subject);
    }
    project.settings = settings.infos();
    expansion.temperatures = settings.temperatures();
    for (std::size_t i = 0; i < draft.plan.kitchen.equipment.size(); ++i) {
        const Equipment& equipment = draft.plan.kitchen.equipment[i];
        Resource& resource = project.resources[resource_of_equipment(static_cast<EquipmentIndex>(i))];
        if (resource.has_state) resource.state = settings.rules(equipment, draft.plan.kitchen.room);
    }
}

}  // namespace oventide::expansion
