#include "report/words.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "common/text.hpp"

namespace oventide::report {
namespace {

constexpr std::int64_t kHour = 60;
constexpr std::int64_t kDay = 24 * kHour;

/// "1.25" for 1250 of a thousand.
std::string thousandths(std::int64_t number) {
    std::string text = fmt::format("{}.{:03}", number / 1000, number % 1000);
    text.erase(text.find_last_not_of('0') + 1);
    if (text.back() == '.') text.pop_back();
    return text;
}

std::string joined(const std::string& a, const std::string& b) { return a.empty() || b.empty() ? a + b : a + ", " + b; }

}  // namespace

std::string duration_text(Minutes duration) {
    const std::int64_t minutes = duration.count();
    if (minutes < 0) return "-" + duration_text(-duration);
    const std::int64_t days = minutes / kDay;
    const std::int64_t hours = minutes % kDay / kHour;
    std::string text;
    if (days > 0) text += fmt::format("{} day{} ", days, days == 1 ? "" : "s");
    if (hours > 0) text += fmt::format("{} h ", hours);
    if (minutes % kHour > 0 || text.empty()) text += fmt::format("{} min ", minutes % kHour);
    text.pop_back();
    return text;
}

std::string temperature_text(MilliCelsius temperature) {
    const std::int64_t tenths = (std::abs(temperature) + 50) / 100;
    return (temperature < 0 ? "-" : "") + thousandths(tenths * 100) + " C";
}

std::string mass_text(std::int64_t milligrams) {
    if (milligrams >= 1'000'000) return thousandths((milligrams + 500) / 1000) + " kg";
    if (milligrams >= 1'000) return thousandths((milligrams + 50) / 100 * 100) + " g";
    return fmt::format("{} mg", milligrams);
}

std::string grouped(std::int64_t number) {
    std::string digits = std::to_string(std::abs(number));
    for (int at = static_cast<int>(digits.size()) - 3; at > 0; at -= 3)
        digits.insert(static_cast<std::size_t>(at), ",");
    return number < 0 ? "-" + digits : digits;
}

Words::Words(const Subject& subject, bool ascii) : subject_(subject), ascii_(ascii) {
    for (const Batch& one : subject.expansion.batches) {
        std::int32_t& most = batches_[one.component];
        most = std::max(most, one.number);
    }
    for (const Task& one : subject.expansion.tasks) {
        const Batch& of = subject.expansion.batches[one.batch];
        std::int32_t& most = loads_[{of.component, of.number, one.step}];
        most = std::max(most, one.load);
    }
}

std::string Words::name(std::string_view text) const { return text::clean(text, ascii_); }

std::string Words::component(ComponentIndex index) const { return name(subject_.plan.components[index].name); }

std::string Words::step(ComponentIndex component_index, StepIndex step) const {
    const Component& of = subject_.plan.components[component_index];
    return name(of.name) + ": " + name(of.steps[step].name);
}

std::string Words::equipment(EquipmentIndex index) const { return name(subject_.plan.kitchen.equipment[index].name); }

std::string Words::person(PersonIndex index) const { return name(subject_.plan.kitchen.crew[index].name); }

std::string Words::amount(ComponentIndex component_index, std::int64_t amount) const {
    const bool mass = subject_.plan.components[component_index].makes.unit == Amount::Unit::milligrams;
    return mass ? mass_text(amount) : grouped(amount);
}

std::string Words::amount_of(ComponentIndex component_index, std::int64_t amount) const {
    const bool mass = subject_.plan.components[component_index].makes.unit == Amount::Unit::milligrams;
    return mass ? mass_text(amount) : grouped(amount) + (amount == 1 ? " piece" : " pieces");
}

bool Words::has_batches(ComponentIndex component_index) const {
    const auto batches = batches_.find(component_index);
    return batches != batches_.end() && batches->second > 1;
}

std::string Words::batch(ComponentIndex component_index, StepIndex step, std::int32_t batch, std::int32_t load) const {
    const auto loads = loads_.find({component_index, batch, step});
    const std::string of_batch =
        has_batches(component_index) ? fmt::format("batch {} of {}", batch, batches_.at(component_index)) : "";
    const std::string of_load =
        load > 0 && loads != loads_.end() && loads->second > 1 ? fmt::format("load {} of {}", load, loads->second) : "";
    return joined(of_batch, of_load);
}

std::string Words::task(ComponentIndex component_index, StepIndex step_index, std::int32_t batch_number,
                        std::int32_t load) const {
    return joined(step(component_index, step_index), batch(component_index, step_index, batch_number, load));
}

std::string Words::task(ActivityId activity) const {
    const Task& of = subject_.expansion.tasks[activity];
    const Batch& its = subject_.expansion.batches[of.batch];
    return task(its.component, of.step, its.number, of.load);
}

std::string Words::resource(ResourceId resource) const {
    const ResourceInfo& info = subject_.expansion.resources[resource];
    return info.person ? person(*info.person) : info.equipment ? equipment(*info.equipment) : "";
}

std::string Words::place(const Place& place) const {
    if (subject_.sources == nullptr || place.file < 0 ||
        place.file >= static_cast<std::int32_t>(subject_.sources->files.size()))
        return "";
    const std::string path = name(subject_.sources->files[place.file].path);
    return place.line == 0 ? path : fmt::format("{}:{}", path, place.line);
}

}  // namespace oventide::report
