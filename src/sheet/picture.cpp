#include "sheet/picture.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "oventide/sheet.hpp"
#include "sheet/lanes.hpp"
#include "sheet/source.hpp"
#include "sheet/stretch.hpp"

namespace oventide::sheet {
namespace {

constexpr Minutes kQuiet{120};
constexpr Minutes kMargin{8};  ///< shown before and after

bool overlap(const Span& a, const Span& b) { return a.from < b.to && b.from < a.to; }

/// The nearest one.
Instant half_hour(Instant at) {
    constexpr std::int64_t kHalf = 30;
    return Instant{Minutes{(at.time_since_epoch().count() + kHalf / 2) / kHalf * kHalf}};
}

}  // namespace

std::vector<Span> stretches(const Plan& plan, const Timetable& timetable, Minutes quiet, Minutes longest) {
    struct Edge {
        Instant at;
        bool work;
    };
    std::vector<Edge> edges;
    for (const Row& row : timetable.rows)
        for (const HandsUse& hands : row.hands)
            for (const Instant at : {hands.span.from, hands.span.to}) edges.push_back({at, true});
    for (const OvenEvent& event : timetable.oven) edges.push_back({event.at, true});
    for (const Order& order : plan.orders) edges.push_back({order.pickup, false});
    std::stable_sort(edges.begin(), edges.end(), [](const Edge& a, const Edge& b) { return a.at < b.at; });

    std::vector<Span> found;
    for (const Edge& edge : edges) {
        if (!found.empty() && edge.at - found.back().to <= quiet)
            found.back().to = edge.at;
        else if (edge.work)
            found.push_back({edge.at, edge.at});
    }
    std::vector<Span> cut;
    for (const Span& span : found) {
        const Minutes counted = span.to - span.from - longest / 6;  // what is a little longer is not cut for that
        const std::int64_t parts = std::max<std::int64_t>(1, (counted + longest - Minutes{1}) / longest);
        Instant from = span.from;
        for (std::int64_t part = 1; part <= parts; ++part) {
            const Instant to = part == parts ? span.to : half_hour(span.from + (span.to - span.from) * part / parts);
            cut.push_back({from, to});
            from = to;
        }
    }
    return cut;
}

namespace {

/// What the letters in a figure stand for, and how its bars look.
std::string key(const Plan& plan, const Timetable& timetable, const std::vector<Solved>& solved,
                const std::vector<Lane>& lanes, const Span& shown) {
    std::vector<bool> drawn(plan.components.size(), false);
    for (const Row& row : timetable.rows) {
        for (const HandsUse& hands : row.hands)
            if (overlap(hands.span, shown)) drawn[static_cast<std::size_t>(row.component)] = true;
        for (const EquipmentUse& use : row.equipment)
            if (overlap(use.span, shown)) drawn[static_cast<std::size_t>(row.component)] = true;
    }
    std::string out = "<ul class=\"key\">\n";
    const Numbers numbers(timetable);
    std::string batches;
    for (std::size_t i = 0; i < drawn.size(); ++i) {
        if (!drawn[i]) continue;
        const auto index = static_cast<ComponentIndex>(i);
        if (batches.empty() && numbers.several_batches(index))
            batches = fmt::format("<li><b>{0}2</b> batch 2 of {0}</li>\n", letter(index));
        out += "<li><b>" + letter(index) + "</b> <bdi>" + escape(plan.components[i].name) + "</bdi></li>\n";
    }
    out += batches;
    const bool somebody = std::any_of(lanes.begin(), lanes.end(), [&](const Lane& lane) {
        return std::any_of(lane.present.begin(), lane.present.end(),
                           [&](const Span& hours) { return overlap(hours, shown); });
    });
    const bool washed = std::any_of(lanes.begin(), lanes.end(), [&](const Lane& lane) {
        return std::any_of(lane.bars.begin(), lane.bars.end(), [&](const Bar& bar) {
            return bar.look == std::string_view("wash") && overlap(bar.span, shown);
        });
    });
    const bool clashes =
        std::any_of(solved.begin(), solved.end(), [&](const Solved& each) { return overlap(each.when, shown); });
    const auto look = [](const char* swatch, const char* means) {
        return fmt::format("<li><span class=\"swatch {}\"></span> {}</li>\n", swatch, means);
    };
    if (clashes) out += look("solved", "clash, solved");
    out += look("hands", "hands");
    if (washed) out += look("wash", "washing up");
    if (somebody) out += look("there", "hours of the plan");
    return out + look("machine", "in use") + "</ul>\n";
}

/// Between two lanes a page may end.
std::string drawing(const Stretch& stretch, const std::vector<Lane>& lanes) {
    const auto row = [](const std::string& svg) { return svg.empty() ? "" : "<div class=\"lane\">" + svg + "</div>"; };
    std::string rows;
    for (const Lane& lane : lanes) rows += row(stretch.lane(lane));
    return "<div class=\"lanes\">" + rows + row(stretch.pickups()) + "</div>";
}

/// Every stretch, with what is shown of it: a little more where the next one does not go on.
std::vector<std::pair<Span, Span>> shown_stretches(const Plan& plan, const Timetable& timetable, Minutes longest) {
    const std::vector<Span> spans = stretches(plan, timetable, kQuiet, longest);
    const auto cut = [&](Instant at, Instant Span::*edge) {
        return std::any_of(spans.begin(), spans.end(), [&](const Span& other) { return other.*edge == at; });
    };
    std::vector<std::pair<Span, Span>> shown;
    for (const Span& span : spans)
        shown.push_back({span,
                         {span.from - (cut(span.from, &Span::to) ? Minutes{0} : kMargin),
                          span.to + (cut(span.to, &Span::from) ? Minutes{0} : kMargin)}});
    return shown;
}

}  // namespace

std::string picture(const Plan& plan, const clock::Zone& zone, const Timetable& timetable,
                    const std::vector<Solved>& solved, Minutes longest) {
    std::vector<Lane> lanes = people_lanes(plan, zone, timetable, solved);
    for (Lane& lane : equipment_lanes(plan, zone, timetable, solved)) lanes.push_back(std::move(lane));
    const auto all = shown_stretches(plan, timetable, longest);
    Minutes across{120};  // a short day is not drawn larger than life
    for (const auto& [span, shown] : all) across = std::max(across, shown.to - shown.from);
    const auto clock_of = [&](Instant at) { return clock::clock_text(zone.local(at)); };
    std::string out;
    for (const auto& [span, shown] : all) {
        const std::string caption = fmt::format("{}, {} to {}", clock::date_text(zone.local(span.from)),
                                                clock_of(span.from), clock_of(span.to));
        const std::string letters = key(plan, timetable, solved, lanes, shown);
        const Stretch stretch(plan, zone, timetable, shown, across);
        // On paper the caption and the key come back on every page that the drawing goes on to.
        out += fmt::format(
            "<div class=\"panel\"><div class=\"told\"><h3>{0}</h3>\n{1}</div>\n"
            "<div class=\"wide\" tabindex=\"0\" role=\"region\" aria-label=\"Picture, {0}\">"
            "<div class=\"drawing\" role=\"img\" aria-label=\"{0}, drawn; the timetable below says the same\">"
            "<div class=\"over\"><div class=\"paper\"><p>{0}</p>\n{1}</div>{2}</div>\n{3}</div></div></div>\n",
            escape(caption), letters, stretch.axis(), drawing(stretch, lanes));
    }
    return out;
}

}  // namespace oventide::sheet
