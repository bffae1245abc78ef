#include "timetable/job_words.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace oventide {

Numbers::Numbers(const Timetable& timetable) {
    for (const Row& row : timetable.rows) {
        std::int32_t& batches = batches_[row.component];
        batches = std::max(batches, row.batch);
        std::int32_t& loads = loads_[{row.component, row.batch, row.step}];
        loads = std::max(loads, row.load);
    }
}

std::string Numbers::which(const Row& row) const {
    std::string text;
    if (several_batches(row.component)) text += fmt::format(", batch {} of {}", row.batch, batches_.at(row.component));
    const auto loads = loads_.find({row.component, row.batch, row.step});
    if (row.load > 0 && loads != loads_.end() && loads->second > 1)
        text += fmt::format(", load {} of {}", row.load, loads->second);
    return text;
}

bool Numbers::several_batches(ComponentIndex component) const {
    const auto batches = batches_.find(component);
    return batches != batches_.end() && batches->second > 1;
}

namespace {

/// " at 180 C", where it goes into an oven.
std::string heat_on_the_way(const Plan& plan, const Timetable& timetable, const Job& job) {
    const Row& row = timetable.rows[static_cast<std::size_t>(job.row)];
    const auto& bake = plan.components[row.component].steps[row.step].bake;
    if (!bake || !bake->programme.front().temperature) return "";
    return " at " + heat_text(plan, *bake->programme.front().temperature);
}

}  // namespace

std::string doing(const Plan& plan, const Timetable& timetable, const Job& job) {
    const std::string where = job.place ? plan.kitchen.equipment[*job.place].name : "";
    switch (job.kind) {
        case Job::Kind::into:
            return "into " + where + heat_on_the_way(plan, timetable, job);
        case Job::Kind::out:
            return "out of " + where;
        case Job::Kind::begin:
            return "begin";
        case Job::Kind::end:
            return "finish";
        case Job::Kind::afterwards:
            return "afterwards";
        case Job::Kind::work:
        case Job::Kind::washing:
        case Job::Kind::oven:
        case Job::Kind::timer:
            break;
    }
    return "";
}

std::string turning(const Plan& plan, const OvenEvent& event) {
    const std::string to = event.temperature ? heat_text(plan, *event.temperature) : "";
    switch (event.kind) {
        case OvenEvent::Kind::on:
            return (plan.kitchen.equipment[event.oven].timer ? "comes on by its timer, " : "switch on, ") + to;
        case OvenEvent::Kind::set:
            return "turn to " + to;
        case OvenEvent::Kind::off:
            return "switch off";
        case OvenEvent::Kind::hot:
            return "ready at " + to;
    }
    return "";
}

}  // namespace oventide
