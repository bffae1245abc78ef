#include <algorithm>

#include "oventide/scheduler.hpp"
#include "schedule/bound.hpp"
#include "schedule/priority.hpp"
#include "schedule/random.hpp"
#include "schedule/serial_pass.hpp"

namespace oventide {
namespace {

using namespace scheduling;

/// Steps of repair in one pass: enough to take back everything a few times.
std::int32_t repairs_of(const Model& model) { return 20 + 4 * model.count(); }

class Solver {
public:
    Solver(const Project& project, const Model& model, const SearchOptions& options)
        : project_(project), model_(model), options_(options), pass_(model), random_(options.seed) {
        outcome_.bound = lower_bound(model);
    }

    Outcome run() {
        for (const Rule rule : kRules) {
            if (finished()) break;
            try_list(list_by(model_, priorities(model_, rule)));
        }
        while (!finished()) try_list(perturbed());
        conclude();
        return std::move(outcome_);
    }

private:
    bool finished() const {
        if (outcome_.schedule && outcome_.value == outcome_.bound) return true;
        return outcome_.schedules >= options_.schedules || (options_.stop && options_.stop->load());
    }

    void try_list(List list) {
        ++outcome_.schedules;
        if (!pass_.run(list, repairs_of(model_))) {
            note_obstacle();
            return;
        }
        Schedule schedule = pass_.schedule();
        const Value value = evaluate(project_, schedule);
        if (outcome_.schedule && value > outcome_.value) return;
        const bool better = !outcome_.schedule || value < outcome_.value;
        outcome_.schedule = std::move(schedule);
        outcome_.value = value;
        best_ = std::move(list);
        if (better && options_.progress) options_.progress({outcome_.schedules, value});
    }

    /// The best list, or the first rule's, with a few units moved.
    List perturbed() {
        auto priority = priorities(model_, Rule::latest_finish);
        for (std::size_t k = 0; k < best_.size(); ++k) priority[best_[k]] = static_cast<std::int64_t>(2 * k);
        const auto count = static_cast<std::uint32_t>(model_.count());
        const std::int64_t reach = best_.empty() ? std::max<Time>(2, project_.horizon / 8) : 2 + count / 2;
        for (std::uint32_t moves = 1 + random_.below(3); moves > 0; --moves) {
            const std::int64_t by = random_.below(static_cast<std::uint32_t>(2 * reach));
            priority[random_.below(count)] += by - reach;
        }
        return list_by(model_, priority);
    }

    void note_obstacle() {
        if (outcome_.schedule) return;
        const Obstacle obstacle = pass_.obstacle();
        const auto same = std::find_if(seen_.begin(), seen_.end(), [&](const auto& entry) {
            return entry.second.activity == obstacle.activity && entry.second.resource == obstacle.resource;
        });
        if (same != seen_.end())
            ++same->first;
        else
            seen_.push_back({1, obstacle});
    }

    void conclude() {
        outcome_.optimal = outcome_.schedule && outcome_.value == outcome_.bound;
        if (outcome_.schedule) return;
        std::stable_sort(seen_.begin(), seen_.end(), [](const auto& a, const auto& b) { return a.first > b.first; });
        for (auto& entry : seen_) outcome_.obstacles.push_back(std::move(entry.second));
    }

    const Project& project_;
    const Model& model_;
    const SearchOptions& options_;
    SerialPass pass_;
    Random random_;
    List best_;
    std::vector<std::pair<std::int32_t, Obstacle>> seen_;  ///< how often, what
    Outcome outcome_;
};

}  // namespace

Outcome solve(const Project& project, const SearchOptions& options) {
    const Model model = make_model(project);
    if (!model.contradiction.empty()) {
        Outcome outcome;
        outcome.infeasible = true;
        outcome.contradiction = model.contradiction;
        return outcome;
    }
    return Solver(project, model, options).run();
}

}  // namespace oventide
