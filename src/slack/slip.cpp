#include "slack/slip.hpp"

#include <algorithm>
#include <numeric>

namespace oventide::slack {
namespace {

/// How many choices between ways to mend may be tried for one slip. Every way is tried in projects of a bake day's
/// size; beyond it the slip counts as impossible, so that a float is never said to be more than it is.
constexpr int kChoices = 256;

/// Raised beyond it: there is no such time, as where a resource is closed for good.
constexpr Time kEndOfTime = kNever / 2;

std::int64_t sum(const std::vector<Time>& starts) {
    return std::accumulate(starts.begin(), starts.end(), std::int64_t{0});
}

}  // namespace

Slip::Slip(const Project& project, const Schedule& schedule, const Bonds& bonds)
    : project_(project), schedule_(schedule), bonds_(bonds), moving_(project.activities.size(), 0) {}

/// Minute by minute would do; but between the events at which something new is pushed, jumps or stands in the way,
/// all that moves moves alike, so those stretches are taken at once.
Time Slip::total(ActivityId slipped) {
    starts_ = schedule_.start;
    chose_ = false;
    for (;;) {
        set_off(slipped);
        glide();
        stand_still();
        const Time next = starts_[slipped] + 1;
        if (step(slipped, next, true)) continue;
        return step(slipped, next, false) ? kNever : next - 1 - schedule_.start[slipped];
    }
}

/// Everything may be out of place at first, so everything is looked at.
std::optional<std::vector<Time>> Slip::shift(const std::vector<Time>& starts) {
    slipped_ = -1;
    within_horizon_ = true;
    choices_left_ = kChoices;
    Push push{starts, {}, {}, std::vector<char>(bonds_.guard_count(), 0), {}};
    for (ActivityId id = 0; id < static_cast<ActivityId>(starts.size()); ++id) {
        if (starts[id] > latest(id) || !raise(push, {id, project_.activities[id].release})) return std::nullopt;
        push.moved.push_back(id);
    }
    for (int guard = 0; guard < static_cast<int>(bonds_.guard_count()); ++guard) suspect(push, guard);
    if (!settle(push)) return std::nullopt;
    return std::move(push.starts);
}

void Slip::set_off(ActivityId slipped) {
    slipped_ = -1;
    within_horizon_ = true;
    moved_ = 0;
    most_ = kNever;
    events_ = {};
    join(slipped);
}

/// The activity moves from now on, and with it whatever it touches.
void Slip::join(ActivityId id) {
    const std::size_t first = movers_.size();
    const auto add = [&](ActivityId mover) {
        moving_[mover] = 1;
        starts_[mover] -= moved_;
        movers_.push_back(mover);
    };
    add(id);
    for (std::size_t k = first; k < movers_.size(); ++k) {
        const Time written = starts_[movers_[k]];
        most_ = std::min(most_, latest(movers_[k]) - written);
        for (const Arc& arc : bonds_.arcs(movers_[k])) {
            if (moving_[arc.to]) continue;
            const Time touches = starts_[arc.to] - written - arc.lag;
            if (touches <= moved_)
                add(arc.to);
            else
                events_.push({touches, arc.to, -1});
        }
    }
    for (std::size_t k = first; k < movers_.size(); ++k)
        for (const int guard : bonds_.guards_on(movers_[k])) events_.push({moved_, -1, guard});
}

/// Moves on until a guard or a deadline stands in the way.
void Slip::glide() {
    while (!events_.empty() && events_.top().moved <= most_) {
        const Event event = events_.top();
        events_.pop();
        moved_ = event.moved;
        if (event.guard < 0) {
            if (!moving_[event.activity]) join(event.activity);
            continue;
        }
        const Time room = bonds_.room(event.guard, Starts(starts_, moving_, moved_), moving_);
        if (room <= 0) return;
        if (room < kNever) events_.push({moved_ + room, -1, event.guard});
    }
    moved_ = std::max(moved_, most_);
}

void Slip::stand_still() {
    for (const ActivityId id : movers_) {
        starts_[id] += moved_;
        moving_[id] = 0;
    }
    movers_.clear();
}

/// Tries to have the slipped activity start at exactly `target`. A way that was chosen for a smaller slip need not
/// lead on from there: then everything is tried again from the beginning.
bool Slip::step(ActivityId slipped, Time target, bool within_horizon) {
    slipped_ = slipped;
    target_ = target;
    within_horizon_ = within_horizon;
    for (const bool afresh : {false, true}) {
        choices_left_ = kChoices;
        Push push{afresh ? schedule_.start : starts_, {}, {}, std::vector<char>(bonds_.guard_count(), 0), {}};
        if (raise(push, {slipped, target}) && settle(push)) {
            starts_ = std::move(push.starts);
            chose_ = chose_ || choices_left_ < kChoices;
            return true;
        }
        if (!chose_) break;
    }
    return false;
}

bool Slip::settle(Push& push) {
    while (!push.moved.empty() || !push.suspects.empty())
        if (!follow_arcs(push) || !mend_what_is_forced(push)) return false;
    return push.undecided.empty() || choose(push);
}

bool Slip::follow_arcs(Push& push) const {
    for (std::size_t k = 0; k < push.moved.size(); ++k) {
        const ActivityId id = push.moved[k];
        for (const Arc& arc : bonds_.arcs(id))
            if (!raise(push, {arc.to, push.starts[id] + arc.lag})) return false;
        for (const int guard : bonds_.guards_on(id)) suspect(push, guard);
    }
    push.moved.clear();
    return true;
}

/// Stops as soon as something has moved.
bool Slip::mend_what_is_forced(Push& push) const {
    while (!push.suspects.empty() && push.moved.empty()) {
        const int guard = push.suspects.back();
        push.suspects.pop_back();
        push.is_suspect[guard] = 0;
        const auto ways = bonds_.mend(guard, push.starts);
        if (!ways) continue;
        if (ways->empty()) return false;
        if (ways->size() > 1) {
            push.undecided.push_back(guard);
            continue;
        }
        suspect(push, guard);
        if (!raise(push, ways->front())) return false;
    }
    return true;
}

bool Slip::choose(Push& push) {
    const auto undecided = std::move(push.undecided);
    push.undecided.clear();
    for (const int guard : undecided) suspect(push, guard);
    const auto ways = bonds_.mend(undecided.front(), push.starts);
    if (!ways) return settle(push);  // what moved since has mended it
    std::optional<Push> best;
    for (const Raise& way : *ways) {
        if (choices_left_-- <= 0) break;
        Push tried = push;
        if (!raise(tried, way) || !settle(tried)) continue;
        if (!best || sum(tried.starts) < sum(best->starts)) best = std::move(tried);
        if (slipped_ >= 0) break;  // whether there is a way is all that a float asks
    }
    if (!best) return false;
    push = std::move(*best);
    return true;
}

/// False when that is later than it may be.
bool Slip::raise(Push& push, const Raise& raise) const {
    if (push.starts[raise.activity] >= raise.to) return true;
    if (raise.to > latest(raise.activity) || raise.to > kEndOfTime) return false;
    push.starts[raise.activity] = raise.to;
    push.moved.push_back(raise.activity);
    return true;
}

void Slip::suspect(Push& push, int guard) const {
    if (push.is_suspect[guard]) return;
    push.is_suspect[guard] = 1;
    push.suspects.push_back(guard);
}

Time Slip::latest(ActivityId id) const {
    const Activity& activity = project_.activities[id];
    const Time ready_by = within_horizon_ ? std::min(activity.due, project_.horizon) : activity.due;
    const Time start_by = ready_by - activity.duration;
    return id == slipped_ ? std::min(start_by, target_) : start_by;
}

}  // namespace oventide::slack
