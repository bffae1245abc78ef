#include "expand/promises.hpp"

#include <utility>

namespace oventide::expansion {
namespace {

constexpr std::int64_t kDay = 24 * 60;

std::string counted(std::int64_t count, const char* one, const char* many) {
    return std::to_string(count) + ' ' + (count == 1 ? one : many);
}

/// Thousandths of a unit, without zeros at the end.
std::string decimal(std::int64_t thousandths) {
    std::string text = std::to_string(thousandths / 1000);
    std::string fraction = std::to_string(1000 + thousandths % 1000).substr(1);
    while (!fraction.empty() && fraction.back() == '0') fraction.pop_back();
    return fraction.empty() ? text : text + '.' + fraction;
}

std::string after_words(Minutes rest, const std::string& what) {
    if (rest == Minutes{0}) return " comes after " + what;
    return " waits at least " + in_words(rest) + " after " + what;
}

std::string within_words(Minutes within, const std::string& what) {
    if (within == Minutes{0}) return " follows " + what + " at once";
    return " starts within " + in_words(within) + " of " + what;
}

/// Where `entry` stands among `all`, of which it is one.
template <class Entry>
std::int32_t index_in(const std::vector<Entry>& all, const Entry& entry) {
    return static_cast<std::int32_t>(&entry - all.data());
}

}  // namespace

std::string in_words(Minutes minutes) {
    const std::int64_t days = minutes.count() / kDay;
    const std::int64_t hours = minutes.count() % kDay / 60;
    const std::int64_t rest = minutes.count() % 60;
    std::string text;
    const auto append = [&](const std::string& part) { text += (text.empty() ? "" : " ") + part; };
    if (days > 0) append(counted(days, "day", "days"));
    if (hours > 0) append(counted(hours, "h", "h"));
    if (rest > 0 || text.empty()) append(counted(rest, "min", "min"));
    return text;
}

std::string in_words(Amount amount) {
    if (amount.unit == Amount::Unit::pieces) return counted(amount.count, "piece", "pieces");
    if (amount.count >= 1'000'000) return decimal(amount.count / 1000) + " kg";
    return decimal(amount.count) + " g";
}

std::string step_name(const Plan& plan, ComponentIndex component, StepIndex step) {
    return plan.components[component].name + " / " + plan.components[component].steps[step].name;
}

PromiseId PromiseBook::add(Promise promise) {
    promises_.push_back(std::move(promise));
    return static_cast<PromiseId>(promises_.size()) - 1;
}

PromiseId PromiseBook::add_after(Promise::Kind kind, std::string text, ComponentIndex component, StepIndex step,
                                 const After& after) {
    const std::int32_t entry = index_in(plan_.components[component].steps[step].after, after);
    return add({kind, std::move(text), after.place, component, step, entry});
}

PromiseId PromiseBook::add_draw(Promise::Kind kind, std::string text, ComponentIndex component, StepIndex step,
                                const Draw& draw) {
    const std::int32_t entry = index_in(plan_.components[component].steps[step].draws, draw);
    return add({kind, std::move(text), draw.place, component, step, -1, entry});
}

PromiseId PromiseBook::order(ComponentIndex component, StepIndex step, const After& after) {
    return add_after(
        after.rest == Minutes{0} ? Promise::Kind::order : Promise::Kind::rest,
        step_name(plan_, component, step) + after_words(after.rest, step_name(plan_, after.component, after.step)),
        component, step, after);
}

PromiseId PromiseBook::within(ComponentIndex component, StepIndex step, const After& after) {
    return add_after(
        Promise::Kind::within,
        step_name(plan_, component, step) + within_words(*after.within, step_name(plan_, after.component, after.step)),
        component, step, after);
}

PromiseId PromiseBook::drawn_order(ComponentIndex component, StepIndex step, const Draw& draw) {
    return add_draw(draw.rest == Minutes{0} ? Promise::Kind::order : Promise::Kind::rest,
                    step_name(plan_, component, step) + after_words(draw.rest, plan_.components[draw.component].name),
                    component, step, draw);
}

PromiseId PromiseBook::drawn_within(ComponentIndex component, StepIndex step, const Draw& draw) {
    return add_draw(
        Promise::Kind::within,
        step_name(plan_, component, step) + within_words(*draw.within, plan_.components[draw.component].name),
        component, step, draw);
}

PromiseId PromiseBook::step_keeps(ComponentIndex component, StepIndex step) {
    const Step& what = plan_.components[component].steps[step];
    return add({Promise::Kind::keeps, step_name(plan_, component, step) + " keeps " + in_words(*what.keeps), what.place,
                component, step});
}

PromiseId PromiseBook::component_keeps(ComponentIndex component) {
    const Component& what = plan_.components[component];
    return add({Promise::Kind::keeps, what.name + " keeps " + in_words(*what.keeps), what.place, component});
}

PromiseId PromiseBook::kept_until_pickup(ComponentIndex component) {
    const Component& what = plan_.components[component];
    return add({Promise::Kind::kept_until_pickup,
                what.name + " keeps " + in_words(*what.keeps) + " and has to keep until its pickup", what.place,
                component});
}

PromiseId PromiseBook::pickup(std::int32_t order) {
    const Order& what = plan_.orders[order];
    Promise promise{Promise::Kind::pickup, what.name + " is done " + in_words(what.margin) + " before its pickup",
                    what.place};
    promise.order = order;
    return add(std::move(promise));
}

PromiseId PromiseBook::safety(ComponentIndex component, StepIndex step, Minutes limit) {
    return add({Promise::Kind::safety,
                step_name(plan_, component, step) + " is cooked and goes into the cold within " + in_words(limit) +
                    " (rule \"" + plan_.safety.rule + "\")",
                plan_.components[component].steps[step].place, component, step});
}

PromiseId PromiseBook::batch_order(ComponentIndex component) {
    const Component& what = plan_.components[component];
    return add({Promise::Kind::batch_order, "batches of " + what.name + " get ready in the order of their numbers",
                what.place, component});
}

PromiseId PromiseBook::load_order(ComponentIndex component, StepIndex step) {
    return add({Promise::Kind::load_order, "loads of " + step_name(plan_, component, step) + " go one after the other",
                plan_.components[component].steps[step].place, component, step});
}

}  // namespace oventide::expansion
