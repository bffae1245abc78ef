#include "report/shared.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <map>
#include <numeric>

#include "oventide/safety.hpp"
#include "report/jobs.hpp"

namespace oventide::report {
namespace {

bool any_step(const Plan& plan, bool (*holds)(const Step&)) {
    return std::any_of(plan.components.begin(), plan.components.end(), [&](const Component& component) {
        return std::any_of(component.steps.begin(), component.steps.end(), holds);
    });
}

/// What a piece of the orders waits on average, rounded up: no waiting is not said of food that waits.
Minutes each(std::int64_t piece_minutes, std::int64_t pieces) {
    return Minutes{pieces > 0 ? (piece_minutes + pieces - 1) / pieces : piece_minutes};
}

std::string goal_text(const GoalLine& goal, std::int64_t pieces, const Days& days) {
    const auto instant = [](std::int64_t minutes) { return Instant{Minutes{minutes}}; };
    switch (goal.aim) {
        case Aim::freshness:
            return fmt::format("freshness: {} beyond 'best within' in all; no timetable can have less than {}",
                               duration_text(Minutes{goal.value}), duration_text(Minutes{goal.best}));
        case Aim::alarm:
            return fmt::format("alarm clock {}; no timetable can have it later than {}", days.time(instant(goal.value)),
                               days.time_from(instant(goal.best), instant(goal.value)));
        case Aim::waiting:
            return fmt::format(
                "from step to step and until its pickup, food waits {} for each piece ordered, on average; no "
                "timetable "
                "can have less than {}",
                duration_text(each(goal.value, pieces)), duration_text(each(goal.best, pieces)));
    }
    return "";
}

const char* aim_name(Aim aim) {
    switch (aim) {
        case Aim::freshness:
            return "freshness";
        case Aim::alarm:
            return "alarm clock";
        case Aim::waiting:
            return "waiting";
    }
    return "";
}

/// Whoever it falls to is at work then.
bool in_a_shift(const Timetable& timetable, const Job& job) {
    return std::any_of(timetable.shifts.begin(), timetable.shifts.end(), [&](const Shift& shift) {
        return shift.person == job.person && shift.span.from <= job.span.from && job.span.to <= shift.span.to;
    });
}

/// Who was the last to go; null: nobody has come yet.
const Shift* last_shift(const Timetable& timetable, Instant at) {
    const Shift* last = nullptr;
    for (const Shift& shift : timetable.shifts)
        if (shift.span.to <= at && (last == nullptr || shift.span.to > last->span.to)) last = &shift;
    return last;
}

std::string last_there(const Subject& subject, const Words& words, const Days& days, Instant at) {
    const Shift* const last = last_shift(*subject.timetable, at);
    if (last == nullptr) return "";
    return fmt::format(" ({} is done at {})", words.person(last->person), days.time_from(last->span.to, at));
}

/// Whose it is though they are not at work, else whoever was last to go.
std::vector<PersonIndex> whom(const Job& job, const Shift* last) {
    if (job.person) return {*job.person};
    return last == nullptr ? std::vector<PersonIndex>{} : std::vector{last->person};
}

/// For everybody, for whoever is there may still make up for some of it.
void add_broken(const Subject& subject, const Words& words, std::vector<Caution>& cautions) {
    std::vector<PersonIndex> everybody(subject.plan.kitchen.crew.size());
    std::iota(everybody.begin(), everybody.end(), PersonIndex{0});
    for (const replan::Broken& broken : subject.broken)
        cautions.push_back({"Limit that is not kept: " + broken_text(broken, words) + ".", false, everybody});
}

/// Of each step the one that is put off most: nothing in the plan says that it begins by itself.
void add_put_off(const Subject& subject, const Words& words, const Days& days, std::vector<Caution>& cautions) {
    const auto row_of = [&](const PutOff& one) -> const Row& {
        return subject.timetable->rows[static_cast<std::size_t>(one.row)];
    };
    const auto by = [&](const PutOff& one) { return row_of(one).start - one.possible; };
    std::vector<PutOff> worst;
    for (const PutOff& one : put_off(subject.plan, subject.expansion, *subject.timetable)) {
        const Row& row = row_of(one);
        const auto state = state_of(subject, row);
        if (state && *state != replan::State::waiting) continue;
        const auto known = std::find_if(worst.begin(), worst.end(), [&](const PutOff& other) {
            return row_of(other).component == row.component && row_of(other).step == row.step;
        });
        if (known == worst.end())
            worst.push_back(one);
        else if (by(one) > by(*known))
            *known = one;
    }
    for (const PutOff& one : worst) {
        const Row& row = row_of(one);
        cautions.push_back(
            {fmt::format("Put off: {} begins {}, {} after what it needs is ready, for nothing in the plan says that it "
                         "begins by itself. If it does, give the step at_once = true.",
                         words.task(row.component, row.step, row.batch, row.load), days.day_time(row.start),
                         duration_text(by(one)))});
    }
}

constexpr std::size_t kManyBatches = 3;

/// A mixer's bowl says how much of it goes together.
bool bowl_limits(const Plan& plan, const Component& component) {
    return component.bowl_weight && std::any_of(component.steps.begin(), component.steps.end(), [&](const Step& step) {
               return std::any_of(step.uses.begin(), step.uses.end(), [&](const Use& use) {
                   return std::any_of(use.choices.begin(), use.choices.end(), [&](EquipmentIndex choice) {
                       return plan.kitchen.equipment[choice].bowl.has_value();
                   });
               });
           });
}

/// One formula each, though nothing but the plan's silence keeps them apart.
void add_many_batches(const Subject& subject, const Words& words, std::vector<Caution>& cautions) {
    for (std::size_t index = 0; index < subject.plan.components.size(); ++index) {
        const Component& component = subject.plan.components[index];
        const auto one_formula = [&](const Batch& batch) {
            return batch.component == static_cast<ComponentIndex>(index) &&
                   batch.share.to - batch.share.from == component.makes.count;
        };
        const auto& batches = subject.expansion.batches;
        const auto count = static_cast<std::size_t>(std::count_if(batches.begin(), batches.end(), one_formula));
        const bool by_mass = component.makes.unit == Amount::Unit::milligrams;
        if (!by_mass || count < kManyBatches || component.most || bowl_limits(subject.plan, component)) continue;
        cautions.push_back(
            {fmt::format("Batches: {} is made {} times over, a formula at a time, for the plan does not "
                         "say that more goes together. `most` of the component says how much does.",
                         words.component(static_cast<ComponentIndex>(index)), count)});
    }
}

constexpr std::int64_t kSmall = 4;  ///< a batch or load is small that is at most this part of the largest

/// The least batches, and the loads of batches that are not small themselves.
void add_small_batches(const Subject& subject, const Words& words, std::vector<Caution>& cautions) {
    const auto size = [](const Batch& batch) { return batch.share.to - batch.share.from; };
    std::vector<std::int64_t> largest(subject.plan.components.size(), 0);
    for (const Batch& batch : subject.expansion.batches)
        largest[batch.component] = std::max(largest[batch.component], size(batch));
    const auto note = [&](const std::string& what, ComponentIndex component, std::int64_t amount, std::int64_t most,
                          const char* advice) {
        cautions.push_back(
            {fmt::format("Small: {} holds {}, the largest {}. {} less and it falls away; {} more would go in.{}", what,
                         words.amount(component, amount), words.amount(component, most),
                         words.amount(component, amount), words.amount(component, most - amount), advice)});
    };
    for (const Batch& batch : subject.expansion.batches)
        if (size(batch) * kSmall <= largest[batch.component])
            note(fmt::format("{}, batch {}", words.component(batch.component), batch.number), batch.component,
                 size(batch), largest[batch.component],
                 subject.plan.components[batch.component].even ? "" : " `even = true` makes the batches alike.");
    std::map<std::pair<ComponentIndex, StepIndex>, std::int64_t> fullest;
    for (const Row& row : subject.timetable->rows)
        if (row.load > 0) {
            std::int64_t& most = fullest[{row.component, row.step}];
            most = std::max(most, row.amount);
        }
    for (const Row& row : subject.timetable->rows) {
        const bool bakes = subject.plan.components[row.component].steps[row.step].bake.has_value();
        if (!bakes || row.load < 2) continue;
        const std::int64_t most = fullest[{row.component, row.step}];
        if (row.amount * kSmall <= most)
            note(words.task(row.component, row.step, row.batch, row.load), row.component, row.amount, most, "");
    }
}

/// Who has hands in such rows, each once.
template <class Holds>
std::vector<PersonIndex> whose_hands(const Timetable& timetable, Holds holds) {
    std::vector<PersonIndex> people;
    for (const Job& job : timetable.jobs)
        if (job.person && job.row >= 0 && holds(timetable.rows[static_cast<std::size_t>(job.row)]))
            people.push_back(*job.person);
    std::sort(people.begin(), people.end());
    people.erase(std::unique(people.begin(), people.end()), people.end());
    return people;
}

}  // namespace

std::vector<Caution> unattended(const Subject& subject, const Words& words, const Days& days, Instant from) {
    std::vector<Caution> cautions;
    for (const Job& job : subject.timetable->jobs) {
        if (job.span.from < from || in_a_shift(*subject.timetable, job)) continue;
        if (job.kind == Job::Kind::timer) {
            cautions.push_back(
                {fmt::format("Timer: {}. Nobody is at work between what it did before and then: somebody "
                             "sets it, and it is left to itself.",
                             job_text(job, subject, words, days)),
                 false, job.person ? std::vector{*job.person} : std::vector<PersonIndex>{}});
            continue;
        }
        const Shift* const last = last_shift(*subject.timetable, job.span.from);
        cautions.push_back({fmt::format("Nobody at work: {} {}{}. The plan asks for no hands there: somebody stays or "
                                        "comes for it, or the step is given hands.",
                                        days.day_time(job.span.from), job_text(job, subject, words, days),
                                        last_there(subject, words, days, job.span.from)),
                            false, whom(job, last)});
    }
    return cautions;
}

std::string broken_text(const replan::Broken& broken, const Words& words) {
    return fmt::format("{}: {} over (at {})", words.name(broken.promise), duration_text(broken.over),
                       words.name(words.task(broken.step)));
}

std::string past_best_text(const PastBest& food, const Subject& subject, const Words& words, const Days& days) {
    const Minutes best = *subject.plan.components[food.component].best_within;
    const Minutes age = food.used - food.ready;
    const std::string where =
        food.order ? "collected by " + words.name(subject.plan.orders[*food.order].name)
                   : "used for " + words.task(subject.timetable->rows[static_cast<std::size_t>(food.row)].component,
                                              subject.timetable->rows[static_cast<std::size_t>(food.row)].step,
                                              subject.timetable->rows[static_cast<std::size_t>(food.row)].batch,
                                              subject.timetable->rows[static_cast<std::size_t>(food.row)].load);
    const std::string batch = words.has_batches(food.component) ? fmt::format(", batch {}", food.batch) : std::string();
    return fmt::format("Past its best: {} {}{}, {} {}, {} after it is ready: {} more than its {}.",
                       words.amount(food.component, food.amount), words.component(food.component), batch, where,
                       days.day_time(food.used), duration_text(age), duration_text(age - best), duration_text(best));
}

Span span_of(const Subject& subject) {
    Span span{subject.plan.from, subject.plan.from};
    for (const Order& order : subject.plan.orders) span.to = std::max(span.to, order.pickup);
    if (subject.timetable == nullptr || subject.timetable->rows.empty()) return span;
    span.from = span.to;
    for (const Row& row : subject.timetable->rows) {
        span.from = std::min(span.from, row.start);
        span.to = std::max(span.to, row.end);
    }
    for (const OvenEvent& event : subject.timetable->oven) span.from = std::min(span.from, event.at);
    return span;
}

std::string distance_to_best(const Subject& subject, const Words&, const Days& days) {
    const auto& goals = subject.timetable->goals;
    const auto open = std::find_if(goals.begin(), goals.end(), [](const GoalLine& goal) { return !goal.proven; });
    if (subject.timetable->optimal || open == goals.end()) return "This timetable cannot be bettered.";
    std::string text = goal_text(*open, subject.timetable->pieces, days) + ".";
    text.front() = static_cast<char>(std::toupper(static_cast<unsigned char>(text.front())));
    std::vector<std::string> proven;
    for (auto goal = goals.begin(); goal != open; ++goal) proven.emplace_back(aim_name(goal->aim));
    if (!proven.empty()) text += " Cannot be bettered: " + joined(proven) + ".";
    return text;
}

namespace {

/// Pre: something has happened.
bool chills_now(const Subject& subject) {
    for (const Row& row : subject.timetable->rows) {
        const Step& step = subject.plan.components[row.component].steps[row.step];
        if (!step.cools && !step.chill) continue;
        const auto& all = subject.expansion.project.activities;
        const auto id = std::ranges::find(all, row.id, &Activity::name) - all.begin();
        if (subject.day->steps[static_cast<std::size_t>(id)].state == replan::State::running) return true;
    }
    return false;
}

}  // namespace

std::string as_of_text(const Subject& subject, const Days& days) {
    if (subject.day == nullptr) return "";
    return "As it stands " + days.day_time(subject.day->now) + ": what has happened, and the rest as replanned." +
           (chills_now(subject) ? " Chills that have begun: see 'oventide replan'." : "") +
           (subject.open == nullptr ? "" : " What waits for what is broken until nobody knows when has no time here.");
}

std::vector<std::string> waiting_texts(const Subject& subject, const Words& words, const Days& days) {
    std::vector<std::string> texts;
    if (subject.open == nullptr) return texts;
    for (std::size_t k = 0; k < subject.day->open_since.size(); ++k) {
        const auto equipment = static_cast<EquipmentIndex>(k);
        std::vector<std::string> steps;
        for (const replan::Waiting& one : subject.open->steps)
            if (one.equipment == equipment)
                steps.push_back(fmt::format("{} [{}]{}", words.name(words.task(one.step)),
                                            words.name(subject.expansion.project.activities[one.step].name),
                                            one.in_there ? ", which is in there" : ""));
        if (steps.empty()) continue;
        texts.push_back(
            fmt::format("Waits for the {}, broken since {}, nobody knows until when: {}. Once you know: "
                        "'broken {} until TIME' or 'mended {}'.",
                        words.equipment(equipment), days.day_time(*subject.day->open_since[k]), joined(steps, "; "),
                        words.equipment(equipment), words.equipment(equipment)));
    }
    return texts;
}

std::string unready_text(const Subject& subject, const Words& words, std::int32_t order) {
    if (subject.open == nullptr) return "";
    const auto equipment = subject.open->orders[order];
    return equipment ? "waits for the " + words.equipment(*equipment) : "";
}

void add_as_of(const Subject& subject, const Days& days, Page& page) {
    if (subject.day == nullptr) return;
    page.blank();
    page.prominent(as_of_text(subject, days));
}

std::optional<replan::State> state_of(const Subject& subject, const Row& row) {
    if (subject.day == nullptr) return std::nullopt;
    const auto& all = subject.expansion.project.activities;
    const auto step = std::find_if(all.begin(), all.end(), [&](const Activity& one) { return one.name == row.id; });
    if (step == all.end()) return std::nullopt;
    return subject.day->steps[static_cast<std::size_t>(step - all.begin())].state;
}

std::vector<Caution> cautions(const Subject& subject, const Words& words, const Days& days, const char* allergens) {
    const bool cooked = any_step(subject.plan, [](const Step& step) { return step.cooked; });
    const bool baked = any_step(subject.plan, [](const Step& step) { return step.bake.has_value(); });
    const auto step_of = [&](const Row& row) -> const Step& {
        return subject.plan.components[row.component].steps[row.step];
    };
    const auto cooks = whose_hands(*subject.timetable, [&](const Row& row) { return step_of(row).cooked; });
    const auto bakers = whose_hands(*subject.timetable, [&](const Row& row) { return step_of(row).bake.has_value(); });
    std::vector<Caution> said;
    add_broken(subject, words, said);
    for (Caution& one : unattended(subject, words, days, Instant::min())) said.push_back(std::move(one));
    for (const PastBest& food : subject.timetable->past_best)
        said.push_back({past_best_text(food, subject, words, days)});
    add_put_off(subject, words, days, said);
    add_small_batches(subject, words, said);
    add_many_batches(subject, words, said);
    if (const auto rule = find_safety_rule(subject.plan.safety.rule))
        said.push_back({fmt::format("Food: {} [{}] Rule '{}', {}.", words.name(rule->text), words.name(rule->source),
                                    words.name(rule->key),
                                    cooked ? "applied to the steps marked as cooked"
                                           : "with nothing to apply to: no step is marked as cooked"),
                        false, cooks});
    else
        said.push_back({"Food: no food-safety rule was applied, as the plan asks."});
    said.push_back({"Local rules and a trained person decide what may be served; this page does not.", true});
    add_chills(subject, words, said);
    if (baked) said.push_back({"Burns: ovens and trays are hot when loads change.", false, bakers});
    said.push_back({subject.plan.ingredients.empty()
                        ? "Allergens: the plan does not say what is in the food; tell who collects it."
                        : fmt::format("Allergens: {} what the plan declares, and what is not stated.", allergens)});
    return said;
}

void add_cautions(const Subject& subject, const Words& words, const Days& days, Page& page) {
    page.heading("Mind");
    for (const Caution& caution : cautions(subject, words, days))
        page.paragraph(caution.text, caution.goes_on ? 4 : 2, caution.goes_on ? 0 : 2);
}

std::vector<OvenTurn> oven_turns(const Timetable& timetable) {
    std::vector<OvenTurn> turns;
    for (std::size_t i = 0; i < timetable.oven.size(); ++i)
        if (timetable.oven[i].kind != OvenEvent::Kind::hot)
            turns.push_back({timetable.oven[i], hot_after(timetable, i)});
    return turns;
}

std::string oven_turn_text(std::int32_t index, const Subject& subject, const Days& days) {
    const Instant at = subject.timetable->oven[static_cast<std::size_t>(index)].at;
    return turning(subject.plan, *subject.timetable, index, [&](Instant then) { return days.time_from(then, at); });
}

std::string timer_text(const Job& job, const Subject& subject, const Days& days) {
    const OvenEvent& event = subject.timetable->oven[static_cast<std::size_t>(job.event)];
    return fmt::format("set its timer to come on at {} for {}", days.time_from(event.at, job.span.from),
                       event.temperature ? heat_text(subject.plan, *event.temperature) : "");
}

void add_alarm(const Subject& subject, const Words& words, const Days& days, Page& page) {
    const Timetable& timetable = *subject.timetable;
    page.blank();
    if (!timetable.alarm) return page.prominent("ALARM CLOCK: none, nobody's hands are needed");
    std::vector<std::string> alarms{days.day_time(*timetable.alarm)};
    Instant until = *timetable.alarm;
    Table table({{"", Align::left, 20}, {"", Align::left, 12}, {"", Align::left, 12}, {"", Align::left, 0}});
    for (const Shift& shift : timetable.shifts) {
        if (shift.span.from - until >= kNightsRest) alarms.push_back(days.day_time(shift.span.from));
        until = std::max(until, shift.span.to);
        table.row({days.day_time(shift.span.from), "to " + days.time_from(shift.span.to, shift.span.from),
                   words.person(shift.person),
                   job_text(timetable.jobs[static_cast<std::size_t>(shift.first)], subject, words, days)});
    }
    page.prominent("ALARM CLOCK: " + joined(alarms));
    page.table(table, 2);
}

std::string servings_text(const PickupLine& pickup, const Subject& subject, const Words& words) {
    const auto& items = subject.plan.orders[pickup.order].items;
    std::vector<std::string> parts;
    for (std::size_t item = 0; item < items.size(); ++item) {
        const ComponentIndex component = items[item].component;
        std::string part = words.amount(component, items[item].pieces) + " " + words.component(component);
        std::vector<PickupLine::Serving> servings;
        for (const PickupLine::Serving& serving : pickup.servings)
            if (serving.item == static_cast<std::int32_t>(item)) servings.push_back(serving);
        if (words.has_batches(component)) {
            std::vector<std::string> batches;
            for (const PickupLine::Serving& serving : servings)
                batches.push_back(fmt::format("batch {}", serving.batch) +
                                  (servings.size() > 1 ? ": " + words.amount(component, serving.amount) : ""));
            part += " (from " + joined(batches) + ")";
        }
        parts.push_back(std::move(part));
    }
    return joined(parts);
}

void add_pickups(const Subject& subject, const Words& words, const Days& days, Page& page) {
    page.heading("Pickups");
    for (const PickupLine& pickup : subject.timetable->pickups) {
        const Order& order = subject.plan.orders[pickup.order];
        const Minutes spare = pickup.pickup - pickup.done;
        if (const std::string waits = unready_text(subject, words, pickup.order); !waits.empty()) {
            page.paragraph(fmt::format("{} {}: {}", days.day_time(pickup.pickup), words.name(order.name), waits), 2, 4);
            page.paragraph(servings_text(pickup, subject, words), 6);
            continue;
        }
        page.paragraph(fmt::format("{} {}: ready {}, {}", days.day_time(pickup.pickup), words.name(order.name),
                                   days.time_from(pickup.done, pickup.pickup),
                                   spare < Minutes{0}      ? "LATE " + duration_text(-spare)
                                   : spare == order.margin ? "margin " + duration_text(order.margin)
                                                           : fmt::format("{} before (margin {})", duration_text(spare),
                                                                         duration_text(order.margin))),
                       2, 4);
        page.paragraph(servings_text(pickup, subject, words), 6);
    }
    for (const std::string& text : waiting_texts(subject, words, days)) page.paragraph(text, 2, 4);
}

std::string equipment_text(const Row& row, Span during, const Words& words, const Days& days, bool until) {
    std::vector<std::string> parts;
    for (const EquipmentUse& use : row.equipment) {
        if (use.span.from >= during.to || use.span.to <= during.from) continue;
        std::string text = words.equipment(use.equipment);
        if (use.amount > 1) text += fmt::format(" x{}", use.amount);
        const bool washed = std::any_of(row.hands.begin(), row.hands.end(), [&](const HandsUse& hands) {
            return hands.washing && hands.span.to == use.span.to;
        });
        if (until && use.span.to > during.to && !washed) text += " to " + days.time_from(use.span.to, row.start);
        parts.push_back(std::move(text));
    }
    return joined(parts);
}

std::string joined(const std::vector<std::string>& parts, const char* between) {
    std::vector<std::string> seen;
    std::string text;
    for (const std::string& part : parts) {
        if (part.empty() || std::find(seen.begin(), seen.end(), part) != seen.end()) continue;
        if (!text.empty()) text += between;
        text += part;
        seen.push_back(part);
    }
    return text;
}

}  // namespace oventide::report
