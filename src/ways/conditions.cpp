#include "ways/conditions.hpp"

#include <algorithm>
#include <numeric>

#include "expand/arithmetic.hpp"
#include "expand/calendars.hpp"
#include "oventide/limits.hpp"

namespace oventide::ways {
namespace {

using Kind = Condition::Kind;

constexpr Minutes kDay{24 * 60};
/// Longer than what any bake day waits for.
constexpr Minutes kRoom = 7 * kDay;

std::optional<Kind> kind_of(const Promise& promise) {
    switch (promise.kind) {
        case Promise::Kind::pickup:
            return Kind::pickup;
        case Promise::Kind::within:
            return Kind::within;
        case Promise::Kind::keeps:
        case Promise::Kind::kept_until_pickup:
            return Kind::keeps;
        case Promise::Kind::safety:
            return Kind::safety;
        case Promise::Kind::rest:
            return Kind::rest;
        case Promise::Kind::order:
        case Promise::Kind::batch_order:
        case Promise::Kind::load_order:
            return std::nullopt;
    }
    return std::nullopt;
}

Instant last_pickup(const Plan& plan) {
    Instant last = plan.from;
    for (const Order& order : plan.orders) last = std::max(last, order.pickup);
    return last;
}

/// The plan with an earlier beginning; the bounds of a plan's length are kept.
std::optional<Expansion> expand_early(const Plan& plan) {
    const Minutes spare = std::chrono::days{Limits::horizon_days} - (last_pickup(plan) - plan.from);
    if (spare <= Minutes{0}) return std::nullopt;
    Plan early = plan;
    early.from -= std::min(kRoom, spare);
    return expand(early).expansion;
}

std::int32_t most_wanted(const Project& project, ResourceId resource) {
    std::int32_t sum = 0;
    for (const Activity& activity : project.activities)
        for (const Demand& demand : activity.demands)
            if (std::find(demand.choices.begin(), demand.choices.end(), resource) != demand.choices.end())
                sum += demand.amount;
    return sum;
}

}  // namespace

Relaxations::Relaxations(const Plan& plan, const Expansion& expansion)
    : plan_(plan), expansion_(expansion), early_(expand_early(plan)), room_(expansion::to_time(kRoom)) {
    list_promises();
    list_steps();
    list_kitchen();
}

/// What a component keeps is one promise, whether it is kept until a use or until a pickup.
PromiseId Relaxations::representative(PromiseId id) const {
    const Promise& promise = expansion_.promises[id];
    if (promise.kind != Promise::Kind::kept_until_pickup) return id;
    const auto same = std::find_if(expansion_.promises.begin(), expansion_.promises.end(), [&](const Promise& other) {
        return other.kind == Promise::Kind::keeps && other.component == promise.component && other.step == -1;
    });
    return same == expansion_.promises.end() ? id : static_cast<PromiseId>(same - expansion_.promises.begin());
}

/// Those that bind something, sorted by kind and then as they are numbered.
void Relaxations::list_promises() {
    std::vector<bool> binds(expansion_.promises.size(), false);
    const auto note = [&](PromiseId id) {
        if (id != kNoPromise) binds[representative(id)] = true;
    };
    for (const Lag& lag : expansion_.project.lags) note(lag.promise);
    for (const Activity& activity : expansion_.project.activities) {
        note(activity.due_promise);
        note(activity.keep_promise);
        note(activity.release_promise);
    }
    condition_of_promise_.assign(binds.size(), -1);
    for (const Kind kind : {Kind::pickup, Kind::within, Kind::keeps, Kind::safety, Kind::rest})
        for (std::size_t i = 0; i < binds.size(); ++i) {
            const Promise& promise = expansion_.promises[i];
            if (!binds[i] || kind_of(promise) != kind) continue;
            condition_of_promise_[i] = static_cast<std::int32_t>(conditions_.size());
            Condition condition;
            condition.kind = kind;
            condition.promise = static_cast<PromiseId>(i);
            condition.place = promise.place;
            add(condition);
        }
    for (std::size_t i = 0; i < binds.size(); ++i)
        condition_of_promise_[i] = condition_of_promise_[representative(static_cast<PromiseId>(i))];
}

namespace {

/// Hands in the last minutes of what keeps.
bool is_last(const Activity& activity, const Demand& demand, const DemandInfo& info) {
    return info.kind == DemandInfo::Kind::hands && activity.stretchable && demand.from.of == Moment::Of::end;
}

}  // namespace

/// What hands are wanted for when a step ends, whenever that is.
void Relaxations::list_steps() {
    const auto list = [&](Kind kind, auto applies) {
        std::vector<std::pair<ComponentIndex, StepIndex>> steps;
        for (std::size_t id = 0; id < expansion_.tasks.size(); ++id) {
            const Task& task = expansion_.tasks[id];
            const Activity& activity = expansion_.project.activities[id];
            for (std::size_t k = 0; k < activity.demands.size(); ++k)
                if (applies(activity, activity.demands[k], expansion_.demands[id][k]))
                    steps.emplace_back(expansion_.batches[task.batch].component, task.step);
        }
        std::sort(steps.begin(), steps.end());
        steps.erase(std::unique(steps.begin(), steps.end()), steps.end());
        for (const auto& [component, step] : steps) {
            Condition condition;
            condition.kind = kind;
            condition.component = component;
            condition.step = step;
            condition.place = plan_.components[component].steps[step].place;
            add(condition);
        }
    };
    list(Kind::wash, [](const Activity&, const Demand&, const DemandInfo& info) {
        return info.kind == DemandInfo::Kind::wash_hands;
    });
    list(Kind::last, is_last);
}

void Relaxations::list_kitchen() {
    std::vector<bool> wanted(expansion_.resources.size(), false);
    std::vector<std::vector<bool>> sealed;
    for (const Component& component : plan_.components) sealed.emplace_back(component.steps.size(), false);
    for (std::size_t id = 0; id < expansion_.project.activities.size(); ++id)
        for (const Demand& demand : expansion_.project.activities[id].demands) {
            for (const ResourceId choice : demand.choices) wanted[choice] = true;
            const Task& task = expansion_.tasks[id];
            if (demand.sealed > 0) sealed[expansion_.batches[task.batch].component][task.step] = true;
        }

    for (std::size_t c = 0; c < sealed.size(); ++c)
        for (std::size_t s = 0; s < sealed[c].size(); ++s) {
            if (!sealed[c][s]) continue;
            Condition door;
            door.kind = Kind::door;
            door.component = static_cast<ComponentIndex>(c);
            door.step = static_cast<StepIndex>(s);
            door.place = plan_.components[c].steps[s].bake->place;
            add(door);
        }
    const auto each_equipment = [&](Kind kind, auto applies) {
        for (std::size_t i = 0; i < plan_.kitchen.equipment.size(); ++i) {
            const Equipment& equipment = plan_.kitchen.equipment[i];
            const auto index = static_cast<EquipmentIndex>(i);
            if (!wanted[expansion::resource_of_equipment(index)] || !applies(equipment)) continue;
            Condition condition;
            condition.kind = kind;
            condition.equipment = index;
            condition.place = equipment.place;
            add(condition);
            if (kind == Kind::heat) return;  // ovens go together: a load may choose between them
        }
    };
    each_equipment(Kind::closed, [](const Equipment& equipment) { return !equipment.closed.empty(); });
    each_equipment(Kind::heat, [](const Equipment& equipment) { return equipment.kind == EquipmentKind::oven; });
    each_equipment(Kind::amount, [](const Equipment&) { return true; });
    for (const Kind kind : {Kind::hours, Kind::hands})
        for (std::size_t i = 0; i < plan_.kitchen.crew.size(); ++i) {
            const auto person = static_cast<PersonIndex>(i);
            // Hours count for those too whose hands nobody asks for: an oven is switched on while somebody is there.
            if (kind == Kind::hands && !wanted[expansion::resource_of_person(plan_, person)]) continue;
            Condition condition;
            condition.kind = kind;
            condition.person = person;
            condition.place = plan_.kitchen.crew[i].place;
            add(condition);
        }
    if (early_) {
        Condition from;
        from.kind = Kind::from;
        from.place = plan_.from_place;
        add(from);
    }
}

namespace {

/// Leaves conditions out of a project, one after another.
class Editor {
public:
    Editor(const Plan& plan, Project project, Time room)
        : kitchen_(plan), project_(std::move(project)), hours_known_{plan.from - kDay, last_pickup(plan) + kDay} {
        project_.horizon += room;
        project_.goals.clear();
        project_.freshness.clear();
        project_.links.clear();
    }

    void begin_at(Instant origin) { kitchen_.from = origin; }
    void drop_hours(PersonIndex person) { kitchen_.kitchen.crew[person].hours = {everything()}; }
    void drop_closing(EquipmentIndex equipment) { kitchen_.kitchen.equipment[equipment].closed.clear(); }
    void drop_amount(ResourceId resource) { plenty_.push_back(resource); }
    void drop_heat() { heat_ = false; }

    /// `left_out` says whether a promise is.
    template <class LeftOut>
    void drop_promises(const std::vector<Promise>& promises, LeftOut left_out) {
        std::vector<Lag> lags;
        for (Lag lag : project_.lags) {
            if (left_out(lag.promise)) {
                if (promises[lag.promise].kind != Promise::Kind::rest) continue;
                lag.lag = project_.activities[lag.from].duration;  // it still comes after
            }
            lags.push_back(lag);
        }
        project_.lags = std::move(lags);
        for (Activity& activity : project_.activities) {
            if (left_out(activity.due_promise)) activity.due = kNever;
            if (left_out(activity.keep_promise)) activity.keep = kNever;
            if (left_out(activity.release_promise)) activity.release = 0;
        }
    }

    void open_door(ActivityId id) {
        for (Demand& demand : project_.activities[id].demands) demand.sealed = 0;
    }

    /// `infos` say what the activity's demands are.
    void drop_wash(ActivityId id, const Step& step, const std::vector<DemandInfo>& infos) {
        auto& demands = project_.activities[id].demands;
        for (std::size_t k = 0; k < demands.size(); ++k) {
            if (infos[k].kind == DemandInfo::Kind::wash_hands) demands[k].amount = 0;
            if (infos[k].kind != DemandInfo::Kind::equipment) continue;
            const Use& use = step.uses[infos[k].entry];
            if (!use.washed) continue;
            demands[k].to = use.part.to ? Moment{Moment::Of::start, expansion::to_time(*use.part.to)}
                                        : Moment{Moment::Of::end, expansion::to_time(use.part.past_end)};
        }
    }

    void drop_last(ActivityId id, const std::vector<DemandInfo>& infos) {
        Activity& activity = project_.activities[id];
        for (std::size_t k = 0; k < activity.demands.size(); ++k)
            if (is_last(activity, activity.demands[k], infos[k])) activity.demands[k].amount = 0;
    }

    Project take() {
        for (Activity& activity : project_.activities)
            std::erase_if(activity.demands, [](const Demand& demand) { return demand.amount == 0; });
        for (Person& person : kitchen_.kitchen.crew) there_when_nothing_is_said(person);
        auto resources = expansion::resources(kitchen_, project_.horizon);
        for (std::size_t i = 0; i < resources.size(); ++i) resources[i].state = std::move(project_.resources[i].state);
        project_.resources = std::move(resources);
        project_.attended = expansion::attended(kitchen_, project_.horizon);
        for (const ResourceId resource : plenty_)
            for (CapacityStep& step : project_.resources[resource].capacity)
                if (step.capacity > 0) step.capacity = std::max(step.capacity, most_wanted(project_, resource));
        if (!heat_) forget_heat();
        return std::move(project_);
    }

private:
    Span everything() const { return {hours_known_.from - 5 * kRoom, hours_known_.to + 2 * kRoom}; }

    void there_when_nothing_is_said(Person& person) const {
        person.hours.push_back({everything().from, hours_known_.from});
        person.hours.push_back({hours_known_.to, everything().to});
    }

    void forget_heat() {
        for (Resource& resource : project_.resources) {
            resource.has_state = false;
            resource.state = {};
        }
        for (Activity& activity : project_.activities)
            for (Demand& demand : activity.demands) {
                demand.stages.clear();
                demand.sealed = 0;
            }
    }

    Plan kitchen_;  ///< only its kitchen and its beginning count
    Project project_;
    Span hours_known_;
    std::vector<ResourceId> plenty_;
    bool heat_ = true;
};

}  // namespace

Project Relaxations::keeping(const std::vector<bool>& kept) const {
    const auto from = std::find_if(conditions_.begin(), conditions_.end(),
                                   [](const Condition& one) { return one.kind == Kind::from; });
    const bool early = from != conditions_.end() && !kept[static_cast<std::size_t>(from - conditions_.begin())];
    const Expansion& base = early ? *early_ : expansion_;

    Editor editor(plan_, base.project, room_);
    editor.begin_at(base.origin);
    editor.drop_promises(base.promises, [&](PromiseId id) {
        return id != kNoPromise && condition_of_promise_[id] >= 0 && !kept[condition_of_promise_[id]];
    });
    for (std::size_t i = 0; i < conditions_.size(); ++i) {
        if (kept[i]) continue;
        const Condition& condition = conditions_[i];
        switch (condition.kind) {
            case Kind::door:
                for (std::size_t id = 0; id < base.tasks.size(); ++id)
                    if (base.tasks[id].step == condition.step &&
                        base.batches[base.tasks[id].batch].component == condition.component)
                        editor.open_door(static_cast<ActivityId>(id));
                break;
            case Kind::wash:
            case Kind::last:
                for (std::size_t id = 0; id < base.tasks.size(); ++id) {
                    const Task& task = base.tasks[id];
                    if (task.step != condition.step || base.batches[task.batch].component != condition.component)
                        continue;
                    if (condition.kind == Kind::last)
                        editor.drop_last(static_cast<ActivityId>(id), base.demands[id]);
                    else
                        editor.drop_wash(static_cast<ActivityId>(id),
                                         plan_.components[condition.component].steps[condition.step], base.demands[id]);
                }
                break;
            case Kind::closed:
                editor.drop_closing(condition.equipment);
                break;
            case Kind::heat:
                editor.drop_heat();
                break;
            case Kind::amount:
                editor.drop_amount(expansion::resource_of_equipment(condition.equipment));
                break;
            case Kind::hours:
                editor.drop_hours(condition.person);
                break;
            case Kind::hands:
                editor.drop_amount(expansion::resource_of_person(plan_, condition.person));
                break;
            case Kind::pickup:
            case Kind::within:
            case Kind::keeps:
            case Kind::safety:
            case Kind::rest:  // a promise
            case Kind::from:  // another expansion
                break;
        }
    }
    return editor.take();
}

std::vector<Condition> conditions_of(const Plan& plan, const Expansion& expansion) {
    return Relaxations(plan, expansion).conditions();
}

}  // namespace oventide::ways
