#include <algorithm>
#include <set>
#include <utility>

#include "oventide/timetable.hpp"

namespace oventide {
namespace {

using Busy = std::pair<Time, Time>;  ///< half open

class Rota {
public:
    Rota(const Expansion& expansion, Schedule& schedule)
        : expansion_(expansion), schedule_(schedule), busy_(expansion.project.resources.size()) {
        for (ActivityId id = 0; id < static_cast<ActivityId>(expansion.tasks.size()); ++id)
            for (int k = 0; k < demands(id); ++k)
                if (is_person(id, k)) busy_[chosen(id, k)].insert(interval(id, k));
    }

    /// All that the step needs hands for goes to one person, where one of those who do it now is free for it.
    void steady(ActivityId id) {
        std::vector<int> parts;
        for (int k = 0; k < demands(id); ++k) {
            const DemandInfo& info = expansion_.demands[id][k];
            if (info.kind == DemandInfo::Kind::hands && info.person > 0) return;  // several people at once
            if (info.kind == DemandInfo::Kind::hands && interval(id, k).first < interval(id, k).second)
                parts.push_back(k);
        }
        if (overlap(id, parts)) return;
        for (const int keeper : parts) {
            const ResourceId person = chosen(id, keeper);
            if (!std::all_of(parts.begin(), parts.end(), [&](int k) { return could(person, id, k); })) continue;
            for (const int k : parts) give(person, id, k);
            return;
        }
    }

private:
    int demands(ActivityId id) const { return static_cast<int>(expansion_.project.activities[id].demands.size()); }
    ResourceId& chosen(ActivityId id, int k) const { return schedule_.chosen[id][k]; }
    bool is_person(ActivityId id, int k) const { return expansion_.resources[chosen(id, k)].person.has_value(); }

    Busy interval(ActivityId id, int k) const {
        const Interval of = demand_interval(expansion_.project, schedule_, id, k);
        return {of.from, of.to};
    }

    /// Two at once are two people's.
    bool overlap(ActivityId id, const std::vector<int>& parts) const {
        for (std::size_t a = 0; a < parts.size(); ++a)
            for (std::size_t b = a + 1; b < parts.size(); ++b)
                if (interval(id, parts[a]).first < interval(id, parts[b]).second &&
                    interval(id, parts[b]).first < interval(id, parts[a]).second)
                    return true;
        return false;
    }

    bool could(ResourceId person, ActivityId id, int k) const {
        if (chosen(id, k) == person) return true;
        const auto& choices = expansion_.project.activities[id].demands[k].choices;
        const Busy wanted = interval(id, k);
        return std::find(choices.begin(), choices.end(), person) != choices.end() && is_free(person, wanted) &&
               is_there(person, wanted);
    }

    bool is_free(ResourceId person, Busy wanted) const {
        const auto next = busy_[person].lower_bound({wanted.first, wanted.first});
        const bool clear_after = next == busy_[person].end() || next->first >= wanted.second;
        return clear_after && (next == busy_[person].begin() || std::prev(next)->second <= wanted.first);
    }

    bool is_there(ResourceId person, Busy wanted) const {
        const auto& capacity = expansion_.project.resources[person].capacity;
        for (std::size_t i = 0; i < capacity.size(); ++i) {
            const Time until = i + 1 < capacity.size() ? capacity[i + 1].from : kNever;
            if (capacity[i].capacity < 1 && capacity[i].from < wanted.second && until > wanted.first) return false;
        }
        return true;
    }

    void give(ResourceId person, ActivityId id, int k) {
        busy_[chosen(id, k)].erase(interval(id, k));
        chosen(id, k) = person;
        busy_[person].insert(interval(id, k));
    }

    const Expansion& expansion_;
    Schedule& schedule_;
    std::vector<std::set<Busy>> busy_;  ///< by resource; of people only, who do one thing at a time
};

}  // namespace

void steady_hands(const Expansion& expansion, Schedule& schedule) {
    Rota rota(expansion, schedule);
    for (ActivityId id = 0; id < static_cast<ActivityId>(expansion.tasks.size()); ++id) rota.steady(id);
}

}  // namespace oventide
