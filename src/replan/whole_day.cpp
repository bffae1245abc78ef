#include "replan/whole_day.hpp"

#include <algorithm>
#include <iterator>
#include <map>
#include <optional>
#include <tuple>
#include <utility>

#include "replan/oven_past.hpp"
#include "replan/reheating.hpp"
#include "timetable/jobs.hpp"

namespace oventide::replan {
namespace {

/// Until the last of what has been in an oven is out, its story follows from that; then from what is planned.
std::vector<OvenEvent> oven_events(const Left& left, const std::vector<OvenEvent>& happened,
                                   const std::vector<OvenEvent>& planned) {
    std::map<EquipmentIndex, Instant> out;
    for (std::size_t id = 0; id < left.baked.size(); ++id)
        for (const Baked& load : left.baked[id]) {
            Instant& last = out[*left.expansion.resources[id].equipment];
            last = std::max(last, load.span.to);
        }
    const auto is_before = [&](const OvenEvent& event) { return event.at < out[event.oven]; };
    std::vector<OvenEvent> all;
    std::ranges::copy_if(happened, std::back_inserter(all), is_before);
    std::ranges::remove_copy_if(planned, std::back_inserter(all), is_before);
    std::ranges::stable_sort(all, {}, [](const OvenEvent& event) { return std::tuple(event.at, event.oven); });
    return all;
}

/// What an oven was to be at for the load, at a time when that was in it, or about to go in.
std::optional<MilliCelsius> setting_at(const Baked& load, Instant at) {
    std::optional<MilliCelsius> setting = load.stages.front().setting;
    for (const Baked::Stage& stage : load.stages)
        if (stage.from <= at) setting = stage.setting;
    return setting;
}

/// An oven that breaks is off. Where something bakes in it, and goes on baking afterwards, it is switched on again;
/// when else it is hot again is planned like all that is left.
class Breaks {
public:
    Breaks(const Situation& situation, const Left& left) : situation_(situation), left_(left) {}

    void add(std::vector<OvenEvent>& events) const {
        for (std::size_t k = 0; k < situation_.broken.size(); ++k) {
            std::vector<Span> breaks = situation_.broken[k];
            std::erase_if(breaks, [&](const Span& span) { return span.from > situation_.now; });
            std::ranges::stable_sort(breaks, {}, &Span::from);
            add(static_cast<EquipmentIndex>(k), breaks, events);
        }
    }

private:
    void add(EquipmentIndex oven, const std::vector<Span>& breaks, std::vector<OvenEvent>& events) const {
        Reheating reheating(situation_.today.kitchen, oven);
        std::optional<Instant> hot;
        for (const Span& span : breaks) {
            const auto heat = baking(oven, span);
            std::vector<OvenEvent> more;
            if (is_on(oven, span.from, events)) more.push_back(breaking(oven, span.from));
            if (hot && *hot > span.from)
                std::erase_if(events, [&](const OvenEvent& event) {
                    return event.oven == oven && event.kind == OvenEvent::Kind::hot && event.at == *hot;
                });
            if (heat) {
                hot = span.to + reheating.after(span, *heat);
                more.push_back({OvenEvent::Kind::on, oven, span.to, heat});
                more.push_back({OvenEvent::Kind::hot, oven, *hot, heat});
            }
            events.insert(events.end(), more.begin(), more.end());
            std::ranges::stable_sort(events, {},
                                     [](const OvenEvent& event) { return std::tuple(event.at, event.oven); });
        }
    }

    static bool is_on(EquipmentIndex oven, Instant at, const std::vector<OvenEvent>& events) {
        bool on = false;
        for (const OvenEvent& event : events)
            if (event.oven == oven && event.at < at && event.kind != OvenEvent::Kind::hot)
                on = event.kind != OvenEvent::Kind::off;
        return on;
    }

    std::optional<MilliCelsius> baking(EquipmentIndex oven, const Span& broken) const {
        for (std::size_t id = 0; id < left_.baked.size(); ++id)
            for (const Baked& load : left_.baked[id])
                if (left_.expansion.resources[id].equipment == oven && load.span.from < broken.to &&
                    broken.to < load.span.to)
                    if (const auto heat = setting_at(load, broken.from)) return heat;
        return std::nullopt;
    }

    const Situation& situation_;
    const Left& left_;
};

/// When the oven breaks it is not hot again before its next `hot`; for what is in it until the end, not before that.
Instant hot_again(const Timetable& day, EquipmentIndex oven, const Span& broken, Instant end) {
    const auto hot = std::ranges::find_if(day.oven, [&](const OvenEvent& event) {
        return event.oven == oven && event.kind == OvenEvent::Kind::hot && event.at > broken.from;
    });
    return hot == day.oven.end() ? end : std::min(hot->at, end);
}

/// What is cut out of the settings that the load has had by then.
std::vector<Heat> without(const std::vector<Heat>& settings, const Span& cold) {
    std::vector<Heat> heat;
    for (const Heat& whole : settings) {
        const Span off{std::max(whole.span.from, cold.from), std::min(whole.span.to, cold.to)};
        if (off.from >= off.to || !whole.temperature) {
            heat.push_back(whole);
            continue;
        }
        if (whole.span.from < off.from) heat.push_back({{whole.span.from, off.from}, whole.temperature, whole.ajar});
        heat.push_back({off, std::nullopt, false, true});
        if (off.to < whole.span.to) heat.push_back({{off.to, whole.span.to}, whole.temperature, whole.ajar});
    }
    return heat;
}

/// A load stays in for longer where its oven breaks: that is told apart from its time at the heat.
void tell_breaks(const Situation& situation, Timetable& day) {
    for (Row& row : day.rows)
        for (const EquipmentUse& use : row.equipment)
            for (const Span& broken : situation.broken[static_cast<std::size_t>(use.equipment)]) {
                if (row.heat.empty() || broken.from > situation.now || broken.from >= row.heat.back().span.to) continue;
                row.heat =
                    without(row.heat, {broken.from, hot_again(day, use.equipment, broken, row.heat.back().span.to)});
            }
}

}  // namespace

Timetable whole_day(const Situation& situation, const Left& left, const Outcome& outcome) {
    Expansion expansion = left.expansion;
    expansion.project = left.whole;
    Outcome whole = outcome;
    complete(expansion.project, *whole.schedule);
    Timetable day = make_timetable(situation.today, expansion, whole, {});
    day.oven = oven_events(left, day.oven, make_timetable(situation.today, left.expansion, outcome, {}).oven);
    Breaks(situation, left).add(day.oven);
    tell_past(situation, left, day);
    tell_breaks(situation, day);
    day.jobs.clear();
    add_jobs(situation.today, day);
    return day;
}

}  // namespace oventide::replan
