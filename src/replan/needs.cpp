#include "replan/needs.hpp"

#include <algorithm>
#include <array>
#include <iterator>
#include <tuple>
#include <utility>

#include "common/spans.hpp"
#include "oventide/slack.hpp"
#include "replan/longer_hours.hpp"
#include "replan/reheating.hpp"

namespace oventide::replan {
namespace {

Minutes total(const std::vector<Span>& hours) {
    Minutes sum{0};
    for (const Span& span : hours) sum += span.to - span.from;
    return sum;
}

/// Somebody is back, or something is mended, so much later than now; and in between to so many minutes.
constexpr std::array kLater{Minutes{15}, Minutes{30}, Minutes{60}, Minutes{120}, Minutes{240}, Minutes{480}};
constexpr Minutes kNear{5};
/// What it would be if later still is said for so many times.
constexpr std::size_t kShown = 5;

class Seeker {
public:
    Seeker(const Plan& plan, const Situation& situation, const Attempt& attempt, const Attempt& thorough)
        : plan_(plan), situation_(situation), attempt_(attempt), thorough_(thorough) {}

    std::optional<Possible> seek() {
        for (std::size_t equipment = 0; equipment < situation_.broken.size(); ++equipment)
            if (situation_.open_since[equipment])
                if (auto found = mended(equipment)) return found;
        for (std::size_t person = 0; person < plan_.kitchen.crew.size(); ++person)
            if (is_away(situation_, person))
                if (auto found = back(person)) return found;
        for (const Minutes longer : kLonger)
            if (auto found = somebody_stays(longer)) return found;
        for (std::size_t equipment = 0; equipment < situation_.broken.size(); ++equipment)
            if (is_broken(equipment) && !situation_.open_since[equipment])
                if (auto found = mended(equipment)) return found;
        return everything();
    }

private:
    bool is_broken(std::size_t equipment) const {
        return std::ranges::any_of(situation_.broken[equipment],
                                   [&](const Span& gap) { return gap.to > situation_.now; });
    }

    void bring_back(Situation& day, std::size_t person, Instant at) const {
        day.today.kitchen.crew[person].hours = hours_from(plan_, situation_, person, at);
    }

    void mend(Situation& day, std::size_t equipment, Instant at) const {
        std::vector<Span> closed = plan_.kitchen.equipment[equipment].closed;
        for (const Span& gap : situation_.broken[equipment]) closed.push_back({gap.from, std::min(gap.to, at)});
        day.today.kitchen.equipment[equipment].closed = merged(std::move(closed));
        day.usable_from[equipment] = std::min(day.usable_from[equipment], at);
        for (Span& gap : day.broken[equipment]) gap.to = std::min(gap.to, std::max(gap.from, at));
        for (Interruption& one : day.interruptions)
            if (one.equipment == static_cast<EquipmentIndex>(equipment) && one.open) stand_still(day, one, at);
    }

    /// What is in there gets on again at `at`; it was taken to do so now.
    static void stand_still(Situation& day, Interruption& one, Instant at) {
        StepState& step = day.steps[one.step];
        const Kitchen& kitchen = day.today.kitchen;
        if (one.kept || kitchen.equipment[one.equipment].kind == EquipmentKind::fridge) return;
        Minutes moved = at - one.span.from;
        if (one.heat) moved += reheating(kitchen, one.equipment, *one.heat, moved, one.lost) - one.heating;
        if (one.heat) step.stretched.emplace_back(one.span.from, moved - one.moved);
        step.expected += moved - one.moved;
        one.moved = moved;
        step.ready = std::max(step.expected, day.now);
    }

    /// The latest that was found to do no more harm than now.
    template <class Change>
    std::optional<Possible> by(Need need, Change change) const {
        const auto day_at = [&](Instant at) {
            Situation day = situation_;
            change(day, at);
            return day;
        };
        const auto now = attempt_(day_at(situation_.now));
        if (!now) return std::nullopt;
        const auto will_do = [&](Minutes later) {
            const auto trial = attempt_(day_at(situation_.now + later));
            return trial && std::pair(trial->late, trial->over) <= std::pair(now->late, now->over);
        };
        Minutes least{0};
        Minutes most = kLater.back();
        for (auto later = kLater.rbegin(); later != kLater.rend(); ++later) {  // the quick answers are not all the best
            if (will_do(*later)) {
                least = *later;
                break;
            }
            most = *later;
        }
        while (most - least > kNear) {
            const Minutes middle = least + (most - least) / (2 * kNear.count()) * kNear.count();
            (will_do(middle) ? least : most) = middle;
        }
        need.at = situation_.now + least;
        Possible possible{day_at(need.at), {need}};
        for (const Minutes later : kLater) {
            if (later <= least || possible.later.size() == kShown) continue;
            const Instant at = situation_.now + later;
            if (const auto trial = thorough_(day_at(at)))
                possible.later.push_back({at, Minutes{trial->late}, Minutes{trial->over}});
        }
        return possible;
    }

    std::optional<Possible> back(std::size_t person) const {
        return by({Need::Kind::back, static_cast<std::int32_t>(person), {}, {}},
                  [&](Situation& day, Instant at) { bring_back(day, person, at); });
    }

    std::optional<Possible> mended(std::size_t equipment) const {
        return by({Need::Kind::mended, static_cast<std::int32_t>(equipment), {}, {}},
                  [&](Situation& day, Instant at) { mend(day, equipment, at); });
    }

    /// Of all who could, whoever makes it least late, and then has to be there least.
    std::optional<Possible> somebody_stays(Minutes longer) const {
        std::optional<Possible> best;
        std::tuple<std::int64_t, std::int64_t, Minutes> least_trouble;
        for (std::size_t person = 0; person < plan_.kitchen.crew.size(); ++person) {
            Situation day = situation_;
            day.today.kitchen.crew[person].hours = longer_hours(situation_, person, longer);
            const auto trial = attempt_(day);
            if (!trial) continue;
            Possible found = least(std::move(day), {person}, *trial);
            const auto& hours = found.situation.today.kitchen.crew[person].hours;
            const Minutes more = total(hours) - total(situation_.today.kitchen.crew[person].hours);
            const std::tuple trouble(trial->late, trial->over, more);
            if (best && trouble >= least_trouble) continue;
            best = std::move(found);
            least_trouble = trouble;
        }
        return best;
    }

    /// No more than what the timetable has work for; all of it, where it does not do with less.
    Possible least(Situation day, const std::vector<std::size_t>& people, const Trial& trial) const {
        Situation less = day;
        for (const std::size_t person : people) {
            auto& hours = less.today.kitchen.crew[person].hours;
            hours = hours_worked(situation_, person, hours, trial);
        }
        if (attempt_(less)) day = std::move(less);
        std::vector<Need> needs;
        for (const std::size_t person : people)
            for (const Need& need : more_hours(situation_, person, day.today.kitchen.crew[person].hours))
                needs.push_back(need);
        return {std::move(day), std::move(needs)};
    }

    /// Everybody longer, nobody away, everything mended.
    std::optional<Possible> everything() const {
        Situation day = situation_;
        std::vector<Need> needs;
        std::vector<std::size_t> people;
        for (std::size_t person = 0; person < plan_.kitchen.crew.size(); ++person) {
            day.today.kitchen.crew[person].hours = longer_hours(situation_, person, kLonger.back());
            if (!is_away(situation_, person)) {
                people.push_back(person);
                continue;
            }
            bring_back(day, person, situation_.now);
            needs.push_back({Need::Kind::back, static_cast<std::int32_t>(person), situation_.now, {}});
        }
        for (std::size_t equipment = 0; equipment < situation_.broken.size(); ++equipment) {
            if (!is_broken(equipment)) continue;
            mend(day, equipment, situation_.now);
            needs.push_back({Need::Kind::mended, static_cast<std::int32_t>(equipment), situation_.now, {}});
        }
        const auto trial = attempt_(day);
        if (!trial) return std::nullopt;
        Possible possible = least(std::move(day), people, *trial);
        possible.needs.insert(possible.needs.begin(), needs.begin(), needs.end());
        return possible;
    }

    const Plan& plan_;
    const Situation& situation_;
    const Attempt& attempt_;
    const Attempt& thorough_;
};

/// What comes so much after all that is planned for is still told.
constexpr Time kBeyond = 7 * 24 * 60;

/// The least starts, were there always enough of everything and no limit between steps.
std::optional<std::vector<Time>> least_starts(const Left& left) {
    Project project = left.expansion.project;
    project.horizon += kBeyond;
    std::erase_if(project.lags, [](const Lag& lag) { return lag.lag < 0; });
    Schedule before;
    std::vector<Time> from;
    for (Activity& activity : project.activities) {
        activity.demands.clear();
        activity.keep = kNever;
        if (!left.happened[from.size()]) activity.due = kNever;
        from.push_back(activity.release);
        before.start.push_back(activity.release);
        before.chosen.emplace_back();
    }
    complete(project, before);
    const KeptOrders kept{left.happened, std::vector<std::vector<Interval>>(project.activities.size())};
    return least_shift(project, before, kept, from);
}

}  // namespace

std::optional<Possible> what_is_needed(const Plan& plan, const Situation& situation, const Attempt& attempt,
                                       const Attempt& thorough) {
    return Seeker(plan, situation, attempt, thorough).seek();
}

std::optional<Possible> with_hours_used(const Situation& situation, const Possible& possible, const Trial& trial) {
    const auto is_hours = [](const Need& need) {
        return need.kind == Need::Kind::stays || need.kind == Need::Kind::comes;
    };
    Possible less{possible.situation, {}, possible.later};
    std::ranges::remove_copy_if(possible.needs, std::back_inserter(less.needs), is_hours);
    bool any = false;
    for (std::size_t person = 0; person < situation.today.kitchen.crew.size(); ++person) {
        const auto is_theirs = [&](const Need& need) {
            return is_hours(need) && need.what == static_cast<PersonIndex>(person);
        };
        if (std::ranges::none_of(possible.needs, is_theirs)) continue;
        auto& hours = less.situation.today.kitchen.crew[person].hours;
        auto used = hours_worked(situation, person, hours, trial);
        any = any || total(used) < total(hours);
        hours = std::move(used);
        for (const Need& need : more_hours(situation, person, hours)) less.needs.push_back(need);
    }
    if (!any) return std::nullopt;
    return less;
}

void without_timetable(const Plan& today, const Left& left, Replanned& result) {
    const auto starts = least_starts(left);
    if (!starts) return;
    for (ActivityId id = 0; id < static_cast<ActivityId>(left.happened.size()); ++id)
        if (!left.happened[id] && (*starts)[id] == left.now) result.may_begin.push_back(id);
    for (std::int32_t order = 0; order < static_cast<std::int32_t>(today.orders.size()); ++order) {
        std::optional<Instant> ready;
        for (ActivityId id = 0; id < static_cast<ActivityId>(left.happened.size()); ++id) {
            const Batch& batch = left.expansion.batches[left.expansion.tasks[id].batch];
            const auto serves = [&](const Batch::Sale& sale) { return sale.order == order; };
            if (std::ranges::none_of(batch.sales, serves)) continue;
            const Time end = (*starts)[id] + left.expansion.project.activities[id].duration;
            const Instant at = left.expansion.origin + Minutes{end};
            ready = std::max(ready.value_or(at), at);
        }
        if (ready) result.earliest.push_back({order, *ready});
    }
    for (ActivityId id = 0; id < static_cast<ActivityId>(left.happened.size()); ++id) {
        const std::int32_t batch = left.expansion.tasks[id].batch;
        const Instant at =
            left.expansion.origin + Minutes{(*starts)[id] + left.expansion.project.activities[id].duration};
        const auto same = std::ranges::find(result.at_best, batch, &BatchAtBest::batch);
        if (same == result.at_best.end())
            result.at_best.push_back({batch, at});
        else
            same->at = std::max(same->at, at);
    }
}

}  // namespace oventide::replan
