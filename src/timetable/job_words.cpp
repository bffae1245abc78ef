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

/// What goes in between this turn and the next; where food is left in, what is in there.
std::vector<const Row*> loads_at(const Timetable& timetable, std::size_t index) {
    const OvenEvent& event = timetable.oven[index];
    Instant next = Instant::max();
    for (std::size_t later = index + 1; later < timetable.oven.size() && next == Instant::max(); ++later)
        if (timetable.oven[later].oven == event.oven && timetable.oven[later].kind != OvenEvent::Kind::hot)
            next = timetable.oven[later].at;
    std::vector<const Row*> loads;
    for (const Row& row : timetable.rows) {
        const bool there = std::any_of(row.equipment.begin(), row.equipment.end(),
                                       [&](const EquipmentUse& use) { return use.equipment == event.oven; });
        const bool wanted =
            event.leave_until ? row.start < event.at && event.at < row.end : event.at <= row.start && row.start < next;
        if (there && wanted && !row.heat.empty() && event.kind != OvenEvent::Kind::hot) loads.push_back(&row);
    }
    return loads;
}

std::string lasting(Minutes minutes) {
    const std::int64_t hours = minutes.count() / 60, rest = minutes.count() % 60;
    if (hours == 0) return fmt::format("{} min", rest);
    return rest == 0 ? fmt::format("{} h", hours) : fmt::format("{} h {} min", hours, rest);
}

std::string stage_text(const Plan& plan, const Heat& heat, Minutes lasts) {
    const std::string what = heat.temperature ? heat_text(plan, *heat.temperature)
                             : heat.ajar      ? "off with the door ajar"
                                              : "off";
    return what + ", " + lasting(lasts);
}

bool same_setting(const Heat& a, const Heat& b) { return a.temperature == b.temperature && a.ajar == b.ajar; }

/// A setting goes on after a breakdown; what that takes is no part of it.
std::string stages_text(const Plan& plan, const std::vector<Heat>& heat) {
    std::string text;
    for (std::size_t i = 0; i < heat.size();) {
        const std::size_t first = i;
        Minutes lasts{0};
        for (; i < heat.size() && (heat[i].broken || same_setting(heat[first], heat[i])); ++i)
            if (!heat[i].broken) lasts += heat[i].span.to - heat[i].span.from;
        if (lasts > Minutes{0}) text += (text.empty() ? "" : ", then ") + stage_text(plan, heat[first], lasts);
    }
    return text;
}

/// "into oven", and what it meets there.
std::string going_in(const Plan& plan, const Row& row, const std::string& where, const ClockWords& clock) {
    const std::string heat = baking(plan, row, clock);
    return "into " + where + (heat.empty() ? "" : " at " + heat);
}

/// A door is shut but where the plan wants it ajar; while it bakes only the plan's `door_shut` is worth a word.
std::string leaving(const OvenEvent& event, const ClockWords& clock) {
    if (!event.leave_until) return "";
    const std::string until = clock(*event.leave_until);
    if (event.kind != OvenEvent::Kind::off) return "; leave it in until " + until;
    return fmt::format("; leave it in, door {}, until {}", event.ajar ? "ajar" : "shut", until);
}

}  // namespace

std::string letter(ComponentIndex component) {
    const auto last = static_cast<char>('a' + component % 26);
    return (component < 26 ? "" : letter(component / 26 - 1)) + last;
}

std::string baking(const Plan& plan, const Row& row, const ClockWords& clock) {
    std::string text = stages_text(plan, row.heat);
    for (const Heat& heat : row.heat)
        if (heat.broken) text += "; oven broken, not hot " + clock(heat.span.from) + " to " + clock(heat.span.to);
    if (row.shut_until) text += "; door shut until " + clock(*row.shut_until);
    return text;
}

std::string doing(const Plan& plan, const Timetable& timetable, const Job& job, const ClockWords& clock) {
    const std::string where = job.place ? plan.kitchen.equipment[*job.place].name : "";
    switch (job.kind) {
        case Job::Kind::into:
            return going_in(plan, timetable.rows[static_cast<std::size_t>(job.row)], where, clock);
        case Job::Kind::out:
            return "out of " + where;
        case Job::Kind::begin:
            return "begin";
        case Job::Kind::end:
            return "finish";
        case Job::Kind::afterwards:
            return "afterwards";
        case Job::Kind::put_out:
            return "put out";
        case Job::Kind::work:
        case Job::Kind::washing:
        case Job::Kind::oven:
        case Job::Kind::timer:
            break;
    }
    return "";
}

std::string turning(const Plan& plan, const Timetable& timetable, std::int32_t index, const ClockWords& clock) {
    const OvenEvent& event = timetable.oven[static_cast<std::size_t>(index)];
    const std::string to = event.temperature ? heat_text(plan, *event.temperature) : "";
    const auto hot_at = hot_after(timetable, static_cast<std::size_t>(index));
    const std::string then = (hot_at ? ", ready " + clock(*hot_at) : "") + leaving(event, clock);
    switch (event.kind) {
        case OvenEvent::Kind::on:
            return (event.by_timer ? "comes on by its timer, " : "switch on, ") + to + then;
        case OvenEvent::Kind::set:
            return "turn to " + to + then;
        case OvenEvent::Kind::off:
            return (event.breaks ? "breaks" : "switch off") + then;
        case OvenEvent::Kind::hot:
            return "ready at " + to;
    }
    return "";
}

std::string turned_for(const Timetable& timetable, std::int32_t index,
                       const std::function<std::string(ComponentIndex)>& name) {
    std::vector<std::string> foods;
    for (const Row* const load : loads_at(timetable, static_cast<std::size_t>(index)))
        if (const std::string food = name(load->component); std::find(foods.begin(), foods.end(), food) == foods.end())
            foods.push_back(food);
    if (foods.empty()) return "";
    const bool left_in = timetable.oven[static_cast<std::size_t>(index)].leave_until.has_value();
    return (left_in ? " - in it: " : " - for ") + fmt::format("{}", fmt::join(foods, ", "));
}

}  // namespace oventide
