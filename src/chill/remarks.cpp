#include <algorithm>
#include <map>
#include <set>
#include <tuple>

#include "chill/physics.hpp"
#include "oventide/chill.hpp"
#include "oventide/watch.hpp"

namespace oventide::chill {
namespace {

// A plan's own figure is no more exact than an estimate: only where it is well off is it worth a word.
constexpr int kMuchLonger = 2;

/// Rows of one step of one batch.
std::vector<const Row*> rows_of(const Timetable& timetable, ComponentIndex component, std::int32_t batch,
                                StepIndex step) {
    std::vector<const Row*> found;
    for (const Row& row : timetable.rows)
        if (row.component == component && row.batch == batch && row.step == step) found.push_back(&row);
    return found;
}

struct Visit {
    ComponentIndex component;
    std::int32_t batch;
    StepIndex step;
    auto operator<=>(const Visit&) const = default;
};

/// The steps from which the food of this one comes, one step back.
std::vector<Visit> one_back(const Plan& plan, const Timetable& timetable, const Visit& at) {
    std::vector<Visit> back;
    for (const After& after : plan.components[at.component].steps[at.step].after)
        if (after.component == at.component) back.push_back({at.component, at.batch, after.step});
    for (const Handover& food : timetable.handovers)
        if (food.to == at.component && food.to_batch == at.batch && food.step == at.step)
            back.push_back(
                {food.from, food.from_batch, static_cast<StepIndex>(plan.components[food.from].steps.size()) - 1});
    return back;
}

/// When the first of this row's food goes into a later step, or is collected; its end where nothing does.
Instant first_use(const Plan& plan, const Timetable& timetable, const Row& row) {
    Instant first = row.end;
    const auto& steps = plan.components[row.component].steps;
    const auto overlap = [&](const Row& user) {
        return user.from < row.from + row.amount && row.from < user.from + user.amount;
    };
    const auto draws = [&](const Row& user) {
        return std::any_of(timetable.handovers.begin(), timetable.handovers.end(), [&](const Handover& food) {
            return food.from == row.component && food.from_batch == row.batch && food.to == user.component &&
                   food.to_batch == user.batch && food.step == user.step;
        });
    };
    const bool last = row.step + 1 == static_cast<StepIndex>(steps.size());
    for (const Row& user : timetable.rows) {
        const bool same = user.component == row.component && user.batch == row.batch;
        const auto& after = plan.components[user.component].steps[user.step].after;
        const bool follows = same && overlap(user) && std::any_of(after.begin(), after.end(), [&](const After& each) {
                                 return each.component == row.component && each.step == row.step;
                             });
        if (user.start >= row.ready && (follows || (last && draws(user)))) first = std::min(first, user.start);
    }
    if (!last) return first;
    for (const PickupLine& line : timetable.pickups)
        for (const PickupLine::Serving& serving : line.servings)
            if (serving.batch == row.batch &&
                plan.orders[line.order].items[static_cast<std::size_t>(serving.item)].component == row.component)
                first = std::min(first, line.pickup);
    return first;
}

Remark about(const Plan& plan, const Timetable& timetable, std::size_t index) {
    const Row& row = timetable.rows[index];
    Remark remark;
    remark.row = index;
    remark.planned = row.ready - row.start;
    remark.cold = first_use(plan, timetable, row) - row.start;
    return remark;
}

void add_time(const Answer& answer, Remark remark, std::vector<Remark>& remarks) {
    remark.takes = answer.lines.front().takes;
    remark.depth = answer.lines.front().depth;
    if (!remark.takes.likely)
        remark.kind = Remark::Kind::never;
    else if (remark.planned < *remark.takes.likely)
        remark.kind = Remark::Kind::too_short;
    else if (remark.takes.latest && remark.planned > *remark.takes.latest &&
             remark.planned > kMuchLonger * *remark.takes.likely)
        remark.kind = Remark::Kind::too_long;
    else
        return;
    remarks.push_back(std::move(remark));
}

void add_stages(const Answer& answer, Instant cooked, const Remark& base, std::vector<Remark>& remarks) {
    const auto clock = [&](std::optional<double> minutes) -> std::optional<Instant> {
        if (!minutes) return std::nullopt;
        return clock_time(cooked, *minutes);
    };
    for (const Stage& stage : answer.stages) {
        Remark remark = base;
        remark.kind = Remark::Kind::stage;
        remark.text = stage.text;
        remark.due = clock(stage.due);
        remark.likely = clock(stage.likely);
        remark.latest = clock(stage.latest);
        remark.likely_kept = stage.likely_kept;
        remark.surely_kept = stage.surely_kept;
        remarks.push_back(std::move(remark));
    }
}

}  // namespace

std::optional<Instant> cooked_at(const Plan& plan, const Timetable& timetable, const Row& row) {
    std::optional<Instant> cooked;
    std::vector<Visit> open{{row.component, row.batch, row.step}};
    std::set<Visit> seen;
    while (!open.empty()) {
        const Visit at = open.back();
        open.pop_back();
        for (const Visit& back : one_back(plan, timetable, at)) {
            const Step& step = plan.components[back.component].steps[back.step];
            if (step.chill || !seen.insert(back).second) continue;
            if (!step.cooked) {
                open.push_back(back);
                continue;
            }
            for (const Row* each : rows_of(timetable, back.component, back.batch, back.step))
                cooked = std::min(cooked.value_or(each->ready), each->ready);
        }
    }
    return cooked;
}

std::vector<Remark> remarks(const Plan& plan, const Timetable& timetable) {
    std::vector<Remark> found;
    const auto rule = find_safety_rule(plan.safety.rule);
    // Batches are mostly alike, and the physics takes its time.
    std::map<std::tuple<ComponentIndex, StepIndex, std::int64_t, std::optional<Minutes>>, std::optional<Answer>> known;
    for (std::size_t i = 0; i < timetable.rows.size(); ++i) {
        const Row& row = timetable.rows[i];
        const Component& component = plan.components[row.component];
        const Step& step = component.steps[row.step];
        if (!step.cools) continue;
        const auto cooked = cooked_at(plan, timetable, row);
        const Remark base = about(plan, timetable, i);
        const std::int64_t amount = milligrams_of(component, row.amount);
        const auto wait = cooked ? std::optional(row.start - *cooked) : std::nullopt;
        const auto [entry, unknown] = known.try_emplace({row.component, row.step, amount, wait});
        if (unknown)
            entry->second = answer(*step.cools, amount, wait && rule ? &*rule : nullptr, wait.value_or(Minutes{0}), 0);
        const std::optional<Answer>& time = entry->second;
        if (!time) {
            found.push_back(base);
            found.back().kind = Remark::Kind::unknown;
            continue;
        }
        add_time(*time, base, found);
        if (cooked) add_stages(*time, *cooked, base, found);
    }
    return found;
}

}  // namespace oventide::chill
