#include "schedule/genetic.hpp"

#include <algorithm>
#include <array>
#include <utility>

#include "schedule/priority.hpp"

namespace oventide::scheduling {
namespace {

// Found by trial on PSPLIB J30 and J60 and on random projects of 120 activities; the same for every project.
constexpr std::int32_t kLeastIndividuals = 6;
constexpr std::int32_t kMostIndividuals = 400;
constexpr std::int64_t kPassesForOneMore = 400;  ///< of the budget: an individual more than its root
constexpr std::int32_t kPatience = 25;   ///< generations without a better schedule before everything starts anew
constexpr std::uint32_t kSpread = 2;     ///< of the first lists' random part, in spreads of the rule that they lean to
constexpr std::int32_t kTournament = 3;  ///< for who becomes a mother
constexpr std::int32_t kWindows = 10;    ///< drawn for a child, of which one is taken
constexpr std::uint32_t kMutation = 2;   ///< one child in so many is changed besides
constexpr std::int32_t kShifts = 2;      ///< in such a child
constexpr std::int32_t kMoreShifts = 6;  ///< at most, where the father's last children were of no use
constexpr std::uint32_t kShiftReach = 12;  ///< places
constexpr std::int32_t kAttempts = 5;      ///< to have a child that is not its father

constexpr std::int64_t kLoadUnit = 1'000;

/// Time by share of a resource, in thousandths, over all that the unit needs.
std::vector<std::int64_t> loads(const Model& model, const PlainModel& plain) {
    std::vector<std::int64_t> result;
    for (UnitId unit = 0; unit < plain.count(); ++unit) {
        std::int64_t load = 0;
        for (const Need& need : model.needs_of(unit)) {
            const Resource& resource = model.project->resources[need.demand->choices.front()];
            load +=
                kLoadUnit * need.demand->amount * plain.busy[unit] / std::max(1, resource.capacity.front().capacity);
        }
        result.push_back(load);
    }
    return result;
}

/// What a pass led to. Of equal makespans the one is better whose units start early on its side: with less in the way
/// of a shorter one.
struct Rating {
    Time makespan = kNever;
    std::int64_t sum_of_starts = 0;
    std::uint64_t print = 0;  ///< of the starts: equal schedules have equal prints

    bool is_better_than(const Rating& other) const {
        return makespan != other.makespan ? makespan < other.makespan : sum_of_starts < other.sum_of_starts;
    }
    bool same_schedule_as(const Rating& other) const { return print == other.print && makespan == other.makespan; }
};

/// A list for one side, read from a schedule of the other, whose rating it has.
struct Individual {
    List list;
    std::vector<std::int32_t> position;  ///< by unit, in the list
    std::vector<Time> start;             ///< by place in the list, on the list's side; at the end the makespan
    std::vector<std::int64_t> load;      ///< by place in the list: of all that stands before it; at the end of all
    Rating rating;
    std::int32_t in_vain = 0;  ///< children since the last that was new

    /// Load a unit of time of the schedule between two places of the list.
    std::int64_t density(std::uint32_t from, std::uint32_t to) const {
        return (load[to] - load[from]) * kLoadUnit / (start[to] - start[from] + 1);
    }
};

using Population = std::vector<Individual>;

class Genetic {
public:
    Genetic(const Model& model, const PlainModel& plain, const GeneticLimits& limits, Random& random)
        : model_(model),
          plain_(plain),
          limits_(limits),
          random_(random),
          pass_(plain),
          child_(plain.length.size()),
          rule_(priorities(model, Rule::earliest_start)),
          load_(loads(model, plain)),
          size_(population_size()) {}

    GeneticResult run() {
        while (!finished()) {
            begin();
            breed();
        }
        return std::move(result_);
    }

private:
    bool finished() {
        if (!result_.start.empty() && result_.makespan <= limits_.target) return true;
        if (result_.schedules >= limits_.schedules) return true;
        return limits_.stop && (result_.schedules & 255) == 0 && limits_.stop();
    }

    /// About the root of the budget, so that a small one still breeds some generations; a large one can afford more.
    std::int32_t population_size() const {
        std::int64_t root = 0;
        while ((root + 1) * (root + 1) <= limits_.schedules) ++root;
        return static_cast<std::int32_t>(std::clamp<std::int64_t>(root + limits_.schedules / kPassesForOneMore,
                                                                  kLeastIndividuals, kMostIndividuals));
    }

    Population& population(Direction side) { return populations_[static_cast<std::size_t>(side)]; }

    Rating schedule(Direction side, const List& list) {
        const Rating rating = rate(pass_.run(side, list.data()));
        ++result_.schedules;
        if (result_.start.empty() || rating.makespan < result_.makespan) keep(side, rating.makespan);
        return rating;
    }

    /// The print is FNV-1a over the starts of the last pass.
    Rating rate(Time makespan) const {
        Rating rating{makespan, 0, 14695981039346656037ULL};
        for (const Time start : pass_.starts()) {
            rating.sum_of_starts += start;
            rating.print = (rating.print ^ static_cast<std::uint64_t>(start)) * 1099511628211ULL;
        }
        return rating;
    }

    void keep(Direction side, Time makespan) {
        if (std::int64_t{makespan} * plain_.unit_time > plain_.deadline) return;
        result_.start = project_starts(plain_, side, pass_.starts(), makespan);
        result_.makespan = makespan;
        if (limits_.progress) limits_.progress(result_);
    }

    /// Makes the schedule of the last pass, over `list`, an individual of the other side: latest finish first.
    void store(Individual& individual, const List& list, const Rating& rating) {
        individual.rating = rating;
        individual.in_vain = 0;
        individual.list.assign(list.rbegin(), list.rend());
        const auto& starts = pass_.starts();
        const auto finish = [&](UnitId unit) { return starts[unit] + plain_.length[unit]; };
        // Turned round the list is nearly in order, and equals stay as they were: insertion moves little.
        List& order = individual.list;
        for (std::size_t k = 1; k < order.size(); ++k) {
            const UnitId unit = order[k];
            const Time key = finish(unit);
            std::size_t at = k;
            for (; at > 0 && finish(order[at - 1]) < key; --at) order[at] = order[at - 1];
            order[at] = unit;
        }
        individual.position.resize(order.size());
        for (std::size_t k = 0; k < order.size(); ++k) individual.position[order[k]] = static_cast<std::int32_t>(k);
        note_load(individual, rating.makespan);
    }

    /// Seen from the other end the schedule begins with what finishes last.
    void note_load(Individual& individual, Time makespan) const {
        const List& order = individual.list;
        const auto& starts = pass_.starts();
        const Time last = starts[order.front()] + plain_.length[order.front()];
        individual.start.resize(order.size() + 1);
        individual.load.resize(order.size() + 1);
        std::int64_t load = 0;
        for (std::size_t k = 0; k < order.size(); ++k) {
            individual.start[k] = last - starts[order[k]] - plain_.length[order[k]];
            individual.load[k] = load;
            load += load_[order[k]];
        }
        individual.start.back() = makespan;
        individual.load.back() = load;
    }

    /// Random lists that lean a little to a rule, scheduled backward, and those schedules pushed forward.
    void begin() {
        best_here_ = kNever;
        generations_waited_ = 0;
        side_ = Direction::backward;
        for (Population& individuals : populations_) individuals.assign(size_, {});
        const auto [least, most] = std::minmax_element(rule_.begin(), rule_.end());
        const auto spread = static_cast<std::uint32_t>(kSpread * (*most - *least) + 1);
        for (std::int32_t i = 0; i < size_; ++i) {
            auto priority = rule_;
            if (i > 0)
                for (auto& value : priority) value += random_.below(spread);
            const List list = list_by(model_, priority);
            store(population(Direction::forward)[i], list, schedule(Direction::backward, list));
            if (finished()) return;
        }
        for (std::int32_t i = 0; i < size_ && !finished(); ++i) {
            const List& list = population(Direction::forward)[i].list;
            store(population(Direction::backward)[i], list, schedule(Direction::forward, list));
        }
    }

    void breed() {
        while (!finished() && generations_waited_ <= kPatience) {
            ++generations_waited_;
            Population& parents = population(side_);
            for (std::int32_t i = 0; i < size_ && !finished(); ++i) {
                make_child(parents[i], parents[best_of_some(parents)]);
                const Rating rating = schedule(side_, child_);
                parents[i].in_vain = admit(rating, population(opposite(side_))) ? 0 : parents[i].in_vain + 1;
                if (rating.makespan >= best_here_) continue;
                best_here_ = rating.makespan;
                generations_waited_ = 0;
            }
            side_ = opposite(side_);
        }
    }

    /// The child takes the place of the worst, if it is as good; twins would crowd out everybody else: false for them.
    bool admit(const Rating& rating, Population& individuals) {
        Individual* worst = &individuals.front();
        for (Individual& individual : individuals) {
            if (individual.rating.same_schedule_as(rating)) return false;
            if (worst->rating.is_better_than(individual.rating)) worst = &individual;
        }
        if (!worst->rating.is_better_than(rating)) store(*worst, child_, rating);
        return true;
    }

    std::uint32_t best_of_some(const Population& individuals) {
        std::uint32_t best = random_.below(size_);
        for (std::int32_t others = 1; others < kTournament; ++others) {
            const std::uint32_t other = random_.below(size_);
            if (individuals[other].rating.is_better_than(individuals[best].rating)) best = other;
        }
        return best;
    }

    /// The father's list, a window of it in the mother's order. Both lists lead forward, so the child does.
    void make_child(const Individual& father, const Individual& mother) {
        child_ = father.list;
        const auto count = static_cast<std::uint32_t>(plain_.count());
        const std::uint32_t length = count / 4 + random_.below(count / 2 + 1);
        const std::uint32_t from = window(father, mother, length);
        for (std::uint32_t k = from + 1; k < from + length; ++k) {
            const UnitId unit = child_[k];
            const std::int32_t key = mother.position[unit];
            std::uint32_t at = k;
            for (; at > from && mother.position[child_[at - 1]] > key; --at) child_[at] = child_[at - 1];
            child_[at] = unit;
        }
        const std::int32_t more = std::min(father.in_vain, kMoreShifts);
        if (random_.one_in(kMutation) || more > 0) mutate(kShifts + more);
        for (std::int32_t k = 0; k < kAttempts && child_ == father.list; ++k) mutate(kShifts + more);
    }

    /// Of some windows the one in which the mother's schedule is packed closest beside the father's.
    std::uint32_t window(const Individual& father, const Individual& mother, std::uint32_t length) {
        const auto count = static_cast<std::uint32_t>(plain_.count());
        const auto gain = [&](std::uint32_t from) {
            return mother.density(from, from + length) - father.density(from, from + length);
        };
        std::uint32_t best = random_.below(count - length + 1);
        std::int64_t best_gain = gain(best);
        for (std::int32_t others = 1; others < kWindows; ++others) {
            const std::uint32_t from = random_.below(count - length + 1);
            const std::int64_t other_gain = gain(from);
            if (other_gain <= best_gain) continue;
            best = from;
            best_gain = other_gain;
        }
        return best;
    }

    /// Moves units a few places to the front, not past what must come before them.
    void mutate(std::int32_t shifts) {
        const auto count = static_cast<std::uint32_t>(plain_.count());
        for (std::int32_t shift = 0; shift < shifts && count > 1; ++shift) {
            std::uint32_t at = 1 + random_.below(count - 1);
            const UnitId unit = child_[at];
            for (std::uint32_t steps = 1 + random_.below(kShiftReach); steps > 0 && at > 0; --steps, --at) {
                if (must_precede(child_[at - 1], unit)) break;
                child_[at] = child_[at - 1];
            }
            child_[at] = unit;
        }
    }

    bool must_precede(UnitId first, UnitId second) const {
        const auto before = plain_.sides[static_cast<std::size_t>(side_)].before[second];
        return std::any_of(before.begin(), before.end(), [&](const Link& link) { return link.unit == first; });
    }

    const Model& model_;
    const PlainModel& plain_;
    const GeneticLimits& limits_;
    Random& random_;
    PlainPass pass_;
    List child_;
    std::vector<std::int64_t> rule_;  ///< of the backward side: by unit
    std::vector<std::int64_t> load_;  ///< by unit
    std::int32_t size_;
    std::array<Population, 2> populations_;  ///< by the side on which their lists are to be scheduled
    Direction side_ = Direction::backward;
    std::int32_t generations_waited_ = 0;
    Time best_here_ = kNever;
    GeneticResult result_;
};

}  // namespace

GeneticResult search_plain(const Model& model, const PlainModel& plain, const GeneticLimits& limits, Random& random) {
    return Genetic(model, plain, limits, random).run();
}

}  // namespace oventide::scheduling
