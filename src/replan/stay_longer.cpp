#include "replan/stay_longer.hpp"

#include <algorithm>
#include <numeric>
#include <optional>
#include <utility>

#include "replan/longer_hours.hpp"
#include "replan/over_night.hpp"

namespace oventide::replan {
namespace {

class Asker {
public:
    Asker(const Plan& plan, const Situation& situation, const Harm& now, const Asked& asked)
        : plan_(plan), situation_(situation), now_(now), asked_(asked) {}

    std::vector<WayOut> ask() const {
        std::vector<WayOut> ways = backs();
        append_longer(ways);
        return ways;
    }

private:
    struct Tried {
        Situation day;
        Trial trial;
        Harm harm;
    };

    /// Whoever is away until nobody knows when, back for their next day.
    std::vector<WayOut> backs() const {
        std::vector<WayOut> ways;
        for (std::size_t person = 0; person < plan_.kitchen.crew.size(); ++person) {
            const auto at = next_day(plan_, situation_, person);
            if (!at) continue;
            Situation day = situation_;
            day.today.kitchen.crew[person].hours = hours_from(plan_, situation_, person, *at);
            const auto tried = of(std::move(day), asked_.quick);
            if (!tried || tried->harm >= now_) continue;
            WayOut back = way({}, *tried);
            back.hours.push_back({Need::Kind::back, static_cast<PersonIndex>(person), *at, std::nullopt});
            ways.push_back(std::move(back));
        }
        return ways;
    }

    void append_longer(std::vector<WayOut>& ways) const {
        std::vector<std::size_t> all(situation_.today.kitchen.crew.size());
        std::iota(all.begin(), all.end(), std::size_t{0});
        if (now_.over_night == 0 && !asked_.sooner(day_with(all, kLonger.back()), now_.late)) return;
        const auto together = staying(all, kLonger.back());
        if (!together || together->harm >= now_) return;
        Harm best = now_;
        for (const std::size_t person : all)
            if (const auto found = least({person})) {
                best = std::min(best, found->harm);
                ways.push_back(way(all, *found));
            }
        if (all.size() > 1 && together->harm < best)
            if (const auto found = least(all)) ways.push_back(way(all, *found));
    }

    std::optional<Tried> of(Situation day, const Attempt& attempt) const {
        auto trial = attempt(day);
        if (!trial) return std::nullopt;
        std::vector<std::vector<Span>> hours;  // as they were: a night stays one, whoever stays on into it
        for (const Person& person : situation_.today.kitchen.crew) hours.push_back(person.hours);
        const Harm harm{trial->late, over_night(situation_, hours, trial->expansion, trial->schedule).size()};
        return Tried{std::move(day), std::move(*trial), harm};
    }

    Situation day_with(const std::vector<std::size_t>& people, Minutes by) const {
        Situation day = situation_;
        for (const std::size_t person : people)
            day.today.kitchen.crew[person].hours = longer_hours(situation_, person, by);
        return day;
    }

    std::optional<Tried> staying(const std::vector<std::size_t>& people, Minutes by) const {
        return of(day_with(people, by), asked_.quick);
    }

    /// As little as does as well as the longest, and no more than there is work for. Empty where it does not help.
    std::optional<Tried> least(const std::vector<std::size_t>& people) const {
        auto found = staying(people, kLonger.back());
        if (!found || found->harm >= now_) return std::nullopt;
        for (const Minutes by : kLonger) {
            if (by == kLonger.back()) break;
            auto less = staying(people, by);
            if (!less || less->harm > found->harm) continue;
            found = std::move(less);
            break;
        }
        Situation day = situation_;
        for (const std::size_t person : people)
            day.today.kitchen.crew[person].hours =
                hours_worked(situation_, person, found->day.today.kitchen.crew[person].hours, found->trial);
        auto cut = of(std::move(day), asked_.quick);
        if (cut && cut->harm <= found->harm) found = std::move(cut);
        if (people.size() == 1) {
            drop_needless(people.front(), *found);
            shorten(people.front(), *found);
        }
        return found;
    }

    /// Of several that they are asked, what another does as well without.
    void drop_needless(std::size_t person, Tried& found) const {
        const auto needs = more_hours(situation_, person, found.day.today.kitchen.crew[person].hours);
        if (needs.size() < 2) return;
        for (const Need& need : needs) {
            if (!need.instead) continue;
            Situation day = found.day;
            for (Span& own : day.today.kitchen.crew[person].hours) {
                if (need.kind == Need::Kind::stays && own.to == need.at) own.to = *need.instead;
                if (need.kind == Need::Kind::comes && own.from == need.at) own.from = *need.instead;
            }
            auto less = of(std::move(day), asked_.thorough);
            if (less && less->harm <= found.harm) found = std::move(*less);
        }
    }

    /// What that timetable has work for need not all be done so late: the last minute that does not do.
    void shorten(std::size_t person, Tried& found) const {
        for (const Need& need : more_hours(situation_, person, found.day.today.kitchen.crew[person].hours)) {
            if (need.kind != Need::Kind::stays || !need.instead) continue;
            Instant too_short = *need.instead;
            Instant enough = need.at;
            while (enough - too_short > Minutes{1}) {
                const Instant middle = too_short + (enough - too_short) / 2;
                Situation day = found.day;
                for (Span& own : day.today.kitchen.crew[person].hours)
                    if (own.to == enough) own.to = middle;
                auto less = of(std::move(day), asked_.thorough);
                if (!less || less->harm > found.harm) {
                    too_short = middle;
                    continue;
                }
                found = std::move(*less);
                enough = middle;
            }
        }
    }

    WayOut way(const std::vector<std::size_t>& people, const Tried& tried) const {
        WayOut way;
        way.kind = WayOut::Kind::hours;
        for (const std::size_t person : people)
            for (const Need& need : more_hours(situation_, person, tried.day.today.kitchen.crew[person].hours))
                way.hours.push_back(need);
        for (std::size_t order = 0; order < tried.trial.late_by.size(); ++order)
            if (const Minutes by = tried.trial.late_by[order]; by > Minutes{0})
                way.late.push_back({static_cast<std::int32_t>(order), by});
        way.over_night = tried.harm.over_night > 0;
        return way;
    }

    const Plan& plan_;
    const Situation& situation_;
    const Harm& now_;
    const Asked& asked_;
};

}  // namespace

std::vector<WayOut> ways_to_stay(const Plan& plan, const Situation& situation, const Harm& now, const Asked& asked) {
    auto ways = Asker(plan, situation, now, asked).ask();
    std::erase_if(ways, [](const WayOut& way) { return way.hours.empty(); });
    return ways;
}

}  // namespace oventide::replan
