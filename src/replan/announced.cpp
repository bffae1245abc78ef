#include "replan/announced.hpp"

#include <algorithm>
#include <map>
#include <tuple>
#include <vector>

namespace oventide::replan {
namespace {

struct Busy {
    Interval when;
    std::int32_t amount;
};

bool has_room(const Resource& resource, const std::vector<Busy>& busy, Interval when, std::int32_t amount) {
    std::vector<Time> minutes{when.from};
    for (const Busy& other : busy)
        if (other.when.from > when.from && other.when.from < when.to) minutes.push_back(other.when.from);
    for (const CapacityStep& step : resource.capacity)
        if (step.from > when.from && step.from < when.to) minutes.push_back(step.from);
    return std::ranges::all_of(minutes, [&](Time minute) {
        std::int64_t used = amount;
        for (const Busy& other : busy)
            if (other.when.from <= minute && minute < other.when.to) used += other.amount;
        std::int32_t capacity = 0;
        for (const CapacityStep& step : resource.capacity)
            if (step.from <= minute) capacity = step.capacity;
        return used <= capacity;
    });
}

struct Question {
    Interval when;
    std::vector<ResourceId> choices;  ///< those that were named, or all
    ActivityId activity;
    int demand;
};

std::vector<ResourceId> named(const Plan& plan, const Expansion& expansion, const Demand& demand,
                              const journal::PublishedStep& row) {
    std::vector<ResourceId> choices;
    for (const ResourceId choice : demand.choices) {
        const ResourceInfo& info = expansion.resources[choice];
        const auto& names = info.person ? row.who : row.uses;
        const std::string& name =
            info.person ? plan.kitchen.crew[*info.person].name : plan.kitchen.equipment[*info.equipment].name;
        if (std::ranges::find(names, name) != names.end()) choices.push_back(choice);
    }
    return choices.empty() ? demand.choices : choices;
}

std::vector<ResourceId> who_washes(const Plan& plan, const Expansion& expansion, const Demand& demand,
                                   const std::string& step, const journal::Published& published) {
    const auto row = std::ranges::find(published.washing, step, &journal::PublishedWashing::step);
    if (row == published.washing.end()) return demand.choices;
    for (const ResourceId choice : demand.choices)
        if (plan.kitchen.crew[*expansion.resources[choice].person].name == row->who) return {choice};
    return demand.choices;
}

/// Where each piece of work has a name of its own, they come in the order of the names.
void one_after_another(const Plan& plan, const Expansion& expansion, const journal::PublishedStep& row,
                       std::vector<Question>& questions) {
    std::vector<Question*> hands;
    for (Question& question : questions) {
        const DemandInfo& info = expansion.demands[question.activity][static_cast<std::size_t>(question.demand)];
        if (info.kind == DemandInfo::Kind::hands && question.when.from < question.when.to) hands.push_back(&question);
    }
    if (hands.size() != row.who.size()) return;
    std::ranges::stable_sort(hands, {}, [](const Question* question) { return question->when.from; });
    for (std::size_t k = 0; k < hands.size(); ++k)
        for (const ResourceId choice : std::vector(hands[k]->choices))
            if (plan.kitchen.crew[*expansion.resources[choice].person].name == row.who[k]) hands[k]->choices = {choice};
}

}  // namespace

std::optional<Schedule> announced_schedule(const Plan& plan, const Expansion& expansion,
                                           const journal::Published& published) {
    const Project& project = expansion.project;
    std::map<std::string, const journal::PublishedStep*> rows;
    for (const journal::PublishedStep& row : published.steps) rows[row.id] = &row;
    Schedule schedule;
    bool any = false;
    for (const Activity& activity : project.activities) {
        const auto row = rows.find(activity.name);
        schedule.start.push_back(row != rows.end() ? static_cast<Time>((row->second->start - expansion.origin).count())
                                                   : std::max(activity.release, project.horizon - activity.duration));
        any = any || row != rows.end();
        std::vector<ResourceId> chosen;
        for (const Demand& demand : activity.demands) chosen.push_back(demand.choices.front());
        schedule.chosen.push_back(std::move(chosen));
    }
    if (!any) return std::nullopt;
    complete(project, schedule);

    std::vector<Question> questions;
    for (ActivityId id = 0; id < static_cast<ActivityId>(project.activities.size()); ++id) {
        const auto found = rows.find(project.activities[id].name);
        if (found == rows.end()) continue;
        const journal::PublishedStep& row = *found->second;
        std::vector<Question> asked;
        for (int k = 0; k < static_cast<int>(project.activities[id].demands.size()); ++k) {
            const Demand& demand = project.activities[id].demands[k];
            const bool washes = expansion.demands[id][k].kind == DemandInfo::Kind::wash_hands;
            asked.push_back(
                {demand_interval(project, schedule, id, k),
                 washes ? who_washes(plan, expansion, demand, row.id, published) : named(plan, expansion, demand, row),
                 id, k});
        }
        one_after_another(plan, expansion, row, asked);
        questions.insert(questions.end(), asked.begin(), asked.end());
    }
    // What is certain comes first, so that the rest knows who is taken.
    std::ranges::stable_sort(questions, {}, [](const Question& question) {
        return std::tuple(question.choices.size() > 1, question.when.from);
    });
    std::vector<std::vector<Busy>> busy(project.resources.size());
    for (const Question& question : questions) {
        const std::int32_t amount = project.activities[question.activity].demands[question.demand].amount;
        const auto free = std::ranges::find_if(question.choices, [&](ResourceId choice) {
            return has_room(project.resources[choice], busy[choice], question.when, amount);
        });
        const ResourceId taken = free == question.choices.end() ? question.choices.front() : *free;
        schedule.chosen[question.activity][question.demand] = taken;
        if (question.when.from < question.when.to) busy[taken].push_back({question.when, amount});
    }
    complete(project, schedule);
    return schedule;
}

std::vector<Instant> told_pickups(const Plan& plan, const journal::Journal& journal,
                                  const journal::Published* published) {
    std::vector<Instant> pickups;
    for (const Order& order : plan.orders) pickups.push_back(order.pickup);
    if (published == nullptr) return pickups;
    for (const journal::Entry* entry : journal.standing()) {
        if (std::get_if<journal::Published>(&entry->event) == published) break;
        const auto* moved = std::get_if<journal::PickupMoved>(&entry->event);
        if (moved == nullptr) continue;
        const auto order = std::ranges::find(plan.orders, moved->order, &Order::name);
        if (order != plan.orders.end()) pickups[static_cast<std::size_t>(order - plan.orders.begin())] = moved->at;
    }
    return pickups;
}

}  // namespace oventide::replan
