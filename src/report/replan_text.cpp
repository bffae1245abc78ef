#include <fmt/format.h>

#include <algorithm>

#include "report/day.hpp"
#include "report/day_part.hpp"
#include "report/page.hpp"

namespace oventide::report {
namespace {

using replan::Replanned;

bool ends_later(const replan::Interruption& one) { return one.moved > Minutes{0}; }

/// What the cook noted counts, or it is said first of all that it does not.
void add_uncounted(const DayText& text, Page& page) {
    for (const replan::Unknown& one : text.day.situation.unknown)
        if (!one.step)
            page.prominent(
                fmt::format("Entry {0} does not count: the plan has no '{1}'. Note it anew with a name that "
                            "the plan has, or 'undo {0}' if it is no more.",
                            one.entry, text.words.name(one.name)));
}

std::string verdict(const Day& day) {
    const Replanned& result = day.result;
    if (!result.timetable) return "NO TIMETABLE for what is left was found.";
    if (!result.fewer.empty()) return "NO TIMETABLE for all that is ordered was found.";
    if (result.way == Replanned::Way::conditional) return "NO TIMETABLE for what is left was found as things are.";
    const auto late = std::ranges::count_if(result.pickups, [](const auto& one) { return one.last.has_value(); });
    std::string text = late == 0   ? "Every pickup can be kept."
                       : late == 1 ? "LATE: one pickup cannot be kept."
                                   : fmt::format("LATE: {} pickups cannot be kept.", late);
    if (!result.broken.empty())
        text = late == 0 ? "Every pickup can be kept, but not every limit." : text + " A limit is broken.";
    if (!result.over_night.empty()) text += " Food stands over night.";
    switch (result.way) {
        case Replanned::Way::unchanged:
            if (!result.turns.empty() || !result.washing.empty()) return text + " No step changes.";
            return text + (std::ranges::any_of(day.situation.interruptions, ends_later)
                               ? " Nothing changes but that what stood still ends later."
                               : " Nothing changes.");
        case Replanned::Way::returned:
            return text + " Back to what was announced before, as near as can be.";
        case Replanned::Way::shifted:
            return text + " The order of work stays.";
        case Replanned::Way::reordered:
            return text + " Some work changes its order.";
        case Replanned::Way::conditional:
        case Replanned::Way::impossible:
            break;
    }
    return text;
}

}  // namespace

Subject subject_of(const Day& day) {
    const Expansion& expansion = day.result.expansion ? *day.result.expansion : day.planned;
    return {day.situation.today,
            day.zone,
            expansion,
            day.result.outcome,
            day.result.timetable ? &*day.result.timetable : nullptr,
            nullptr};
}

Span span_of(const Day& day) {
    Span span = span_of(subject_of(day));
    span.from = std::min(span.from, day.situation.now);
    for (const replan::StepState& step : day.situation.steps) {
        if (step.announced) span.from = std::min(span.from, *step.announced);
        if (step.told_ready) span.to = std::max(span.to, *step.told_ready);
    }
    return span;
}

std::string replan_text(const Day& day, const Style& style) {
    const DayText text(day, style.ascii);
    Page page(style);
    page.title(text.words.name(day.situation.today.title), text.days.day_time(day.situation.now));
    page.blank();
    page.prominent(verdict(day));
    add_uncounted(text, page);
    add_late_by_chills(text, page);
    add_needs(text, page);
    if (day.result.timetable) {
        add_steps(text, page);
        add_pickups(text, page);
    }
    add_chills(text, page);
    add_limits(text, page);
    add_remarks(text, page);
    return page.text();
}

}  // namespace oventide::report
