#include "schedule/relaxation.hpp"

#include <algorithm>
#include <limits>
#include <numeric>
#include <utility>

#include "profile/step_profile.hpp"
#include "schedule/bound.hpp"
#include "schedule/priced.hpp"
#include "schedule/ties.hpp"

namespace oventide::scheduling {
namespace {

using Cost = std::int64_t;

constexpr Cost kScale = 256;  ///< prices and costs are counted in such parts
constexpr Cost kImpossible = std::numeric_limits<Cost>::max() / 8;
constexpr std::int64_t kMostRounds = 400;
constexpr std::int64_t kRoundsAnOffer = 4;

/// A tie outside the forest: what it costs to break it by a minute.
struct LooseTie {
    Tie tie;
    Cost low = 0;
    Cost high = 0;
    Cost low_trend = 0;
    Cost high_trend = 0;
};

/// One unit in the forest. Its starts are [first, first + cost.size()).
struct Node {
    UnitId parent = -1;
    Time least = -kNever;  ///< start - start(parent) lies in [least, most]
    Time most = kNever;
    Time first = 0;
    std::vector<Cost> own;     ///< of each start, before any prices; kImpossible where calendars do not allow it
    std::vector<Cost> cost;    ///< of each start at these prices, with everything below in the forest
    std::vector<Time> chosen;  ///< by the parent's start: the best start here
    Cost slope = 0;            ///< what a later minute costs, before any prices
    Time start = 0;
    Time last() const { return first + static_cast<Time>(cost.size()) - 1; }
};

class Relaxation {
public:
    Relaxation(const Model& model, const WaitingCase& asked)
        : model_(model), asked_(asked), priced_(price_list(model)), nodes_(model.units.size()) {
        prices_.assign(priced_.rows.size(), std::vector<Cost>(priced_.minutes, 0));
        trends_ = prices_;
        wanted_ = prices_;
        sums_.assign(priced_.rows.size(), std::vector<Cost>(priced_.minutes + 1, 0));
        for (const Resource& resource : model.project->resources) calendars_.emplace_back(resource.capacity);
        set_slopes();
        set_starts();
        plant(ties_of(model, asked.overrun));
    }

    std::optional<std::int64_t> run() {
        const std::int64_t rounds = std::min(kMostRounds, asked_.work / work_of_a_round());
        std::int64_t known = asked_.best;
        std::optional<Cost> best;
        std::int64_t stale = 0;
        for (std::int64_t round = 0; round < rounds; ++round) {
            const std::optional<Cost> value = evaluate();
            if (!value) return {};
            if (asked_.offer && round % kRoundsAnOffer == kRoundsAnOffer - 1) known = asked_.offer(starts());
            if (!best || *value > *best) {
                best = value;
                stale = 0;
            } else if (++stale >= kPatience) {
                stale = 0;
                boldness_ = std::max<Cost>(1, boldness_ / 2);
            }
            if (rounded_up(*best) >= known || !step(known * kScale - *value)) break;
        }
        if (!best) return {};
        return rounded_up(*best);
    }

private:
    static constexpr std::int64_t kPatience = 8;
    static constexpr Cost kBold = 64;  ///< a step of the full length

    std::int64_t work_of_a_round() const {
        std::int64_t work = 1;
        for (UnitId unit = 0; unit < model_.count(); ++unit)
            work += std::int64_t(nodes_[unit].cost.size()) * std::int64_t(2 + priced_.uses[unit].size());
        for (const PricedLine& line : priced_.lines)
            work += std::int64_t{priced_.minutes} * std::int64_t(line.offers.size() * line.offers.size());
        return work + std::int64_t{priced_.minutes} * 4 * std::int64_t(priced_.rows.size());
    }

    std::vector<Time> starts() const {
        std::vector<Time> starts;
        for (const Node& node : nodes_) starts.push_back(node.start);
        return starts;
    }

    static std::int64_t rounded_up(Cost value) { return value > 0 ? (value + kScale - 1) / kScale : value / kScale; }

    // ---------------------------------------------------------------------------------------- what there is

    void set_slopes() {
        for (const WaitLink& link : model_.project->links) {
            const UnitId maker = model_.unit_of[link.maker];
            nodes_[maker].slope -= link.weight * kScale;
            constant_ -=
                link.weight * kScale * (model_.offset[link.maker] + model_.project->activities[link.maker].duration);
            if (link.user < 0) {
                constant_ += link.weight * kScale * link.time;
                continue;
            }
            nodes_[model_.unit_of[link.user]].slope += link.weight * kScale;
            constant_ += link.weight * kScale * model_.offset[link.user];
        }
    }

    void set_starts() {
        for (UnitId unit = 0; unit < model_.count(); ++unit) {
            Node& node = nodes_[unit];
            node.first = model_.units[unit].earliest;
            const Time last = model_.units[unit].latest;
            node.cost.assign(last - node.first + 1, 0);
            for (Time start = node.first; start <= last; ++start) node.own.push_back(node.slope * start);
            for (const Need& need : model_.needs_of(unit)) keep_to_hours(node, need);
        }
        if (!asked_.overrun) return;
        for (const Freshness& food : model_.project->freshness) {
            if (food.last_time < 0) continue;
            for (const ActivityId maker : food.makers) {
                Node& node = nodes_[model_.unit_of[maker]];
                const Time earliest = food.last_time - food.best_within - *asked_.overrun -
                                      model_.project->activities[maker].duration - model_.offset[maker];
                for (Time start = node.first; start < earliest && start <= node.last(); ++start)
                    node.own[start - node.first] = kImpossible;
            }
        }
    }

    /// Strikes out starts at which no choice has the amount throughout, or somebody would wake too early.
    void keep_to_hours(Node& node, const Need& need) {
        if (model_.begin_is_open(need)) return;
        const bool wakes = always_wakes(*model_.project, *need.demand);
        for (std::size_t k = 0; k < node.own.size(); ++k) {
            const Interval busy = need.span.at(node.first + static_cast<Time>(k));
            if (busy.from >= busy.to) continue;
            const auto choices = model_.choices_of(need);
            const bool open = std::any_of(choices.begin(), choices.end(),
                                          [&](ResourceId id) { return calendars_[id].fits(busy, need.amount); });
            if (!open || (wakes && busy.from < asked_.not_before)) node.own[k] = kImpossible;
        }
    }

    /// A spanning forest of the ties (Kruskal); the others are loose.
    void plant(const std::vector<Tie>& ties) {
        std::vector<UnitId> root(nodes_.size());
        std::iota(root.begin(), root.end(), 0);
        const auto root_of = [&](UnitId unit) {
            while (root[unit] != unit) unit = root[unit] = root[root[unit]];
            return unit;
        };
        std::vector<std::vector<Tie>> at(nodes_.size());
        for (const Tie& tie : ties) {
            const UnitId a = root_of(tie.a);
            const UnitId b = root_of(tie.b);
            if (a == b) {
                loose_.push_back({tie});
                continue;
            }
            root[std::max(a, b)] = std::min(a, b);
            at[tie.a].push_back(tie);
            at[tie.b].push_back(tie);
        }
        std::vector<char> seen(nodes_.size(), 0);
        for (UnitId unit = 0; unit < model_.count(); ++unit) {
            if (seen[unit]) continue;
            seen[unit] = 1;
            order_.push_back(unit);
            for (std::size_t next = order_.size() - 1; next < order_.size(); ++next)
                for (const Tie& tie : at[order_[next]]) hang(tie, order_[next], seen);
        }
    }

    void hang(const Tie& tie, UnitId parent, std::vector<char>& seen) {
        const UnitId child = tie.a == parent ? tie.b : tie.a;
        if (seen[child]) return;
        seen[child] = 1;
        Node& node = nodes_[child];
        node.parent = parent;
        node.least = child == tie.b ? tie.least : -tie.most;
        node.most = child == tie.b ? tie.most : -tie.least;
        node.chosen.resize(nodes_[parent].cost.size());
        order_.push_back(child);
    }

    // ------------------------------------------------------------------------------------- one set of prices

    /// The relaxation's value at these prices; the starts that lead to it are in the nodes. Empty: there are none.
    std::optional<Cost> evaluate() {
        for (std::size_t row = 0; row < sums_.size(); ++row)
            for (Time minute = 0; minute < priced_.minutes; ++minute)
                sums_[row][minute + 1] = sums_[row][minute] + prices_[row][minute];
        for (UnitId unit = 0; unit < model_.count(); ++unit) set_costs(unit);
        add_loose_slopes();
        Cost value = constant_;
        for (std::size_t k = order_.size(); k-- > 0;) {
            Node& node = nodes_[order_[k]];
            if (node.parent >= 0) {
                tell_parent(node);
                continue;
            }
            const auto best = std::min_element(node.cost.begin(), node.cost.end());
            if (*best >= kImpossible / 2) return {};
            value += *best;
            node.start = node.first + static_cast<Time>(best - node.cost.begin());
        }
        for (const UnitId unit : order_) {
            Node& node = nodes_[unit];
            if (node.parent >= 0) node.start = node.chosen[nodes_[node.parent].start - nodes_[node.parent].first];
        }
        for (const LooseTie& loose : loose_) {
            if (loose.tie.least > -kNever) value += loose.low * loose.tie.least;
            if (loose.tie.most < kNever) value -= loose.high * loose.tie.most;
        }
        return value - sell();
    }

    void set_costs(UnitId unit) {
        Node& node = nodes_[unit];
        node.cost = node.own;
        for (const Use& use : priced_.uses[unit]) {
            if (use.span.from.fixed <= -kNever && use.span.to.fixed <= -kNever)
                add_prices(node, use);
            else
                add_prices_to_fixed_ends(node, use);
        }
    }

    /// The loop that takes longest: nothing in it but sums.
    void add_prices(Node& node, const Use& use) {
        if (use.span.from.shift >= use.span.to.shift) return;
        const Cost* const from = sums_[use.row].data() + (node.first - priced_.from + use.span.from.shift);
        const Cost* const to = sums_[use.row].data() + (node.first - priced_.from + use.span.to.shift);
        Cost* const cost = node.cost.data();
        for (std::size_t k = 0; k < node.cost.size(); ++k) cost[k] += use.amount * (to[k] - from[k]);
    }

    void add_prices_to_fixed_ends(Node& node, const Use& use) {
        const auto& sums = sums_[use.row];
        for (std::size_t k = 0; k < node.cost.size(); ++k) {
            const Interval busy = minutes_of(use, node.first + static_cast<Time>(k));
            if (busy.from < busy.to) node.cost[k] += use.amount * (sums[busy.to] - sums[busy.from]);
        }
    }

    Interval minutes_of(const Use& use, Time start) const {
        const Interval busy = use.span.at(start);
        return {busy.from - priced_.from, busy.to - priced_.from};
    }

    void add_loose_slopes() {
        for (const LooseTie& loose : loose_) {
            const Cost slope = loose.high - loose.low;  // of start(b) - start(a)
            if (slope == 0) continue;
            add_slope(nodes_[loose.tie.b], slope);
            add_slope(nodes_[loose.tie.a], -slope);
        }
    }
    static void add_slope(Node& node, Cost slope) {
        for (std::size_t k = 0; k < node.cost.size(); ++k) node.cost[k] += slope * (node.first + static_cast<Time>(k));
    }

    /// Adds to each start of the parent the least that this node can cost then.
    void tell_parent(Node& node) {
        Node& parent = nodes_[node.parent];
        if (node.most >= kNever)
            tell_of_later_starts(node, parent);
        else
            tell_of_a_window(node, parent);
    }

    /// From the parent's last start down, more and more of the node's starts are late enough.
    static void tell_of_later_starts(Node& node, Node& parent) {
        const Cost* const cost = node.cost.data();
        auto next = static_cast<Time>(node.cost.size());
        Time chosen = next;
        Cost best = kImpossible;
        for (std::size_t k = parent.cost.size(); k-- > 0;) {
            const Time from = std::max(0, parent.first + static_cast<Time>(k) + node.least - node.first);
            while (next > from) {
                --next;
                if (cost[next] > best) continue;
                best = cost[next];
                chosen = next;
            }
            take(node, parent, k, best, chosen);
        }
    }

    /// A minimum over a window that slides with the parent's start.
    void tell_of_a_window(Node& node, Node& parent) {
        const Cost* const cost = node.cost.data();
        const auto size = static_cast<Time>(node.cost.size());
        window_.resize(node.cost.size());
        Time* const window = window_.data();
        Time head = 0;
        Time tail = 0;
        Time next = 0;
        for (std::size_t k = 0; k < parent.cost.size(); ++k) {
            const Time at = parent.first + static_cast<Time>(k) - node.first;
            const Time from = node.least <= -kNever ? 0 : at + node.least;
            for (const Time to = std::min(size - 1, at + node.most); next <= to; ++next) {
                while (tail > head && cost[window[tail - 1]] > cost[next]) --tail;
                window[tail++] = next;
            }
            while (head < tail && window[head] < from) ++head;
            take(node, parent, k, head < tail ? cost[window[head]] : kImpossible, head < tail ? window[head] : 0);
        }
    }

    static void take(Node& node, Node& parent, std::size_t k, Cost best, Time chosen) {
        node.chosen[k] = node.first + chosen;
        parent.cost[k] = std::min(kImpossible, parent.cost[k] + best);
    }

    // --------------------------------------------------------------------------------- what resources can sell

    /// What all capacity is worth at these prices; takes it off what is wanted.
    Cost sell() {
        for (auto& row : wanted_) std::fill(row.begin(), row.end(), 0);
        for (UnitId unit = 0; unit < model_.count(); ++unit) {
            for (const Use& use : priced_.uses[unit]) {
                const Interval busy = minutes_of(use, nodes_[unit].start);
                for (Time minute = busy.from; minute < busy.to; ++minute) wanted_[use.row][minute] += use.amount;
            }
        }
        Cost worth = 0;
        for (const Supply& supply : priced_.supplies) {
            for (Time minute = 0; minute < priced_.minutes; ++minute) {
                worth += prices_[supply.row][minute] * supply.capacity[minute];
                wanted_[supply.row][minute] -= supply.capacity[minute];
            }
        }
        for (const PricedLine& line : priced_.lines) worth += sell(line);
        return worth;
    }

    Cost gain(const Offer& offer, Time minute) const {
        Cost sum = 0;
        for (const Supply& supply : offer.supplies) sum += prices_[supply.row][minute] * supply.capacity[minute];
        return sum;
    }

    /// The best sequence of settings: by dynamic programming over the minutes.
    Cost sell(const PricedLine& line) {
        const std::size_t offers = line.offers.size();
        const Time minutes = priced_.minutes;
        // best[t][s]: of the minutes before t, the setting being s from there on. came[t][s]: changed then, from that.
        std::vector<Cost> best((minutes + 1) * offers, 0);
        std::vector<std::int32_t> came((minutes + 1) * offers, -1);
        for (Time minute = 1; minute <= minutes; ++minute) {
            for (std::size_t s = 0; s < offers; ++s)
                best[minute * offers + s] = best[(minute - 1) * offers + s] + gain(line.offers[s], minute - 1);
            std::vector<Cost> changed(best.begin() + minute * offers, best.begin() + (minute + 1) * offers);
            for (std::size_t s = 0; s < offers; ++s) {
                for (std::size_t a = 0; a < offers; ++a) {
                    const Time left = minute - line.passes[a][s];
                    if (a == s || left < 0) continue;
                    const Cost value = best[left * offers + a];
                    if (value <= changed[s]) continue;
                    changed[s] = value;
                    came[minute * offers + s] = static_cast<std::int32_t>(a);
                }
            }
            std::copy(changed.begin(), changed.end(), best.begin() + minute * offers);
        }
        const auto last = best.begin() + minutes * offers;
        std::size_t s = std::max_element(last, last + offers) - last;
        const Cost worth = last[s];
        for (Time minute = minutes; minute > 0;) {
            const std::int32_t before = came[minute * offers + s];
            if (before >= 0) {
                const Time pass = line.passes[before][s];
                minute -= pass;
                s = before;
                if (minute == 0) break;
                if (pass > 0 && came[minute * offers + s] >= 0) continue;
            }
            --minute;
            for (const Supply& supply : line.offers[s].supplies) wanted_[supply.row][minute] -= supply.capacity[minute];
        }
        return worth;
    }

    // ----------------------------------------------------------------------------------------- better prices

    /// False: everything fits, and nothing is paid for what is not wanted.
    bool step(Cost gap) {
        Cost length = 0;
        for (std::size_t row = 0; row < prices_.size(); ++row) {
            for (Time minute = 0; minute < priced_.minutes; ++minute) {
                Cost& trend = trends_[row][minute];
                trend = turned(trend, wanted_[row][minute], prices_[row][minute]);
                length += trend * trend;
            }
        }
        for (LooseTie& loose : loose_) {
            const Time apart = nodes_[loose.tie.b].start - nodes_[loose.tie.a].start;
            if (loose.tie.least > -kNever)
                loose.low_trend = turned(loose.low_trend, loose.tie.least - apart, loose.low);
            if (loose.tie.most < kNever)
                loose.high_trend = turned(loose.high_trend, apart - loose.tie.most, loose.high);
            length += loose.low_trend * loose.low_trend + loose.high_trend * loose.high_trend;
        }
        if (length == 0 || gap <= 0) return false;
        // Held away from 0 by a shift: a step is a small part of a price.
        const Cost whole = std::min(gap * kTrend * boldness_ / kBold, std::numeric_limits<Cost>::max() >> kShift);
        const Cost far = (whole << kShift) / length;
        const auto moved = [&](Cost price, Cost trend) { return std::max<Cost>(0, price + (trend * far >> kShift)); };
        for (std::size_t row = 0; row < prices_.size(); ++row)
            for (Time minute = 0; minute < priced_.minutes; ++minute)
                prices_[row][minute] = moved(prices_[row][minute], trends_[row][minute]);
        for (LooseTie& loose : loose_) {
            loose.low = moved(loose.low, loose.low_trend);
            loose.high = moved(loose.high, loose.high_trend);
        }
        return true;
    }

    static constexpr int kShift = 20;
    static constexpr Cost kTrend = 16;  ///< trends are counted in such parts

    /// The direction of the last step, turned towards what is wanted too much now (Camerini, Fratta and Maffioli 1975).
    static Cost turned(Cost trend, Cost wanted, Cost price) {
        const Cost next = wanted * kTrend + trend * 11 / 16;
        return price == 0 && next < 0 ? 0 : next;
    }

    const Model& model_;
    const WaitingCase& asked_;
    Priced priced_;
    std::vector<profile::StepProfile> calendars_;  ///< by resource
    std::vector<Node> nodes_;                      ///< by unit
    std::vector<UnitId> order_;                    ///< parents first
    std::vector<LooseTie> loose_;
    Cost constant_ = 0;
    Cost boldness_ = kBold;
    std::vector<std::vector<Cost>> prices_;  ///< by row, by minute
    std::vector<std::vector<Cost>> trends_;
    std::vector<std::vector<Cost>> wanted_;  ///< more than there is, at these prices
    std::vector<std::vector<Cost>> sums_;    ///< of prices before each minute
    std::vector<Time> window_;
};

}  // namespace

std::optional<std::int64_t> relaxed_waiting(const Model& model, const WaitingCase& asked) {
    const auto& links = model.project->links;
    if (links.empty() || std::any_of(links.begin(), links.end(), [](const WaitLink& link) { return link.weight < 0; }))
        return {};
    return Relaxation(model, asked).run();
}

}  // namespace oventide::scheduling
