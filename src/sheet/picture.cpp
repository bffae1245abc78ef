#include "sheet/picture.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "common/text.hpp"
#include "oventide/sheet.hpp"
#include "sheet/oven_heat.hpp"

namespace oventide::sheet {
namespace {

// User units of the drawing; a figure is as wide as the page allows.
constexpr double kWidth = 760;
constexpr double kLabels = 96;
constexpr double kTrack = 17;
constexpr double kLaneGap = 7;
constexpr double kHeatHeight = 40;
constexpr double kAxis = 22;
constexpr double kDigit = 6.5;
constexpr double kKeyRow = 10;  ///< numbers of bars that are too short to hold them stand below
constexpr Minutes kMargin{8};

struct Bar {
    Span span;
    int number = 0;  ///< of the row
    const char* look = "machine";
    std::string title;
};

struct Lane {
    std::string name;
    std::vector<Bar> bars;
    std::vector<Span> present;  ///< a person's hours, or when equipment is not closed: not drawn if empty
    std::vector<HeatPoint> heat;
};

bool overlap(const Span& a, const Span& b) { return a.from < b.to && b.from < a.to; }

// ------------------------------------------------------------------------------------------------ what is drawn

std::string clock_of(const clock::Zone& zone, Instant at) { return clock::clock_text(zone.local(at)); }

std::string describe(const Plan& plan, const clock::Zone& zone, const Row& row, const Span& span) {
    const Component& component = plan.components[row.component];
    return fmt::format("{} to {}: {}, {}", clock_of(zone, span.from), clock_of(zone, span.to), component.name,
                       component.steps[row.step].name);
}

std::vector<Lane> people_lanes(const Plan& plan, const clock::Zone& zone, const Timetable& timetable) {
    std::vector<Lane> lanes;
    for (std::size_t person = 0; person < plan.kitchen.crew.size(); ++person) {
        Lane lane{plan.kitchen.crew[person].name, {}, plan.kitchen.crew[person].hours, {}};
        for (std::size_t i = 0; i < timetable.rows.size(); ++i)
            for (const HandsUse& hands : timetable.rows[i].hands)
                if (hands.person == static_cast<PersonIndex>(person))
                    lane.bars.push_back({hands.span, static_cast<int>(i) + 1, hands.washing ? "wash" : "hands",
                                         describe(plan, zone, timetable.rows[i], hands.span)});
        lanes.push_back(std::move(lane));
    }
    return lanes;
}

std::vector<Lane> equipment_lanes(const Plan& plan, const clock::Zone& zone, const Timetable& timetable) {
    Instant until{};
    for (const Row& row : timetable.rows) until = std::max(until, row.end);
    std::vector<Lane> lanes;
    for (std::size_t piece = 0; piece < plan.kitchen.equipment.size(); ++piece) {
        const auto index = static_cast<EquipmentIndex>(piece);
        Lane lane{plan.kitchen.equipment[piece].name, {}, {}, heat_curve(plan, index, timetable.oven, until)};
        for (std::size_t i = 0; i < timetable.rows.size(); ++i)
            for (const EquipmentUse& use : timetable.rows[i].equipment)
                if (use.equipment == index)
                    lane.bars.push_back({use.span, static_cast<int>(i) + 1, "machine",
                                         describe(plan, zone, timetable.rows[i], use.span)});
        if (!lane.bars.empty()) lanes.push_back(std::move(lane));
    }
    return lanes;
}

// ------------------------------------------------------------------------------------------------- one stretch

class Figure {
public:
    /// `across`: what the whole width stands for, so that every figure has the same scale.
    Figure(const clock::Zone& zone, const Timetable& timetable, const Plan& plan, const Span& shown, Minutes across)
        : zone_(zone), timetable_(timetable), plan_(plan), shown_(shown) {
        scale_ = (kWidth - kLabels - 4) / static_cast<double>(std::max<std::int64_t>(across.count(), 1));
    }

    std::string draw(const std::vector<Lane>& lanes, const std::string& caption) {
        y_ = kAxis;
        for (const Lane& lane : lanes) draw_lane(lane);
        std::string svg = fmt::format(
            R"(<svg viewBox="0 0 {:.0f} {:.0f}" role="img" aria-label="{}, drawn; the timetable below says the same">)",
            kWidth, y_ + 4, escape(caption));
        return svg + hours() + body_ + pickups() + "</svg>\n";
    }

private:
    double x(Instant at) const {
        const Instant inside = std::clamp(at, shown_.from, shown_.to);
        return kLabels + scale_ * static_cast<double>((inside - shown_.from).count());
    }

    void draw_lane(const Lane& lane) {
        std::vector<Bar> bars;
        for (const Bar& bar : lane.bars)
            if (overlap(bar.span, shown_)) bars.push_back(bar);
        const bool somebody = std::any_of(lane.present.begin(), lane.present.end(),
                                          [&](const Span& span) { return overlap(span, shown_); });
        if (bars.empty() && !somebody) return;
        const double top = y_;
        if (!lane.heat.empty()) draw_heat(lane.heat);
        const double tracks_top = y_;
        draw_bars(bars);
        for (const Span& span : lane.present)
            if (overlap(span, shown_))
                body_ += fmt::format(R"(<line class="there" x1="{:.1f}" x2="{:.1f}" y1="{:.1f}" y2="{:.1f}"/>)",
                                     x(span.from), x(span.to), y_, y_);
        body_ += fmt::format(R"(<text class="lane" x="0" y="{:.1f}">{}</text>)", tracks_top + 12,
                             escape(shortened(lane.name)));
        y_ = std::max(y_, top + kTrack) + kLaneGap;
        body_ += fmt::format(R"(<line class="rule" x1="0" x2="{:.0f}" y1="{:.1f}" y2="{:.1f}"/>)", kWidth,
                             y_ - kLaneGap / 2, y_ - kLaneGap / 2);
    }

    /// As much of a name as stands before the bars.
    static std::string shortened(const std::string& name) {
        constexpr int kMost = 15;
        const std::string clean = text::clean(name);
        return text::columns(clean) <= kMost ? clean : text::wrap(clean, kMost).front();
    }

    /// Bars of one lane never lie on each other: the first free track takes the next bar.
    void draw_bars(std::vector<Bar>& bars) {
        std::stable_sort(bars.begin(), bars.end(),
                         [](const Bar& a, const Bar& b) { return a.span.from < b.span.from; });
        std::vector<Instant> free_from;
        std::vector<std::size_t> tracks;
        for (const Bar& bar : bars) {
            const auto track =
                std::find_if(free_from.begin(), free_from.end(), [&](Instant free) { return free <= bar.span.from; });
            tracks.push_back(static_cast<std::size_t>(track - free_from.begin()));
            if (track == free_from.end()) free_from.push_back(bar.span.to);
            free_from[tracks.back()] = bar.span.to;
        }
        for (std::size_t i = 0; i < bars.size(); ++i) {
            const double top = y_ + kTrack * static_cast<double>(tracks[i]);
            draw_bar(bars[i], top);
            if (free_from.size() > 1 && !holds_number(bars[i])) draw_number_beside(bars, tracks, i, top);
        }
        y_ += kTrack * static_cast<double>(std::max<std::size_t>(free_from.size(), 1));
        if (free_from.size() == 1) draw_keys(bars);
    }

    /// Behind the bar, where the next one in its track leaves room.
    void draw_number_beside(const std::vector<Bar>& bars, const std::vector<std::size_t>& tracks, std::size_t index,
                            double top) {
        const std::string number = std::to_string(bars[index].number);
        const double left = x(bars[index].span.to) + 3;
        double room = kWidth;
        for (std::size_t next = index + 1; next < bars.size(); ++next)
            if (tracks[next] == tracks[index]) {
                room = x(bars[next].span.from);
                break;
            }
        if (left + width_of(number) > room) return;
        body_ += fmt::format(R"(<text class="beside" x="{:.1f}" y="{:.1f}">{}</text>)", left, top + 11, number);
    }

    static double width_of(const std::string& number) { return kDigit * static_cast<double>(number.size()); }

    bool holds_number(const Bar& bar) const {
        return x(bar.span.to) - x(bar.span.from) > width_of(std::to_string(bar.number)) + 3;
    }

    /// Below the lane, each under its bar or as near as the numbers before it leave room.
    void draw_keys(const std::vector<Bar>& bars) {
        std::vector<double> free_from;
        for (const Bar& bar : bars) {
            if (holds_number(bar)) continue;
            const std::string number = std::to_string(bar.number);
            const double middle = (x(bar.span.from) + x(bar.span.to)) / 2;
            const double left = middle - width_of(number) / 2;
            const auto row =
                std::find_if(free_from.begin(), free_from.end(), [&](double free) { return free <= left; });
            const auto index = static_cast<std::size_t>(row - free_from.begin());
            if (row == free_from.end()) free_from.push_back(0);
            free_from[index] = left + width_of(number) + 3;
            body_ += fmt::format(R"(<text class="key" x="{:.1f}" y="{:.1f}">{}</text>)", middle,
                                 y_ + kKeyRow * static_cast<double>(index) + 6, number);
        }
        y_ += kKeyRow * static_cast<double>(free_from.size());
    }

    void draw_bar(const Bar& bar, double top) {
        const double left = x(bar.span.from);
        const double width = std::max(x(bar.span.to) - left, 1.5);
        const std::string number = std::to_string(bar.number);
        body_ += fmt::format(
            R"(<g class="{}"><title>{}</title><rect x="{:.1f}" y="{:.1f}" width="{:.1f}" height="{:.1f}" rx="2"/>)",
            bar.look, escape(bar.title), left, top, width, kTrack - 3);
        if (holds_number(bar))
            body_ += fmt::format(R"(<text x="{:.1f}" y="{:.1f}">{}</text>)", left + width / 2, top + 11, number);
        body_ += "</g>";
    }

    void draw_heat(const std::vector<HeatPoint>& heat) {
        MilliCelsius hottest = 1;
        for (const HeatPoint& point : heat) hottest = std::max(hottest, point.temperature);
        const auto height = [&](MilliCelsius temperature) {
            return y_ + 10 + (kHeatHeight - 12) * (1 - static_cast<double>(temperature) / static_cast<double>(hottest));
        };
        std::string points;
        std::string labels;
        for (std::size_t i = 0; i < heat.size(); ++i) {
            const HeatPoint& point = heat[i];
            const Instant next = i + 1 < heat.size() ? heat[i + 1].at : point.at;
            if (next < shown_.from || (i > 0 && heat[i - 1].at > shown_.to)) continue;
            points += fmt::format("{:.1f},{:.1f} ", x(point.at), height(at_edge(heat, i)));
            const bool level = i + 1 < heat.size() && heat[i + 1].temperature == point.temperature;
            if (level && point.temperature > plan_.kitchen.room && point.at >= shown_.from && point.at < shown_.to)
                labels += fmt::format(R"(<text class="degrees" x="{:.1f}" y="{:.1f}">{}</text>)", x(point.at) + 2,
                                      height(point.temperature) - 2, heat_text(plan_, point.temperature));
        }
        body_ += fmt::format(R"(<polyline class="heat" points="{}"/>{})", points, labels);
        y_ += kHeatHeight;
    }

    /// The temperature of point i, or where the line to its neighbour crosses the edge of what is shown.
    MilliCelsius at_edge(const std::vector<HeatPoint>& heat, std::size_t i) const {
        const HeatPoint& point = heat[i];
        if (point.at < shown_.from && i + 1 < heat.size()) return between(point, heat[i + 1], shown_.from);
        if (point.at > shown_.to && i > 0) return between(heat[i - 1], point, shown_.to);
        return point.temperature;
    }

    static MilliCelsius between(const HeatPoint& a, const HeatPoint& b, Instant at) {
        const std::int64_t whole = (b.at - a.at).count();
        return whole == 0 ? b.temperature
                          : a.temperature + (b.temperature - a.temperature) * (at - a.at).count() / whole;
    }

    std::string hours() const {
        std::string out;
        constexpr std::int64_t step = 30;
        for (Instant at = shown_.from; at <= shown_.to; at += Minutes{1}) {
            if (zone_.local(at).minute % step != 0) continue;
            out += fmt::format(R"(<line class="hour" x1="{0:.1f}" x2="{0:.1f}" y1="{1:.1f}" y2="{2:.1f}"/>)", x(at),
                               kAxis - 6, y_);
            if (x(at) < kWidth - 14)
                out += fmt::format(R"(<text class="clock" x="{:.1f}" y="{:.1f}">{}</text>)", x(at), kAxis - 9,
                                   clock_of(zone_, at));
        }
        return out;
    }

    std::string pickups() const {
        std::string out;
        for (const PickupLine& line : timetable_.pickups) {
            if (line.pickup < shown_.from || line.pickup > shown_.to) continue;
            out += fmt::format(
                R"(<g class="pickup"><title>{3} pickup {4}</title><line x1="{0:.1f}" x2="{0:.1f}" y1="{1:.1f}" y2="{2:.1f}"/>)"
                R"(<path d="M{0:.1f} {1:.1f} l-5 -7 h10 z"/></g>)",
                x(line.pickup), kAxis, y_, clock_of(zone_, line.pickup), escape(plan_.orders[line.order].name));
        }
        return out;
    }

    const clock::Zone& zone_;
    const Timetable& timetable_;
    const Plan& plan_;
    Span shown_;
    double scale_ = 1;
    double y_ = 0;
    std::string body_;
};

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
        const std::int64_t parts = std::max<std::int64_t>(1, ((span.to - span.from) + longest - Minutes{1}) / longest);
        for (std::int64_t part = 0; part < parts; ++part)
            cut.push_back({span.from + (span.to - span.from) * part / parts,
                           span.from + (span.to - span.from) * (part + 1) / parts});
    }
    return cut;
}

std::string picture(const Plan& plan, const clock::Zone& zone, const Timetable& timetable) {
    std::vector<Lane> lanes = people_lanes(plan, zone, timetable);
    for (Lane& lane : equipment_lanes(plan, zone, timetable)) lanes.push_back(std::move(lane));
    std::string out;
    const std::vector<Span> spans = stretches(plan, timetable);
    Minutes across{120};  // a short day is not drawn larger than life
    for (const Span& span : spans) across = std::max(across, span.to - span.from);
    across += 2 * kMargin;
    for (const Span& span : spans) {
        const Span shown{span.from - kMargin, span.to + kMargin};
        const std::string caption = fmt::format("{}, {} to {}", clock::date_text(zone.local(span.from)),
                                                clock_of(zone, span.from), clock_of(zone, span.to));
        out += fmt::format("<figure><figcaption>{}</figcaption>\n", escape(caption));
        out += R"(<div class="wide" tabindex="0" role="region" aria-label=")" + escape("Picture, " + caption) + "\">\n";
        out += Figure(zone, timetable, plan, shown, across).draw(lanes, caption);
        out += "</div></figure>\n";
    }
    return out;
}

}  // namespace oventide::sheet
