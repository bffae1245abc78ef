#include "replan/fewer.hpp"

#include <algorithm>
#include <map>
#include <string_view>
#include <utility>

namespace oventide::replan {
namespace {

constexpr int kMostTried = 40;

/// How many of an item can be made: all, or fewer by one batch after another that is not begun, the last one first.
struct Choice {
    std::int32_t order = 0;
    std::size_t item = 0;
    std::vector<std::int64_t> amounts;  ///< falling, from what is ordered
    std::size_t announced = 0;          ///< of those the first without a batch that was not announced
};

class Reducer {
public:
    Reducer(const Plan& plan, const Expansion& expansion, const journal::Journal& journal, const Situation& situation,
            const Replanned& result, const ForecastFor& forecast, const Options& options)
        : plan_(plan),
          expansion_(expansion),
          journal_(journal),
          situation_(situation),
          result_(result),
          forecast_(forecast),
          options_(options),
          choices_(choices()) {}

    std::unique_ptr<Instead> reduce() {
        std::vector<std::size_t> levels = without_what_was_not_announced();
        if (!possible(levels)) {
            for (std::size_t k = 0; k < choices_.size(); ++k) levels[k] = choices_[k].amounts.size() - 1;
            if (!possible(levels)) return nullptr;
        }
        put_back(levels);
        auto instead = day_with(levels);
        instead->result = replan::replan(instead->plan, instead->expansion, journal_, instead->situation, options_);
        if (!instead->result.timetable) return nullptr;
        instead->result.way = Replanned::Way::conditional;
        for (std::size_t k = 0; k < choices_.size(); ++k)
            if (levels[k] > 0) instead->result.fewer.push_back(fewer(choices_[k], levels[k]));
        return instead;
    }

private:
    std::vector<Choice> choices() const {
        std::vector<Choice> found;
        for (std::int32_t order = 0; order < static_cast<std::int32_t>(plan_.orders.size()); ++order)
            for (std::size_t item = 0; item < plan_.orders[order].items.size(); ++item)
                if (Choice choice = choice_of(order, item); choice.amounts.size() > 1)
                    found.push_back(std::move(choice));
        std::ranges::stable_sort(found, {},
                                 [&](const Choice& one) { return situation_.today.orders[one.order].pickup; });
        return found;
    }

    Choice choice_of(std::int32_t order, std::size_t item) const {
        Choice choice{order, item, {plan_.orders[order].items[item].pieces}, 0};
        for (const std::int32_t batch : last_batches(choice)) {
            if (is_any(batch, [](const StepState& step) { return step.state != State::waiting; })) break;
            choice.amounts.push_back(choice.amounts.back() - sold(batch, order));
            if (!is_any(batch, [](const StepState& step) { return step.announced.has_value(); }))
                choice.announced = choice.amounts.size() - 1;
        }
        return choice;
    }

    /// Of which something is collected with the item.
    std::vector<std::int32_t> last_batches(const Choice& choice) const {
        std::vector<std::int32_t> batches;
        for (std::int32_t k = static_cast<std::int32_t>(expansion_.batches.size()) - 1; k >= 0; --k)
            if (expansion_.batches[k].component == plan_.orders[choice.order].items[choice.item].component &&
                sold(k, choice.order) > 0)
                batches.push_back(k);
        std::ranges::stable_sort(batches, std::ranges::greater{},
                                 [&](std::int32_t k) { return expansion_.batches[k].number; });
        return batches;
    }

    std::int64_t sold(std::int32_t batch, std::int32_t order) const {
        std::int64_t amount = 0;
        for (const Batch::Sale& sale : expansion_.batches[batch].sales)
            if (sale.order == order) amount += sale.amount;
        return amount;
    }

    template <class Is>
    bool is_any(std::int32_t batch, Is is) const {
        for (std::size_t id = 0; id < situation_.steps.size(); ++id)
            if (expansion_.tasks[id].batch == batch && is(situation_.steps[id])) return true;
        return false;
    }

    std::vector<std::size_t> without_what_was_not_announced() const {
        std::vector<std::size_t> levels;
        for (const Choice& choice : choices_) levels.push_back(choice.announced);
        return levels;
    }

    /// As much as can be, for whoever comes first.
    void put_back(std::vector<std::size_t>& levels) {
        for (std::size_t k = 0; k < levels.size(); ++k) {
            const std::size_t least = levels[k];
            for (levels[k] = 0; levels[k] < least && !possible(levels);) ++levels[k];
        }
    }

    bool possible(const std::vector<std::size_t>& levels) {
        if (std::ranges::all_of(levels, [](std::size_t level) { return level == 0; })) return false;  // as it is
        if (tried_++ >= kMostTried) return false;
        const auto day = day_with(levels);
        return day && keeps_what_has_begun(*day) &&
               has_timetable(day->plan, day->expansion, journal_, day->situation, options_);
    }

    std::unique_ptr<Instead> day_with(const std::vector<std::size_t>& levels) const {
        auto day = std::make_unique<Instead>();
        day->plan = plan_;
        for (std::size_t k = 0; k < choices_.size(); ++k)
            day->plan.orders[choices_[k].order].items[choices_[k].item].pieces = choices_[k].amounts[levels[k]];
        for (Order& order : day->plan.orders)
            std::erase_if(order.items, [](const Item& item) { return item.pieces == 0; });
        std::erase_if(day->plan.orders, [](const Order& order) { return order.items.empty(); });
        if (day->plan.orders.empty()) return nullptr;
        ExpandResult expanded = expand(day->plan);
        if (!expanded.expansion) return nullptr;
        day->expansion = std::move(*expanded.expansion);
        day->situation =
            situation(day->plan, day->expansion, journal_, situation_.now, forecast_(day->plan, day->expansion));
        day->situation.edited = situation_.edited;
        day->situation.unknown = situation_.unknown;
        return day;
    }

    /// Nothing that has begun is dropped, or becomes more or less.
    bool keeps_what_has_begun(const Instead& day) const {
        std::map<std::string_view, Portion> shares;
        for (std::size_t id = 0; id < day.situation.steps.size(); ++id)
            shares[day.expansion.project.activities[id].name] = day.expansion.tasks[id].share;
        for (std::size_t id = 0; id < situation_.steps.size(); ++id) {
            if (situation_.steps[id].state == State::waiting) continue;
            const auto share = shares.find(expansion_.project.activities[id].name);
            if (share == shares.end() || share->second != expansion_.tasks[id].share) return false;
        }
        return true;
    }

    Fewer fewer(const Choice& choice, std::size_t level) const {
        const Order& order = situation_.today.orders[choice.order];
        Fewer one{order.name, plan_.orders[choice.order].items[choice.item].component, choice.amounts.front(),
                  choice.amounts[level], std::nullopt};
        const std::vector<std::int32_t> batches = last_batches(choice);
        for (std::size_t k = 0; k < level; ++k)
            for (const BatchAtBest& best : result_.at_best)
                if (best.batch == batches[k] && best.at > order.pickup)
                    one.not_before = std::max(one.not_before.value_or(best.at), best.at);
        return one;
    }

    const Plan& plan_;
    const Expansion& expansion_;
    const journal::Journal& journal_;
    const Situation& situation_;
    const Replanned& result_;
    const ForecastFor& forecast_;
    const Options& options_;
    std::vector<Choice> choices_;
    int tried_ = 0;
};

}  // namespace

std::unique_ptr<Instead> with_fewer(const Plan& plan, const Expansion& expansion, const journal::Journal& journal,
                                    const Situation& situation, const Replanned& result, const ForecastFor& forecast,
                                    const Options& options) {
    if (result.way != Replanned::Way::impossible) return nullptr;
    return Reducer(plan, expansion, journal, situation, result, forecast, options).reduce();
}

}  // namespace oventide::replan
