#include "support/random_bake.hpp"

#include <algorithm>
#include <string>
#include <vector>

namespace oventide::support {
namespace {

/// A linear congruential step (Knuth's MMIX constants): plain, portable, good enough for test data.
class Dice {
public:
    explicit Dice(std::uint64_t seed) : state_(seed * 0x9e3779b97f4a7c15ULL + 1) {}
    Time upto(Time bound) {
        state_ = state_ * 6364136223846793005ULL + 1442695040888963407ULL;
        return static_cast<Time>((state_ >> 33) % (static_cast<std::uint64_t>(bound) + 1));
    }
    Time between(Time low, Time high) { return low + upto(high - low); }
    bool chance(Time percent) { return upto(99) < percent; }

private:
    std::uint64_t state_;
};

enum ResourceIndex : ResourceId { kAnna, kBen, kMixer, kFridge, kOven, kSmallOven };

std::vector<CapacityStep> open_between(Time from, Time to, std::int32_t capacity) {
    if (from <= 0) return {{0, capacity}, {to, 0}};
    return {{0, 0}, {from, capacity}, {to, 0}};
}

void add_resources(Project& project, const RandomShape& shape, Dice& dice) {
    const Time horizon = shape.horizon;
    project.resources.resize(6);
    const char* names[] = {"anna", "ben", "mixer", "fridge", "oven", "small oven"};
    for (std::size_t r = 0; r < 6; ++r) {
        project.resources[r].name = names[r];
        project.resources[r].capacity = {{0, r == kFridge ? 2 : 1}};
        project.resources[r].wakes = r == kAnna || r == kBen;
    }
    project.attended = {{0, 2 * horizon}};
    if (shape.calendars) {
        const Time anna = dice.between(0, horizon / 4);
        const Time ben = dice.between(horizon / 4, horizon / 2);
        const Time away = dice.between(horizon * 3 / 4, horizon - 30);
        project.resources[kAnna].capacity = open_between(anna, away, 1);
        project.resources[kBen].capacity = open_between(ben, 2 * horizon, 1);
        const Time closed = dice.between(horizon / 4, horizon * 3 / 4);
        project.resources[kMixer].capacity = {{0, 1}, {closed, 0}, {closed + 20, 1}};
        project.attended = {{anna, 2 * horizon}};
        if (away < ben) project.attended = {{anna, away}, {ben, 2 * horizon}};
    }
    if (!shape.states) return;
    project.settings = {{"low", false}, {"high", false}, {"off", true}};
    for (const ResourceId oven : {kOven, kSmallOven}) {
        Resource& resource = project.resources[oven];
        resource.capacity = {{0, oven == kOven ? 2 : 1}};
        resource.has_state = true;
        const Time heat = dice.between(3, 15);
        const Time cool = dice.between(5, 25);
        // to:                        low       high        off
        resource.state.transition = {{0, heat, 0}, {cool, 0, 0}, {heat, 2 * heat, 0}};
        resource.state.startup = {heat, 2 * heat, 0};
        resource.state.self_starting = dice.chance(30);
    }
}

Demand hands(Dice& dice, Moment from, Moment to) {
    Demand demand;
    demand.choices = {kAnna, kBen};
    if (dice.chance(20)) demand.choices = {kAnna};
    if (dice.chance(10)) demand.choices = {kBen};
    demand.from = from;
    demand.to = to;
    return demand;
}

void make_bake(Activity& activity, Dice& dice) {
    Demand bake;
    bake.choices = {kOven};
    if (dice.chance(50)) bake.choices.push_back(kSmallOven);
    bake.amount = 1;
    bake.stages = {{static_cast<SettingId>(dice.upto(1)), activity.duration}};
    if (dice.chance(30) && activity.duration > 6) {
        bake.stages[0].lasts -= 5;
        bake.stages.push_back({static_cast<SettingId>(dice.chance(50) ? 2 : dice.upto(1)), 5});
    }
    if (dice.chance(30)) bake.sealed = dice.between(1, activity.duration);
    activity.demands.push_back(bake);
    activity.demands.push_back(hands(dice, {Moment::Of::start, 0}, {Moment::Of::start, 2}));
    activity.demands.push_back(hands(dice, {Moment::Of::end, -2}, {Moment::Of::end, 0}));
}

void make_mix(Activity& activity, Dice& dice) {
    Demand mixer;
    mixer.choices = {kMixer};
    const Time wash = dice.chance(50) ? 3 : 0;
    mixer.to = {Moment::Of::end, wash};
    activity.demands.push_back(mixer);
    activity.demands.push_back(hands(dice, {Moment::Of::start, 0}, {Moment::Of::end, 0}));
    if (wash > 0) activity.demands.push_back(hands(dice, {Moment::Of::end, 0}, {Moment::Of::end, wash}));
}

void make_chill(Activity& activity, ActivityId user, const RandomShape& shape, Dice& dice) {
    Demand fridge;
    fridge.choices = {kFridge};
    if (shape.stretches && user >= 0) {
        activity.stretchable = true;
        activity.users = {user};
        activity.keep = dice.chance(50) ? kNever : dice.between(0, 90);
        if (dice.chance(40)) activity.demands.push_back(hands(dice, {Moment::Of::end, -2}, {Moment::Of::end, 0}));
    }
    activity.demands.push_back(fridge);
}

void add_chain(Project& project, const RandomShape& shape, Dice& dice, std::int32_t length, Time latest) {
    const auto first = static_cast<ActivityId>(project.activities.size());
    for (std::int32_t k = 0; k < length; ++k) {
        const ActivityId id = first + k;
        const bool last = k + 1 == length;
        Activity activity;
        activity.name = "step " + std::to_string(id);
        activity.duration = dice.between(4, 30);
        const Time kind = dice.upto(2);
        if (kind == 0 && shape.states) {
            make_bake(activity, dice);
        } else if (kind == 1) {
            make_chill(activity, last ? -1 : id + 1, shape, dice);
        } else {
            make_mix(activity, dice);
            if (shape.stretches && !last && dice.chance(20)) activity.demands[0].held_until = {id + 1};
        }
        activity.due = last ? latest - dice.upto(60) : kNever;
        project.activities.push_back(activity);
        if (last) {
            project.links.push_back({id, -1, project.activities[id].due, 6});
            continue;
        }
        const Time rest = project.activities[id].duration + (dice.chance(30) ? dice.upto(20) : 0);
        project.lags.push_back({id, id + 1, rest, kNoPromise});
        if (project.activities[id].stretchable)
            project.activities[id].keep = std::max(project.activities[id].keep, rest - project.activities[id].duration);
        if (shape.maximum_lags && dice.chance(15))
            project.lags.push_back({id + 1, id, -rest, kNoPromise});
        else if (shape.maximum_lags && dice.chance(25))
            project.lags.push_back({id + 1, id, -(rest + dice.upto(60)), kNoPromise});
        project.links.push_back({id, id + 1, 0, 6});
        if (dice.chance(20)) project.freshness.push_back({{id}, {id + 1}, -1, dice.upto(30)});
    }
}

}  // namespace

Project random_bake(const RandomShape& shape, std::uint64_t seed) {
    Dice dice(seed);
    Project project;
    project.horizon = shape.horizon;
    project.goals = {Goal::overrun, Goal::alarm, Goal::waiting};
    add_resources(project, shape, dice);
    for (std::int32_t chain = 0; chain < shape.chains; ++chain) {
        const std::int32_t from = shape.activities * chain / shape.chains;
        const std::int32_t to = shape.activities * (chain + 1) / shape.chains;
        const Time latest =
            shape.spread ? shape.horizon - (shape.chains - 1 - chain) * (shape.horizon / shape.chains) : shape.horizon;
        if (to > from) add_chain(project, shape, dice, to - from, latest);
    }
    // One order draws on another, now and then.
    const auto count = static_cast<ActivityId>(project.activities.size());
    if (shape.chains > 1 && count > 3 && dice.chance(50)) {
        const ActivityId maker = count / shape.chains - 1;
        const ActivityId user = count - 1;
        if (maker < user) project.lags.push_back({maker, user, project.activities[maker].duration, kNoPromise});
    }
    return project;
}

}  // namespace oventide::support
