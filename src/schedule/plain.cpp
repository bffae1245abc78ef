#include "schedule/plain.hpp"

#include <algorithm>
#include <array>
#include <bit>
#include <numeric>

namespace oventide::scheduling {
namespace {

constexpr Time kLongestGrid = 1 << 21;

bool constant(const Resource& resource) {
    return !resource.has_state && resource.capacity.size() == 1 && resource.capacity.front().from <= 0;
}

/// One interval for all needs of the unit, the same wherever it starts.
bool plain_needs(const Model& model, UnitId unit) {
    const auto needs = model.needs_of(unit);
    return std::all_of(needs.begin(), needs.end(), [&](const Need& need) {
        return need.pulls.empty() && !need.has_state() && model.choices_of(need).size() == 1 &&
               need.span.to.fixed <= -kNever && need.span.from.fixed <= -kNever &&
               need.span.from.shift == needs.front().span.from.shift && need.span.from.shift >= 0 &&
               need.span.to.shift == needs.front().span.to.shift && need.span.to.shift <= model.units[unit].length &&
               constant(model.project->resources[need.demand->choices.front()]);
    });
}

bool plain_goals(const Project& project) {
    if (project.goals != std::vector<Goal>{Goal::alarm}) return false;
    for (const Resource& resource : project.resources)
        if (resource.wakes) return false;
    // A release is a promise that going later and later could not break, but a pass from the other end could.
    return std::all_of(project.activities.begin(), project.activities.end(),
                       [](const Activity& activity) { return activity.release <= 0 && activity.held_until < 0; });
}

/// Starts and finishes both come in the order of the lags, so that a list by either is in order.
bool plain_lags(const Model& model, UnitId unit) {
    const auto out = model.out[unit];
    return !model.units[unit].linked && std::all_of(out.begin(), out.end(), [&](const Link& link) {
        return link.lag >= 0 && link.lag + model.units[link.unit].length >= model.units[unit].length;
    });
}

bool is_plain(const Model& model) {
    if (!plain_goals(*model.project) || model.ends_open) return false;
    for (UnitId unit = 0; unit < model.count(); ++unit)
        if (!plain_lags(model, unit) || !plain_needs(model, unit)) return false;
    return true;
}

/// Packs capacities and demands; false where they need more than 64 bits.
bool pack(const Model& model, PlainModel& plain) {
    const auto& resources = model.project->resources;
    std::vector<int> shift(resources.size(), -1);
    int bits = 0;
    for (const Need& need : model.needs) {
        const ResourceId resource = need.demand->choices.front();
        if (shift[resource] >= 0) continue;
        const auto capacity = static_cast<std::uint64_t>(std::max(0, resources[resource].capacity.front().capacity));
        const int width = static_cast<int>(std::bit_width(capacity)) + 1;
        if (bits + width > 64) return false;
        shift[resource] = bits;
        plain.capacity |= capacity << bits;
        plain.guards |= std::uint64_t{1} << (bits + width - 1);
        bits += width;
    }
    plain.capacity |= plain.guards;
    std::vector<std::uint64_t> used(resources.size());
    for (UnitId unit = 0; unit < model.count(); ++unit) {
        std::uint64_t word = 0;
        std::fill(used.begin(), used.end(), 0);
        for (const Need& need : model.needs_of(unit)) {
            const ResourceId resource = need.demand->choices.front();
            used[resource] += static_cast<std::uint64_t>(need.demand->amount);
            if (used[resource] > static_cast<std::uint64_t>(resources[resource].capacity.front().capacity))
                return false;  // can never be placed: the general pass will say so
            word += static_cast<std::uint64_t>(need.demand->amount) << shift[resource];
        }
        plain.demand.push_back(word);
    }
    return true;
}

/// start >= start(before) + lag, by unit; what leads there on the other side is the same lag seen from the finishes.
void add_sides(const Model& model, PlainModel& plain) {
    Side& backward = plain.sides[0];
    Side& forward = plain.sides[1];
    forward.before = model.in;
    backward.before = model.out;
    for (UnitId unit = 0; unit < model.count(); ++unit) {
        for (auto k = backward.before.first[unit]; k < backward.before.first[unit + 1]; ++k) {
            Link& link = backward.before.items[k];
            link.lag += plain.length[link.unit] - plain.length[unit];
        }
        const Time tail = plain.deadline - (model.units[unit].latest + plain.length[unit]);
        backward.release.push_back(tail);
        backward.tail.push_back(0);
        forward.release.push_back(0);
        forward.tail.push_back(tail);
        const auto needs = model.needs_of(unit);
        const Time from = needs.empty() ? 0 : needs.front().span.from.shift;
        forward.from.push_back(from);
        backward.from.push_back(plain.length[unit] - from - plain.busy[unit]);
    }
}

/// Counts all times in their greatest common divisor: nothing that a pass finds lies between.
void divide_times(PlainModel& plain) {
    Time divisor = 0;
    const auto each = [&](auto use) {
        for (Time& time : plain.length) use(time);
        for (Time& time : plain.busy) use(time);
        for (Side& side : plain.sides) {
            for (Link& link : side.before.items) use(link.lag);
            for (Time& time : side.release) use(time);
            for (Time& time : side.tail) use(time);
            for (Time& time : side.from) use(time);
        }
    };
    each([&](Time& time) { divisor = std::gcd(divisor, time); });
    if (divisor <= 1) return;
    each([&](Time& time) { time /= divisor; });
    plain.unit_time = divisor;
}

Time longest_pass(const PlainModel& plain) {
    std::int64_t longest = 0;
    for (const Side& side : plain.sides) {
        std::int64_t sum = 1 + *std::max_element(side.release.begin(), side.release.end());
        for (UnitId unit = 0; unit < plain.count(); ++unit) {
            Time step = plain.length[unit];
            for (const Link& link : side.before[unit]) step = std::max(step, link.lag + plain.length[unit]);
            sum += step;
        }
        longest = std::max(longest, sum);
    }
    return static_cast<Time>(std::min<std::int64_t>(longest, kNever));
}

}  // namespace

std::optional<PlainModel> make_plain(const Model& model) {
    if (model.units.empty() || !is_plain(model)) return std::nullopt;
    PlainModel plain;
    if (!pack(model, plain)) return std::nullopt;
    for (UnitId unit = 0; unit < model.count(); ++unit) {
        const auto needs = model.needs_of(unit);
        plain.length.push_back(model.units[unit].length);
        plain.busy.push_back(needs.empty() ? 0 : needs.front().span.to.shift - needs.front().span.from.shift);
        plain.deadline = std::max(plain.deadline, model.units[unit].latest + model.units[unit].length);
    }
    add_sides(model, plain);
    divide_times(plain);
    plain.longest = longest_pass(plain);
    if (plain.longest > kLongestGrid) return std::nullopt;
    return plain;
}

PlainPass::PlainPass(const PlainModel& model)
    : model_(model),
      units_{compact(model, model.sides[0]), compact(model, model.sides[1])},
      free_(model.longest + 1, model.capacity),
      start_(model.length.size()) {}

std::vector<PlainPass::Compact> PlainPass::compact(const PlainModel& model, const Side& side) {
    std::vector<Compact> units;
    for (UnitId unit = 0; unit < model.count(); ++unit)
        units.push_back({model.demand[unit], side.release[unit], side.from[unit], model.busy[unit],
                         model.length[unit] + side.tail[unit], side.before.first[unit], side.before.first[unit + 1]});
    return units;
}

Time PlainPass::run(Direction direction, const UnitId* list) {
    const Compact* const units = units_[static_cast<std::size_t>(direction)].data();
    const Link* const links = model_.sides[static_cast<std::size_t>(direction)].before.items.data();
    const std::uint64_t guards = model_.guards;
    Time* const starts = start_.data();
    std::uint64_t* const grid = free_.data();
    std::fill(grid, grid + used_to_, model_.capacity);
    Time used_to = 0;
    Time makespan = 0;
    for (const UnitId *next = list, *end = list + model_.count(); next != end; ++next) {
        const Compact& unit = units[*next];
        Time start = unit.release;
        for (const Link *link = links + unit.first_before, *last = links + unit.last_before; link != last; ++link)
            start = std::max(start, starts[link->unit] + link->lag);
        if (unit.busy > 0) {
            std::uint64_t* first = grid + start + unit.from;
            // Looked at from the end, so that a minute that does not fit is passed over in one jump; nothing twice.
            std::uint64_t* seen = first;
            for (std::uint64_t* minute = first + unit.busy - 1; minute >= seen; --minute) {
                if (((*minute - unit.demand) & guards) == guards) continue;
                seen = first + unit.busy;
                first = minute + 1;
                minute = first + unit.busy;
            }
            std::uint64_t* const over = first + unit.busy;
            for (std::uint64_t* minute = first; minute != over; ++minute) *minute -= unit.demand;
            start = static_cast<Time>(first - grid) - unit.from;
            used_to = std::max(used_to, static_cast<Time>(over - grid));
        }
        starts[*next] = start;
        makespan = std::max(makespan, start + unit.length_and_tail);
    }
    used_to_ = used_to;
    return makespan;
}

std::vector<Time> project_starts(const PlainModel& model, Direction direction, const std::vector<Time>& starts,
                                 Time makespan) {
    std::vector<Time> result(starts.size());
    for (std::size_t unit = 0; unit < starts.size(); ++unit) {
        const Time lies =
            direction == Direction::backward ? -(starts[unit] + model.length[unit]) : starts[unit] - makespan;
        result[unit] = model.deadline + lies * model.unit_time;
    }
    return result;
}

}  // namespace oventide::scheduling
