#include "replan/fresher.hpp"

#include <algorithm>

namespace oventide::replan {
namespace {

/// Less is not worth a word.
constexpr Time kWorthWhile = 5;

class Trier {
public:
    Trier(const Situation& situation, const Left& left, const Search& search)
        : situation_(situation), left_(left), search_(search), project_(search.project_with(search.allowance())) {}

    /// Absent where nothing of it is left, or where it is made as much later as it is collected.
    std::optional<Fresher> tried(std::int32_t order, std::int32_t batch, Time moved) const {
        const std::vector<ActivityId> steps = left_of(batch);
        if (steps.empty() || std::ranges::any_of(steps, [&](ActivityId id) { return keeps(id); })) return std::nullopt;
        const auto by = [&](ActivityId id) { return start(id) - told(id); };
        const Time least = by(*std::ranges::min_element(steps, {}, by));
        if (least >= moved) return std::nullopt;
        const auto first = std::ranges::min_element(steps, {}, [&](ActivityId id) { return start(id); });
        const Time more = most(steps, std::max(0, least), moved) - std::max(0, least);
        return Fresher{order, batch, left_.expansion.origin + Minutes{start(*first)},
                       Minutes{more < kWorthWhile ? 0 : more}};
    }

private:
    Time start(ActivityId id) const { return search_.best->start[id]; }
    Time told(ActivityId id) const {
        const auto& announced = situation_.steps[id].announced;
        return announced ? static_cast<Time>((*announced - left_.expansion.origin).count()) : start(id);
    }

    std::vector<ActivityId> left_of(std::int32_t batch) const {
        std::vector<ActivityId> steps;
        for (ActivityId id = 0; id < static_cast<ActivityId>(left_.happened.size()); ++id)
            if (left_.expansion.tasks[id].batch == batch && !left_.happened[id]) steps.push_back(id);
        return steps;
    }

    /// It stands in its place until the pickup, and the plan says for how long it may.
    bool keeps(ActivityId id) const {
        return left_.promised_due[id] < kNever && left_.expansion.project.activities[id].stretchable;
    }

    /// So much later than announced, all of it, and everything else as it is.
    bool can(const std::vector<ActivityId>& steps, Time by) const {
        Schedule later = *search_.best;
        for (const ActivityId id : steps) later.start[id] = std::max(later.start[id], told(id) + by);
        complete(project_, later);
        return search_.faults(project_, later).empty();
    }

    Time most(const std::vector<ActivityId>& steps, Time least, Time most) const {
        if (can(steps, most)) return most;
        while (most - least > kWorthWhile) {
            const Time middle = least + (most - least) / 2;
            (can(steps, middle) ? least : most) = middle;
        }
        return least;
    }

    const Situation& situation_;
    const Left& left_;
    const Search& search_;
    Project project_;
};

/// As announced: what was late has no time to spare before its old pickup.
Instant told_done(const Situation& situation, const Search& search, std::size_t order) {
    Instant done = Instant::min();
    for (std::size_t id = 0; id < situation.steps.size(); ++id)
        if (const auto& told = situation.steps[id].told_ready;
            told && search.completes(static_cast<ActivityId>(id), order))
            done = std::max(done, *told);
    return done;
}

}  // namespace

std::vector<Fresher> fresher(const Situation& situation, const Left& left, const Search& search) {
    std::vector<Fresher> found;
    std::optional<Trier> trier;
    for (std::size_t order = 0; order < situation.told_pickups.size(); ++order) {
        const Instant told = std::max(situation.told_pickups[order], told_done(situation, search, order));
        const Minutes moved = situation.today.orders[order].pickup - told;
        if (moved < Minutes{kWorthWhile}) continue;
        if (!trier) trier.emplace(situation, left, search);
        for (std::int32_t batch = 0; batch < static_cast<std::int32_t>(left.expansion.batches.size()); ++batch) {
            const auto other = [&](const Batch::Sale& sale) { return sale.order != static_cast<std::int32_t>(order); };
            const auto& sales = left.expansion.batches[batch].sales;
            if (sales.empty() || std::ranges::any_of(sales, other)) continue;
            if (const auto one =
                    trier->tried(static_cast<std::int32_t>(order), batch, static_cast<Time>(moved.count())))
                found.push_back(*one);
        }
    }
    return found;
}

}  // namespace oventide::replan
