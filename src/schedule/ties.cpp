#include "schedule/ties.hpp"

#include <algorithm>
#include <map>
#include <utility>

#include "network/network.hpp"

namespace oventide::scheduling {
namespace {

/// Ties between every pair of units that lags, or food that must not overrun, hold to each other.
class Ties {
public:
    Ties(const Model& model, std::optional<Time> overrun) : model_(model) {
        for (UnitId unit = 0; unit < model.count(); ++unit)
            for (const Link& link : model.out[unit]) add(unit, link.unit, link.lag);
        if (!overrun) return;
        for (const Freshness& food : model.project->freshness)
            for (const ActivityId maker : food.makers)
                for (const ActivityId user : food.users) {
                    const Time apart = model.project->activities[maker].duration + food.best_within + *overrun;
                    add(model.unit_of[user], model.unit_of[maker], model.offset[user] - model.offset[maker] - apart);
                }
    }

    /// Adds what follows from resources, and leaves out what follows from other ties: fewer ties, fewer cycles.
    void reduce() {
        if (model_.count() > kMostToReduce) return;
        find_paths();
        if (add_sequences()) find_paths();
        for (auto& [ends, tie] : ties_) {
            if (tie.least > -kNever && follows(tie.a, tie.b, tie.least)) tie.least = -kNever;
            if (tie.most < kNever && follows(tie.b, tie.a, -tie.most)) tie.most = kNever;
        }
        std::erase_if(ties_,
                      [](const auto& entry) { return entry.second.least <= -kNever && entry.second.most >= kNever; });
    }

    /// Those that say most first: the closer the ends, the earlier.
    std::vector<Tie> sorted() const {
        std::vector<Tie> ties;
        for (const auto& [ends, tie] : ties_) ties.push_back(tie);
        std::stable_sort(ties.begin(), ties.end(), [](const Tie& x, const Tie& y) {
            return std::int64_t{x.most} - x.least < std::int64_t{y.most} - y.least;
        });
        return ties;
    }

private:
    /// start(to) >= start(from) + lag.
    void add(UnitId from, UnitId to, Time lag) {
        if (from == to) return;
        Tie& tie = ties_.try_emplace(std::minmax(from, to), Tie{std::min(from, to), std::max(from, to)}).first->second;
        if (from < to)
            tie.least = std::max(tie.least, lag);
        else
            tie.most = std::min(tie.most, -lag);
    }

    /// By unit, by unit: at least so much lies between their starts.
    void find_paths() {
        std::vector<Lag> lags;
        for (const auto& [ends, tie] : ties_) {
            if (tie.least > -kNever) lags.push_back({tie.a, tie.b, tie.least, kNoPromise});
            if (tie.most < kNever) lags.push_back({tie.b, tie.a, -tie.most, kNoPromise});
        }
        path_.clear();
        for (UnitId unit = 0; unit < model_.count(); ++unit)
            path_.push_back(network::longest_paths(model_.count(), lags, unit));
    }

    bool follows(UnitId from, UnitId to, Time lag) const {
        for (UnitId via = 0; via < model_.count(); ++via)
            if (via != from && via != to && path_[from][via] > -kNever && path_[via][to] > -kNever &&
                path_[from][via] + path_[via][to] >= lag)
                return true;
        return false;
    }

    /// Two that cannot be on a resource together, and of which one cannot come first, follow each other.
    bool add_sequences() {
        bool added = false;
        for (UnitId from = 0; from < model_.count(); ++from) {
            for (UnitId to = 0; to < model_.count(); ++to) {
                if (from == to || path_[from][to] <= -kNever) continue;
                Time lag = path_[from][to];
                for (const Need& first : model_.needs_of(from))
                    for (const Need& second : model_.needs_of(to)) lag = std::max(lag, sequence(first, second, lag));
                if (lag == path_[from][to]) continue;
                add(from, to, lag);
                added = true;
            }
        }
        return added;
    }

    /// The lag between the units of two needs that are at least `known` apart.
    Time sequence(const Need& first, const Need& second, Time known) const {
        const auto choices = model_.choices_of(first);
        if (choices.size() != 1 || model_.choices_of(second).size() != 1 ||
            model_.choices_of(second).front() != choices.front() || !solid(first) || !solid(second))
            return known;
        const Resource& resource = model_.project->resources[choices.front()];
        const bool second_first = second.span.to.shift + known <= first.span.from.shift;
        if (second_first || !excluded(resource, first, second)) return known;
        return std::max({known, first.span.to.shift - second.span.from.shift, transition(resource, first, second)});
    }

    /// From the first's start to the second's, by what must lie between their settings. A programme that goes on after
    /// its demand could still be there when the second starts, and says nothing.
    static Time transition(const Resource& resource, const Need& first, const Need& second) {
        if (!first.has_state() || !second.has_state()) return -kNever;
        Time programme = first.offset;
        for (const Stage& stage : first.demand->stages) programme += stage.lasts;
        if (programme > first.span.to.shift || second.span.from.shift > second.offset) return -kNever;
        Time lag = -kNever;
        Time at = first.offset - second.offset;
        const SettingId next = second.demand->stages.front().setting;
        for (const Stage& stage : first.demand->stages) {
            at += stage.lasts;
            if (stage.lasts > 0) lag = std::max(lag, at + resource.state.transition[stage.setting][next]);
        }
        return lag;
    }

    /// It lasts at least from a known minute to another, whatever the other units do.
    bool solid(const Need& need) const {
        return need.span.from.fixed <= -kNever && need.span.from.shift < need.span.to.shift &&
               !model_.begin_is_open(need);
    }

    bool excluded(const Resource& resource, const Need& first, const Need& second) const {
        if (first.has_state() && second.has_state() && !share_a_setting(first, second)) return true;
        std::int32_t most = 0;
        for (const CapacityStep& step : resource.capacity) most = std::max(most, step.capacity);
        return first.amount + second.amount > most;
    }

    bool share_a_setting(const Need& first, const Need& second) const {
        for (const Stage& mine : first.demand->stages)
            for (const Stage& other : second.demand->stages)
                if (mine.setting == other.setting && !model_.project->settings[mine.setting].exclusive) return true;
        return false;
    }

    static constexpr std::int32_t kMostToReduce = 400;
    const Model& model_;
    std::vector<std::vector<Time>> path_;
    std::map<std::pair<UnitId, UnitId>, Tie> ties_;
};

}  // namespace

std::vector<Tie> ties_of(const Model& model, std::optional<Time> overrun) {
    Ties ties(model, overrun);
    ties.reduce();
    return ties.sorted();
}

}  // namespace oventide::scheduling
