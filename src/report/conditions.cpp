#include "report/conditions.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace oventide::report {
namespace {

using Kind = ways::Condition::Kind;

}  // namespace

std::string ConditionWords::in_brackets(const Place& place) const {
    const std::string text = words_.place(place);
    return text.empty() ? "" : " (" + text + ")";
}

std::string ConditionWords::span(const Span& span) const {
    return days_.day_time(span.from) + " to " + days_.time_from(span.to, span.from);
}

/// Those that have to do with the plan.
std::string ConditionWords::spans(const std::vector<Span>& spans) const {
    constexpr std::size_t kMost = 4;
    const Span plan = span_of(subject_);
    std::vector<std::string> texts;
    for (const Span& one : spans)
        if (one.to > plan.from && one.from < plan.to) texts.push_back(span(one));
    if (texts.size() > kMost) {
        texts.resize(kMost);
        texts.emplace_back("and more");
    }
    return joined(texts);
}

std::string ConditionWords::only(const std::optional<Span>& window) const {
    return window ? ", if only " + span(*window) : "";
}

/// ": tart case: bake goes in several loads": what does not go into the oven at once.
std::string ConditionWords::in_loads(EquipmentIndex oven) const {
    constexpr std::size_t kMost = 3;
    std::vector<std::string> bakes;
    for (const Task& task : subject_.expansion.tasks) {
        const ComponentIndex component = subject_.expansion.batches[task.batch].component;
        const auto& bake = subject_.plan.components[component].steps[task.step].bake;
        if (!bake || task.load != 2) continue;
        if (std::find(bake->ovens.begin(), bake->ovens.end(), oven) == bake->ovens.end()) continue;
        bakes.push_back(words_.step(component, task.step));
    }
    std::sort(bakes.begin(), bakes.end());
    bakes.erase(std::unique(bakes.begin(), bakes.end()), bakes.end());
    if (bakes.empty()) return "";
    const bool one = bakes.size() == 1;
    if (bakes.size() > kMost) {
        bakes.resize(kMost);
        bakes.emplace_back("and more");
    }
    return fmt::format(": {} {} in several loads", joined(bakes), one ? "goes" : "go");
}

std::string ConditionWords::amount(EquipmentIndex index) const {
    const Equipment& equipment = subject_.plan.kitchen.equipment[index];
    const std::string name = words_.equipment(index);
    const auto counted = [&](const char* what) {
        return fmt::format("{} has {} {}{}", name, equipment.capacity, what, equipment.capacity == 1 ? "" : "s");
    };
    switch (equipment.kind) {
        case EquipmentKind::oven:
            return counted("tray") + in_loads(index);
        case EquipmentKind::hob:
            return counted("ring");
        case EquipmentKind::fridge:
            return counted("shelf") == name + " has 1 shelf"
                       ? name + " has 1 shelf"
                       : fmt::format("{} has {} shelves", name, equipment.capacity);
        case EquipmentKind::mixer:
        case EquipmentKind::other:
            return fmt::format("of {} there {} {}", name, equipment.capacity == 1 ? "is" : "are", equipment.capacity);
    }
    return "";
}

std::string ConditionWords::one_more(EquipmentIndex index) const {
    const std::string name = words_.equipment(index);
    switch (subject_.plan.kitchen.equipment[index].kind) {
        case EquipmentKind::oven:
            return "one more tray in " + name;
        case EquipmentKind::hob:
            return "one more ring, as on " + name;
        case EquipmentKind::fridge:
            return "one more shelf, as in " + name;
        case EquipmentKind::mixer:
        case EquipmentKind::other:
            return "one more " + name;
    }
    return "";
}

std::string ConditionWords::text(const ways::Condition& condition) const {
    const Plan& plan = subject_.plan;
    const auto said = [&](std::string what) { return what + in_brackets(condition.place); };
    switch (condition.kind) {
        case Kind::pickup: {
            const Order& order = plan.orders[subject_.expansion.promises[condition.promise].order];
            return said(fmt::format("{} is collected {}, and done {} before", words_.name(order.name),
                                    days_.day_time(order.pickup), duration_text(order.margin)));
        }
        case Kind::within:
        case Kind::keeps:
        case Kind::safety:
        case Kind::rest:
            return said(words_.name(subject_.expansion.promises[condition.promise].text));
        case Kind::door: {
            const Step& step = plan.components[condition.component].steps[condition.step];
            return said(fmt::format("{} has the oven's door shut for {}",
                                    words_.step(condition.component, condition.step),
                                    duration_text(step.bake->door_shut)));
        }
        case Kind::wash: {
            const Step& step = plan.components[condition.component].steps[condition.step];
            return said(fmt::format("{} is washed up the minute it ends, {} (`wash`){}",
                                    words_.step(condition.component, condition.step), duration_text(step.wash->takes),
                                    step.keeps ? "; as it keeps, that is when it is used" : ""));
        }
        case Kind::last:
            return said(fmt::format("{} keeps, and wants hands in its last minutes, just before it is used",
                                    words_.step(condition.component, condition.step)));
        case Kind::closed:
            return said(fmt::format("{} is closed {}", words_.equipment(condition.equipment),
                                    spans(plan.kitchen.equipment[condition.equipment].closed)));
        case Kind::heat: {
            std::vector<std::string> ovens;
            for (std::size_t i = 0; i < plan.kitchen.equipment.size(); ++i)
                if (plan.kitchen.equipment[i].kind == EquipmentKind::oven)
                    ovens.push_back(words_.equipment(static_cast<EquipmentIndex>(i)));
            return said(fmt::format("{}: one heat at a time, and heating and cooling take time", joined(ovens)));
        }
        case Kind::amount:
            return said(amount(condition.equipment));
        case Kind::hours: {
            const std::string hours = spans(plan.kitchen.crew[condition.person].hours);
            return said(fmt::format("{} is {}", words_.person(condition.person),
                                    hours.empty() ? "not there at all" : "there " + hours));
        }
        case Kind::hands:
            return said(words_.person(condition.person) + " does one thing at a time");
        case Kind::from:
            return fmt::format(
                "nothing starts before {}{}", days_.day_time(plan.from),
                plan.from_place.file < 0 ? ", since the plan does not say `from`" : in_brackets(plan.from_place));
    }
    return "";
}

std::string ConditionWords::text(const ways::Change& change) const {
    struct Text {
        const ConditionWords& of;
        const Plan& plan;
        const Words& words;
        const Days& days;

        std::string operator()(const ways::LongerHours& c) const {
            const Span& hours = plan.kitchen.crew[c.person].hours[c.stretch];
            if (c.earlier > Minutes{0})
                return fmt::format("{} begins {}, {} earlier", words.person(c.person),
                                   days.day_time(hours.from - c.earlier), duration_text(c.earlier));
            return fmt::format("{} stays until {}, {} longer", words.person(c.person),
                               days.day_time(hours.to + c.longer), duration_text(c.longer));
        }
        std::string operator()(const ways::ExtraHours& c) const {
            return fmt::format("{} also comes {}", words.person(c.person), c.only ? of.span(*c.only) : "when wanted");
        }
        std::string operator()(const ways::EarlierBeginning& c) const {
            return fmt::format("the plan begins {}, {} earlier (`from`)", days.day_time(plan.from - c.earlier),
                               duration_text(c.earlier));
        }
        std::string operator()(const ways::LaterPickup& c) const {
            const Order& order = plan.orders[c.order];
            return fmt::format("{} is collected {}, {} later", words.name(order.name),
                               days.day_time(order.pickup + c.later), duration_text(c.later));
        }
        std::string operator()(const ways::ShorterClosing& c) const {
            const Span& closing = plan.kitchen.equipment[c.equipment].closed[c.closing];
            if (c.begins_later >= closing.to - closing.from || c.ends_earlier >= closing.to - closing.from)
                return fmt::format("{} is not closed {}", words.equipment(c.equipment), of.span(closing));
            if (c.begins_later > Minutes{0})
                return fmt::format("{} closes {}, {} later", words.equipment(c.equipment),
                                   days.day_time(closing.from + c.begins_later), duration_text(c.begins_later));
            return fmt::format("{} opens again {}, {} earlier", words.equipment(c.equipment),
                               days.day_time(closing.to - c.ends_earlier), duration_text(c.ends_earlier));
        }
        std::string operator()(const ways::AnotherPerson& c) const { return "another pair of hands" + of.only(c.only); }
        std::string operator()(const ways::OneMore& c) const { return of.one_more(c.equipment) + of.only(c.only); }
        std::string operator()(const ways::AnotherOven& c) const {
            return "another oven like " + words.equipment(c.like) + of.only(c.only);
        }
        std::string operator()(const ways::EasierPromise& c) const {
            const std::string promise = words.name(c.promise.text) + of.in_brackets(c.promise.place);
            return fmt::format("{} {} than this: {}", duration_text(c.by),
                               c.promise.kind == Promise::Kind::rest ? "less" : "more", promise);
        }
        std::string operator()(const ways::ByLoad& c) const {
            return fmt::format("{} is done load by load: by = \"load\"{}", words.step(c.component, c.step),
                               of.in_brackets(plan.components[c.component].steps[c.step].place));
        }
        std::string operator()(const ways::BatchSize& c) const {
            return fmt::format("batches of {} of at most {}, if so much goes together (`most`){}",
                               words.component(c.component), words.amount_of(c.component, c.most),
                               of.in_brackets(plan.components[c.component].place));
        }
        std::string operator()(const ways::UsualTimes&) const {
            return "planned with the usual times instead of the long ones (`times`)";
        }
        std::string operator()(const ways::SmallerOrder& c) const {
            const Order& order = plan.orders[c.order];
            const Item& item = order.items[c.item];
            const std::string name = words.component(item.component);
            if (c.fewer >= item.pieces) return fmt::format("{} goes without {}", words.name(order.name), name);
            return fmt::format("{} gets {} of {}, {} less", words.name(order.name),
                               words.amount(item.component, item.pieces - c.fewer), name,
                               words.amount(item.component, c.fewer));
        }
    };
    return std::visit(Text{*this, subject_.plan, words_, days_}, change);
}

std::string ConditionWords::chain(const ways::WhyNot& why) const {
    if (why.chain.empty() ||
        std::any_of(why.chain.begin(), why.chain.end(), [](const Lag& lag) { return lag.lag < 0; }))
        return "";
    const auto& activities = subject_.expansion.project.activities;
    const auto takes = [&](ActivityId id) {
        return fmt::format("{} ({})", words_.task(id), duration_text(Minutes{activities[id].duration}));
    };
    Minutes total{0};
    std::vector<std::string> steps;
    for (const Lag& lag : why.chain) {
        total += Minutes{lag.lag};
        if (lag.from == lag.to) continue;
        steps.push_back(takes(lag.from));
        const Time wait = lag.lag - activities[lag.from].duration;
        if (wait > 0) steps.push_back("rest (" + duration_text(Minutes{wait}) + ")");
    }
    const ActivityId last = why.chain.back().to;
    total += Minutes{activities[last].duration};
    steps.push_back(takes(last));
    return fmt::format("One after the other, {} at the least: {}.", duration_text(total), joined(steps));
}

Span span_with_room(const Subject& subject) {
    constexpr std::chrono::days kDay{1};
    const Span span = span_of(subject);
    return {span.from - kDay, span.to + kDay};
}

void add_why_not(const Subject& subject, const ways::WhyNot& why, const Words& words, const Days& days, Page& page) {
    const ConditionWords say(subject, words, days);
    page.heading("These contradict each other");
    for (const ways::Condition& condition : why.conditions) page.paragraph("- " + say.text(condition), 2, 2);
    const std::string chain = say.chain(why);
    if (!chain.empty()) page.paragraph(chain, 2);
    const bool all_needed = std::find(why.needed.begin(), why.needed.end(), false) == why.needed.end();
    if (why.conditions.size() > 1)
        page.paragraph(all_needed ? "Without any one of them, the others go together."
                                  : "It was not proven that each of them has to do with it.",
                       2);
}

}  // namespace oventide::report
