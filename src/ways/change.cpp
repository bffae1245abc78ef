/// Each change, made to a plan.

#include <algorithm>

#include "common/spans.hpp"
#include "oventide/ways.hpp"

namespace oventide::ways {
namespace {

/// More than any plan lasts.
constexpr std::chrono::days kLong{1'000};

/// All time but `only`.
std::vector<Span> closed_but(const Span& only) { return {{only.from - kLong, only.from}, {only.to, only.to + kLong}}; }

/// A piece of equipment that can be used wherever its model can.
void add_like(Plan& plan, EquipmentIndex model, Equipment equipment) {
    const auto added = static_cast<EquipmentIndex>(plan.kitchen.equipment.size());
    equipment.name = "another " + equipment.name;
    plan.kitchen.equipment.push_back(std::move(equipment));
    const auto admit = [&](std::vector<EquipmentIndex>& choices) {
        if (std::find(choices.begin(), choices.end(), model) != choices.end()) choices.push_back(added);
    };
    for (Component& component : plan.components)
        for (Step& step : component.steps) {
            for (Use& use : step.uses) admit(use.choices);
            if (step.bake) admit(step.bake->ovens);
        }
}

struct Changer {
    Plan plan;

    void operator()(const LongerHours& change) {
        auto& hours = plan.kitchen.crew[change.person].hours;
        hours[change.stretch].from -= change.earlier;
        hours[change.stretch].to += change.longer;
        hours = merged(std::move(hours));
    }
    void operator()(const ExtraHours& change) {
        auto& hours = plan.kitchen.crew[change.person].hours;
        hours.push_back(change.only.value_or(Span{plan.from - kLong, plan.from + kLong}));
        hours = merged(std::move(hours));
    }
    void operator()(const EarlierBeginning& change) { plan.from -= change.earlier; }
    void operator()(const LaterPickup& change) { plan.orders[change.order].pickup += change.later; }
    void operator()(const ShorterClosing& change) {
        auto& closed = plan.kitchen.equipment[change.equipment].closed;
        closed[change.closing].from += change.begins_later;
        closed[change.closing].to -= change.ends_earlier;
        closed = merged(std::move(closed));
    }
    void operator()(const AnotherPerson& change) {
        Person person;
        person.name = "another person";
        for (const Person& one : plan.kitchen.crew)
            person.hours.insert(person.hours.end(), one.hours.begin(), one.hours.end());
        if (change.only) person.hours = {*change.only};
        person.hours = merged(std::move(person.hours));
        plan.kitchen.crew.push_back(std::move(person));
    }
    void operator()(const OneMore& change) {
        Equipment& model = plan.kitchen.equipment[change.equipment];
        if (!change.only && model.closed.empty()) {
            ++model.capacity;
            return;
        }
        Equipment another = model;
        another.capacity = 1;
        another.closed = change.only ? closed_but(*change.only) : std::vector<Span>();
        add_like(plan, change.equipment, std::move(another));
    }
    void operator()(const AnotherOven& change) {
        Equipment another = plan.kitchen.equipment[change.like];
        another.closed = change.only ? closed_but(*change.only) : std::vector<Span>();
        add_like(plan, change.like, std::move(another));
    }
    void operator()(const EasierPromise& change) {
        const Promise& promise = change.promise;
        Component& component = plan.components[promise.component];
        if (promise.step < 0) {
            *component.keeps += change.by;
            return;
        }
        Step& step = component.steps[promise.step];
        const auto ease = [&](auto& wait) {
            if (promise.kind == Promise::Kind::rest)
                wait.rest -= change.by;
            else
                *wait.within += change.by;
        };
        if (promise.after >= 0)
            ease(step.after[promise.after]);
        else if (promise.draw >= 0)
            ease(step.draws[promise.draw]);
        else
            *step.keeps += change.by;
    }
    void operator()(const ByLoad& change) { plan.components[change.component].steps[change.step].by_load = true; }
    void operator()(const BatchSize& change) { plan.components[change.component].most = change.most; }
    void operator()(const UsualTimes&) { plan.times = Times::usual; }
    void operator()(const SmallerOrder& change) {
        auto& items = plan.orders[change.order].items;
        items[change.item].pieces -= change.fewer;
        if (items[change.item].pieces <= 0) items.erase(items.begin() + change.item);
        if (items.empty()) plan.orders.erase(plan.orders.begin() + change.order);
    }
};

}  // namespace

Plan changed(const Plan& plan, const Change& change) {
    Changer changer{plan};
    std::visit(changer, change);
    return std::move(changer.plan);
}

}  // namespace oventide::ways
