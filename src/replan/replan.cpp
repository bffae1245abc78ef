#include "oventide/replan.hpp"

#include <algorithm>
#include <array>
#include <map>
#include <memory>
#include <string_view>
#include <tuple>
#include <utility>
#include <variant>

#include "replan/announced.hpp"
#include "replan/announced_changes.hpp"
#include "replan/fewer.hpp"
#include "replan/gave_way.hpp"
#include "replan/ground.hpp"
#include "replan/left.hpp"
#include "replan/longer_days.hpp"
#include "replan/needs.hpp"
#include "replan/search.hpp"
#include "replan/sooner.hpp"
#include "replan/standstill.hpp"
#include "replan/stay_longer.hpp"
#include "replan/tell.hpp"
#include "replan/ways_out.hpp"

namespace oventide::replan {
namespace {

/// Some order is ready after its pickup.
bool is_late(const journal::Published& published, const Plan& today, const Expansion& expansion) {
    std::map<std::string_view, Instant> ready;
    for (const journal::PublishedStep& row : published.steps) ready[row.id] = row.ready;
    for (ActivityId id = 0; id < static_cast<ActivityId>(expansion.project.activities.size()); ++id) {
        const auto row = ready.find(expansion.project.activities[id].name);
        if (row == ready.end()) continue;
        for (std::size_t order = 0; order < today.orders.size(); ++order)
            if (today.orders[order].pickup < row->second &&
                serves(today, expansion, id, static_cast<std::int32_t>(order)))
                return true;
    }
    return false;
}

/// Of a day announced late the last announcement that was not: perhaps it can be kept again. Null: nothing like it.
const journal::Published* last_in_time(const journal::Journal& journal, const Plan& today, const Expansion& expansion) {
    if (journal.published() == nullptr || !is_late(*journal.published(), today, expansion)) return nullptr;
    const journal::Published* found = nullptr;
    for (const journal::Entry& entry : journal.entries)
        if (const auto* published = std::get_if<journal::Published>(&entry.event))
            if (!is_late(*published, today, expansion)) found = published;
    return found;
}

/// For one of many tries whether there is a timetable at all.
constexpr int kSearchesOfTry = 8;

/// Minutes past limits in all that a cook would rather have than no timetable.
constexpr std::int64_t kLittle = 60;

/// Of what is not known to be best, so many times the budget is spent.
constexpr int kManyTimes = 5;

/// More harm than any timetable does.
constexpr std::int64_t kNoTimetable = kNever;

/// What announces, plans and answers stays the same; the day may be another one, to try what would be.
class Desk {
public:
    /// `in_time`: what was announced before the day was late; `before_void_news`: before news that holds no longer.
    Desk(const Plan& plan, const Expansion& expansion, const journal::Journal& journal, const Schedule* told,
         const journal::Published* in_time, const journal::Published* before_void_news, const Options& options)
        : plan_(plan),
          expansion_(expansion),
          journal_(journal),
          told_(told),
          in_time_(in_time),
          before_void_news_(before_void_news),
          options_(options) {}

    /// False where there is no timetable, and then, where anything is left, why not.
    bool answer(const Situation& situation, Replanned& result) const {
        std::string why;
        auto found = look(situation, {}, why);
        if (!found) {
            result.diagnosis.push_back(why);
            return false;
        }
        result.broken = found->left.broken;
        result.expansion = found->left.expansion;
        for (const journal::Published* before : {before_void_news_, in_time_})
            if (told_ != nullptr && before != nullptr && go_back(situation, found->left, *before, result)) return true;
        run(situation, found->search);
        result.outcome = found->search.outcome;
        found = looked_for_longer(situation, std::move(found));
        found = with_batches_in_any_order(situation, std::move(found));
        found = with_food_under_way_finished(situation, std::move(found));
        if (found->search.best) {
            if (options_.keep_margins) result.margins_tried = keep_margins(situation, *found);
            if (result.margins_tried || !go_back_in_another_order(situation, *found, result))
                take(situation, *found, result);
            return true;
        }
        diagnose(found->left, result);
        result.standstill = standstill(situation, found->left);
        without_timetable(situation.today, found->left, result);
        return false;
    }

    std::optional<Trial> attempt(const Situation& situation, Terms terms = {}) const {
        Options quick = options_;
        quick.searches = kSearchesOfTry;
        quick.thorough = quick.nodes;
        return attempt(situation, terms, quick);
    }

    /// Likewise, with all that is done for an answer; batches in any order where that does less harm.
    std::optional<Trial> thorough_attempt(const Situation& situation) const {
        auto best = attempt(situation, {}, options_);
        if (best && best->late == 0 && best->over == 0) return best;
        auto other = attempt(situation, {MayGive::of_what_has_happened, Batches::in_any_order}, options_);
        if (!best || (other && std::pair(other->late, other->over) < std::pair(best->late, best->over))) return other;
        return best;
    }

private:
    /// What is left of a day, and what is looked for in it.
    struct Found {
        Found(Left what, const Situation& situation, const Schedule* told, const Options& how, Terms those)
            : left(std::move(what)),
              options(how),
              search(situation.today, situation, left, told, options),
              terms(those) {}
        /// Minutes late, and past limits.
        std::pair<std::int64_t, std::int64_t> harm() const {
            return search.best ? Desk::harm(left, search) : std::pair(kNoTimetable, kNoTimetable);
        }

        Left left;
        Options options;
        Search search;
        Terms terms;
    };

    std::unique_ptr<Found> look(const Situation& situation, Terms terms, std::string& why) const {
        return look(situation, terms, why, options_);
    }

    std::unique_ptr<Found> look(const Situation& situation, Terms terms, std::string& why,
                                const Options& options) const {
        auto left = what_is_left(plan_, expansion_, situation, told_, why, terms);
        if (!left) return nullptr;
        return std::make_unique<Found>(std::move(*left), situation, told_, options, terms);
    }

    static void run(const Situation& situation, Search& search) {
        search.run(std::vector<char>(situation.today.orders.size(), 1));
    }

    std::optional<Trial> attempt(const Situation& situation, Terms terms, const Options& options) const {
        std::string why;
        const auto left = what_is_left(plan_, expansion_, situation, told_, why, terms);
        if (!left) return std::nullopt;
        Search search(situation.today, situation, *left, told_, options);
        run(situation, search);
        if (!search.best) return std::nullopt;
        Trial trial{left->expansion, left->happened, *search.best, {}};
        for (const Time by : search.late_in_all()) trial.late_by.emplace_back(by);
        std::tie(trial.late, trial.over) = harm(*left, search);
        return trial;
    }

    /// True where that is not excluded.
    bool can_be_sooner(const Situation& situation, std::int64_t late, Terms terms) const {
        std::string why;
        const auto found = look(situation, terms, why);
        return found && found->search.can_be_sooner(late);
    }

    void offer_longer_hours(const Situation& situation, const Search& search, Terms terms, Replanned& result) const {
        const Harm now{minutes(search.late_in_all()), result.over_night.size()};
        if (now == Harm{}) return;
        const Asked asked{[&](const Situation& day, std::int64_t late) { return can_be_sooner(day, late, terms); },
                          [&](const Situation& day) { return attempt(day, terms); },
                          [&](const Situation& day) { return attempt(day, terms, options_); }};
        for (WayOut& way : ways_to_stay(plan_, situation, now, asked)) result.ways.push_back(std::move(way));
        best_first(result.ways);
    }

    void take(const Situation& situation, Found& found, Replanned& result) const {
        tell(situation, found.left, told_, found.search, options_, result);
        result.gave_way =
            gave_way(situation, result.pickups, [&](const Situation& day) { return attempt(day, found.terms); });
        offer_longer_hours(situation, found.search, found.terms, result);
    }

    /// Where something is late or past a limit, and perhaps need not be.
    std::unique_ptr<Found> looked_for_longer(const Situation& situation, std::unique_ptr<Found> found) const {
        if (!found->search.best || found->search.is_proven()) return found;
        Options longer = options_;
        longer.schedules *= kManyTimes;
        longer.nodes *= kManyTimes;
        longer.thorough *= kManyTimes;
        std::string why;
        auto other = look(situation, found->terms, why, longer);
        run(situation, other->search);
        return other->harm() < found->harm() ? std::move(other) : std::move(found);
    }

    /// Where something is late or too old, or nothing is found, and a batch waits for one of an earlier number: that
    /// order gives way, if it does less harm.
    std::unique_ptr<Found> with_batches_in_any_order(const Situation& situation, std::unique_ptr<Found> found) const {
        const auto before = found->harm();
        if (before == std::pair(std::int64_t{0}, std::int64_t{0})) return found;
        if (found->search.best && !waits_in_line(found->left, *found->search.best, told_)) return found;
        const Terms terms{found->terms.may_give, Batches::in_any_order};
        if (before.second == 0 && !can_be_sooner(situation, before.first, terms)) return found;
        std::string why;
        auto other = look(situation, terms, why);
        if (!other || other->left.expansion.project.lags.size() == found->left.expansion.project.lags.size())
            return found;
        run(situation, other->search);
        return other->harm() < before ? std::move(other) : std::move(found);
    }

    /// Where a limit is passed anyway, or nothing is found, others of the food that is under way may give way as well:
    /// if that does less harm, or little where nothing was found.
    std::unique_ptr<Found> with_food_under_way_finished(const Situation& situation,
                                                        std::unique_ptr<Found> found) const {
        const auto before = found->search.best ? found->harm() : std::pair(kNoTimetable, kLittle);
        if (before.second == 0) return found;
        std::string why;
        auto wider = look(situation, {MayGive::of_food_under_way, found->terms.batches}, why);
        if (!wider || wider->left.limits.size() == found->left.limits.size()) return found;
        run(situation, wider->search);
        const auto harmed = wider->harm();
        return harmed < before && harmed.second <= before.second ? std::move(wider) : std::move(found);
    }

    /// Where nothing is late: with as much of the margins as can be, and no more past limits. False where nothing is
    /// missing.
    bool keep_margins(const Situation& situation, Found& found) const {
        if (found.harm().first != 0) return false;
        Plan hurried = situation.today;
        for (Order& order : hurried.orders) order.pickup -= order.margin;
        Search search(hurried, situation, found.left, told_, options_);
        search.best = found.search.best;
        const std::int64_t missing = minutes(search.late_in_all());
        if (missing == 0) return false;
        search.best.reset();
        run(situation, search);
        const Project project = found.search.project_with(found.search.allowance());
        if (search.best && minutes(search.late_in_all()) < missing &&
            found.search.faults(project, *search.best).empty())
            found.search.take(*search.best, search.kept_order);
        return true;
    }

    /// To what was announced before news that holds no longer; changes are still told from what was announced last.
    bool go_back(const Situation& situation, const Left& left, const journal::Published& before,
                 Replanned& result) const {
        const auto schedule = announced_schedule(plan_, expansion_, before);
        if (!schedule) return false;
        const Situation then = as_announced(situation, plan_, expansion_, journal_, before);
        Search search(situation.today, then, left, &*schedule, options_);
        if (!search.run_in_order(*told_)) return false;
        take_returned(situation, left, search, {}, result);
        return true;
    }

    void take_returned(const Situation& situation, const Left& left, Search& search, Terms terms,
                       Replanned& result) const {
        tell(situation, left, told_, search, options_, result);
        offer_longer_hours(situation, search, terms, result);
        if (result.way != Replanned::Way::unchanged) result.way = Replanned::Way::returned;
    }

    /// Likewise, where the order of then cannot be kept: if that does no more harm than what was found.
    bool go_back_in_another_order(const Situation& situation, const Found& found, Replanned& result) const {
        const journal::Published* before = before_void_news_;
        if (told_ == nullptr || before == nullptr) return false;
        const auto schedule = announced_schedule(plan_, expansion_, *before);
        if (!schedule) return false;
        const Situation then = as_announced(situation, plan_, expansion_, journal_, *before);
        Search back(situation.today, then, found.left, &*schedule, options_);
        run(situation, back);
        if (!back.best || !back.is_nearer_than(*told_) || harm(found.left, back) > found.harm()) return false;
        take_returned(situation, found.left, back, found.terms, result);
        return true;
    }

    static std::pair<std::int64_t, std::int64_t> harm(const Left& left, const Search& search) {
        std::int64_t over = 0;
        for (const Limit& limit : left.limits) over += std::max(0, search.over(limit));
        return {minutes(search.late_in_all()), over};
    }

    const Plan& plan_;
    const Expansion& expansion_;
    const journal::Journal& journal_;
    const Schedule* told_;
    const journal::Published* in_time_;
    const journal::Published* before_void_news_;
    const Options& options_;
};

std::optional<Schedule> published_schedule(const Plan& plan, const Expansion& expansion,
                                           const journal::Journal& journal) {
    const journal::Published* published = journal.published();
    return published == nullptr ? std::nullopt : announced_schedule(plan, expansion, *published);
}

Situation ready_at(Situation situation, ActivityId step, Instant ready) {
    situation.steps[step].state = State::running;
    situation.steps[step].expected = situation.steps[step].ready = std::max(ready, situation.now);
    return situation;
}

/// As few minutes late as one question finds; no order later than `most`.
std::vector<Time> least_late(const Plan& plan, const Expansion& expansion, const journal::Journal& journal,
                             const Situation& day, Time most, const Options& options) {
    const auto announced = published_schedule(plan, expansion, journal);
    const Schedule* told = announced ? &*announced : nullptr;
    std::string why;
    const auto left = what_is_left(plan, expansion, day, told, why);
    if (!left) return {};
    Search search(day.today, day, *left, told, options);
    search.run_for_lateness(std::vector<char>(day.today.orders.size(), 1), most);
    return search.best ? search.late_in_all() : std::vector<Time>{};
}

}  // namespace

std::vector<Minutes> late_if(const Plan& plan, const Expansion& expansion, const journal::Journal& journal,
                             const Situation& situation, ActivityId step, Instant ready, const Options& options) {
    Options thorough = options;
    thorough.nodes = options.thorough;
    const auto late = least_late(plan, expansion, journal, ready_at(situation, step, ready), kNever, thorough);
    return {late.begin(), late.end()};
}

std::vector<Minutes> sooner_if(const Plan& plan, const Expansion& expansion, const journal::Journal& journal,
                               const Situation& situation, ActivityId step, Instant ready,
                               const std::vector<Time>& late) {
    Options quick;
    quick.nodes = kNodesForWay;
    auto after = least_late(plan, expansion, journal, ready_at(situation, step, ready), most_late(late), quick);
    if (minutes(after) >= minutes(late)) after.clear();
    return {after.begin(), after.end()};
}

bool has_timetable(const Plan& plan, const Expansion& expansion, const journal::Journal& journal,
                   const Situation& situation, const Options& options) {
    const auto found = published_schedule(plan, expansion, journal);
    const Desk desk(plan, expansion, journal, found ? &*found : nullptr, nullptr, nullptr, options);
    const auto attempt = [&](const Situation& day) { return desk.attempt(day); };
    return attempt(situation) || what_is_needed(plan, situation, attempt, attempt);
}

namespace {

/// Announced to have started, and no entry says so.
std::vector<ActivityId> overdue(const Situation& situation) {
    std::vector<ActivityId> found;
    for (ActivityId id = 0; id < static_cast<ActivityId>(situation.steps.size()); ++id) {
        const StepState& step = situation.steps[id];
        if (step.state == State::waiting && step.announced && *step.announced < situation.now) found.push_back(id);
    }
    return found;
}

/// Ovens, washing up, and whose day is longer.
void tell_changes(const Expansion& expansion, const journal::Published* published, const Schedule* announced,
                  const Situation& situation, Replanned& result) {
    if (published == nullptr || !result.timetable) return;
    result.turns = changed_turns(situation.today, situation.now, *published, *result.timetable);
    result.washing = changed_washing(situation, expansion, *published, *result.timetable);
    if (announced != nullptr) result.longer = longer_days(situation, expansion, *announced, *result.timetable);
}

/// Minutes late, minutes past limits, and food over night.
std::array<std::int64_t, 3> harm_of(const Replanned& result) {
    std::array<std::int64_t, 3> harm{};
    for (const Pickup& pickup : result.pickups) harm[0] += std::max<std::int64_t>(0, (pickup.done - pickup.at).count());
    for (const Broken& one : result.broken) harm[1] += one.over.count();
    harm[2] = static_cast<std::int64_t>(result.over_night.size());
    return harm;
}

constexpr int kCuts = 3;

/// The hours that a day needs were found in a hurry: what the day that is shown does without is not asked for.
void ask_for_hours_used(const Desk& desk, const Situation& situation, Possible& possible, Replanned& result) {
    for (int cut = 0; cut < kCuts; ++cut) {
        Trial trial{*result.expansion, {}, *result.outcome.schedule, {}};
        for (const StepState& step : possible.situation.steps) trial.happened.push_back(step.state != State::waiting);
        auto less = with_hours_used(situation, possible, trial);
        if (!less) return;
        Replanned other;
        other.overdue = result.overdue;
        if (!desk.answer(less->situation, other) || harm_of(other) > harm_of(result)) return;
        possible = std::move(*less);
        result = std::move(other);
    }
}

Replanned from_last_announcement(const Plan& plan, const Expansion& expansion, const journal::Journal& journal,
                                 const Situation& situation, const Options& options) {
    Replanned result;
    result.overdue = overdue(situation);
    const auto found = published_schedule(plan, expansion, journal);
    const Schedule* announced = found ? &*found : nullptr;
    const auto tell = [&](Replanned& one) { tell_changes(expansion, journal.published(), announced, situation, one); };
    const Desk desk(plan, expansion, journal, announced, last_in_time(journal, situation.today, expansion),
                    published_before_void_news(journal), options);
    Replanned before = result;
    const bool answered = desk.answer(situation, result);
    tell(result);
    const auto stands = [&](const Interruption& one) { return stands_still(situation, one); };
    if (answered && std::ranges::none_of(situation.interruptions, stands)) return result;
    auto possible = what_is_needed(
        plan, situation, [&](const Situation& day) { return desk.attempt(day); },
        [&](const Situation& day) { return desk.thorough_attempt(day); });
    if (!possible || !desk.answer(possible->situation, before)) return result;
    ask_for_hours_used(desk, situation, *possible, before);
    tell(before);
    before.way = Replanned::Way::conditional;
    before.needs = possible->needs;
    before.later = possible->later;
    before.standstill = std::move(result.standstill);
    return before;
}

/// Nobody has acted on what was announced in this very minute, and of two notes of one minute it does not matter which
/// was first. Empty where nothing was announced in it, or something was begun or done in it.
std::optional<journal::Journal> until_this_minute(const journal::Journal& journal, Instant now) {
    const auto is_announcement = [](const journal::Entry& entry) {
        return std::holds_alternative<journal::Published>(entry.event);
    };
    const auto of_this_minute = [&](const journal::Entry& entry) { return entry.recorded >= now; };
    const auto first = std::ranges::find_if(
        journal.entries, [&](const auto& entry) { return of_this_minute(entry) && is_announcement(entry); });
    if (first == journal.entries.end() || std::none_of(journal.entries.begin(), first, is_announcement))
        return std::nullopt;
    for (auto entry = first; entry != journal.entries.end(); ++entry)
        if (std::holds_alternative<journal::Started>(entry->event) ||
            std::holds_alternative<journal::Finished>(entry->event))
            return std::nullopt;
    journal::Journal before = journal;
    std::erase_if(before.entries,
                  [&](const journal::Entry& entry) { return of_this_minute(entry) && is_announcement(entry); });
    return before;
}

/// What was found from something announced before, told from what was `announced` last.
void retell(const Expansion& expansion, const journal::Published* published, const Schedule* announced,
            const Situation& situation, Replanned& result) {
    result.overdue = overdue(situation);
    if (!result.timetable) return;
    result.changes = changed(situation, announced, result);
    for (Pickup& pickup : result.pickups) {
        pickup.told = situation.told_pickups[static_cast<std::size_t>(pickup.order)];
        pickup.before = told_done(situation, *result.expansion, pickup.order);
    }
    tell_changes(expansion, published, announced, situation, result);
    if (result.way == Replanned::Way::conditional) return;
    if (result.changes.empty())
        result.way = Replanned::Way::unchanged;
    else if (result.way == Replanned::Way::unchanged)
        result.way = Replanned::Way::returned;
}

}  // namespace

Situation as_announced(Situation situation, const Plan& plan, const Expansion& expansion,
                       const journal::Journal& journal, const journal::Published& published) {
    situation.told_pickups = told_pickups(plan, journal, &published);
    std::map<std::string_view, const journal::PublishedStep*> rows;
    for (const journal::PublishedStep& row : published.steps) rows[row.id] = &row;
    for (std::size_t id = 0; id < situation.steps.size(); ++id) {
        const auto row = rows.find(expansion.project.activities[id].name);
        StepState& step = situation.steps[id];
        step.announced = row == rows.end() ? std::nullopt : std::optional(row->second->start);
        step.told_ready = row == rows.end() ? std::nullopt : std::optional(row->second->ready);
    }
    return situation;
}

Replanned replan(const Plan& plan, const Expansion& expansion, const journal::Journal& journal,
                 const Situation& situation, const Options& options) {
    const auto before = until_this_minute(journal, situation.now);
    if (!before) return from_last_announcement(plan, expansion, journal, situation, options);
    const Situation then = as_announced(situation, plan, expansion, *before, *before->published());
    Replanned result = from_last_announcement(plan, expansion, *before, then, options);
    const auto announced = published_schedule(plan, expansion, journal);
    retell(expansion, journal.published(), announced ? &*announced : nullptr, situation, result);
    return result;
}

}  // namespace oventide::replan
