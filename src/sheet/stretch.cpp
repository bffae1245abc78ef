#include "sheet/stretch.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "common/text.hpp"
#include "oventide/sheet.hpp"
#include "sheet/flags.hpp"
#include "sheet/source.hpp"

namespace oventide::sheet {
namespace {

// User units of the drawings; each is as wide as the page allows. On paper a unit is 0.9 points: what stands in a
// drawing is 11 points high there, and is read from where one works.
constexpr double kWidth = 580;
constexpr double kLabels = 80;
constexpr double kTrack = 20;
constexpr double kHeatHeight = 28;
constexpr double kAxis = 18;
constexpr double kMargin = 2.5;  ///< above and below what is in a lane
constexpr double kColumn = 7.2;  ///< a character of the labels, at its widest but for a few
constexpr double kTextRow = 14;  ///< what is too long for its bar, or stands at a curve, has rows of its own
constexpr double kNameRow = 13;
constexpr double kLeastBar = 4;
constexpr int kNameColumns = 10;
constexpr int kStepColumns = 16;
constexpr int kOrderColumns = 30;

double width_of(const std::string& label) { return kColumn * text::columns(label); }

/// As much of a name as there is room for.
std::string shortened(const std::string& name, int most) {
    const std::string clean = text::clean(name);
    return text::columns(clean) <= most ? clean : text::wrap(clean, most).front();
}

/// A lane's name, on two lines where it is longer than one.
std::vector<std::string> name_lines(const std::string& name) {
    std::vector<std::string> lines = text::wrap(text::clean(name), kNameColumns);
    if (lines.size() > 2) lines.resize(2);
    return lines;
}

/// Texts that stand below something, each in the first row in which those before it leave room, and none beyond the
/// drawing's edge.
class TextRows {
public:
    void add(double left, const std::string& look, const std::string& text) {
        const double from = std::max(0.0, std::min(left, kWidth - width_of(text)));
        const auto row = std::find_if(free_from_.begin(), free_from_.end(), [&](double free) { return free <= from; });
        const auto index = static_cast<std::size_t>(row - free_from_.begin());
        if (row == free_from_.end()) free_from_.push_back(0);
        free_from_[index] = from + width_of(text) + 3;
        texts_.push_back({from, index, look, text});
    }

    /// Where they end.
    double draw_at(double y, std::string& body) const {
        for (const Text& text : texts_)
            body += fmt::format(R"(<text class="{}" x="{:.1f}" y="{:.1f}">{}</text>)", text.look, text.left,
                                y + kTextRow * static_cast<double>(text.row) + 12, escape(text.text));
        return free_from_.empty() ? y + 2 : y + kTextRow * static_cast<double>(free_from_.size()) + 2;
    }

private:
    struct Text {
        double left;
        std::size_t row;
        std::string look;
        std::string text;
    };
    std::vector<double> free_from_;
    std::vector<Text> texts_;
};

MilliCelsius between(const HeatPoint& a, const HeatPoint& b, Instant at) {
    const std::int64_t whole = (b.at - a.at).count();
    return whole == 0 ? b.temperature : a.temperature + (b.temperature - a.temperature) * (at - a.at).count() / whole;
}

}  // namespace

Stretch::Stretch(const Plan& plan, const clock::Zone& zone, const Timetable& timetable, const Span& shown,
                 Minutes across)
    : plan_(plan),
      zone_(zone),
      timetable_(timetable),
      shown_(shown),
      scale_((kWidth - kLabels - 4) / static_cast<double>(std::max<std::int64_t>(across.count(), 1))) {}

double Stretch::x(Instant at) const {
    const Instant inside = std::clamp(at, shown_.from, shown_.to);
    return kLabels + scale_ * static_cast<double>((inside - shown_.from).count());
}

std::string Stretch::drawing(const std::string& body, double height) const {
    return fmt::format(R"(<svg viewBox="0 0 {:.0f} {:.1f}">)", kWidth, height) + body + "</svg>\n";
}

// ------------------------------------------------------------------------------------------------------- the axis

std::string Stretch::axis() const {
    constexpr std::int64_t step = 30, tick = 10;
    std::string body;
    for (Instant at = shown_.from; at <= shown_.to; at += Minutes{1}) {
        const std::int64_t minute = zone_.local(at).minute;
        if (minute % tick != 0) continue;
        body += fmt::format(R"(<line class="hour" x1="{0:.1f}" x2="{0:.1f}" y1="{1:.1f}" y2="{2:.1f}"/>)", x(at),
                            kAxis - 4, kAxis);
        if (minute % step != 0) continue;
        const bool at_edge = x(at) > kWidth - 18;
        body += fmt::format(R"(<text class="{}" x="{:.1f}" y="{:.1f}">{}</text>)", at_edge ? "collected" : "clock",
                            at_edge ? kWidth : x(at), kAxis - 6, clock_of(zone_, at));
    }
    return drawing(body, kAxis);
}

std::string Stretch::hours(double height) const {
    constexpr std::int64_t step = 30;
    std::string out;
    for (Instant at = shown_.from; at <= shown_.to; at += Minutes{1})
        if (zone_.local(at).minute % step == 0)
            out += fmt::format(R"(<line class="hour" x1="{0:.1f}" x2="{0:.1f}" y1="0" y2="{1:.1f}"/>)", x(at), height);
    return out;
}

// ---------------------------------------------------------------------------------------------------------- a lane

std::string Stretch::lane(const Lane& lane) const {
    std::vector<Bar> bars;
    std::copy_if(lane.bars.begin(), lane.bars.end(), std::back_inserter(bars),
                 [&](const Bar& bar) { return shows(bar.span); });
    const bool somebody =
        std::any_of(lane.present.begin(), lane.present.end(), [&](const Span& span) { return shows(span); });
    if (bars.empty() && !somebody) return "";
    std::string body;
    const double tracks = lane.heat.empty() ? kMargin : draw_heat(lane.heat, body);
    const std::vector<std::string> names = name_lines(lane.name);
    double y = draw_bars(std::move(bars), tracks, names.size() > 1 ? kLabels : 0, body);
    body += presence(lane.present, y);
    for (std::size_t i = 0; i < names.size(); ++i)
        body += fmt::format(R"(<text class="lane" x="0" y="{:.1f}">{}</text>)",
                            tracks + 12.5 + kNameRow * static_cast<double>(i), escape(names[i]));
    y = std::max(y, tracks + kNameRow * static_cast<double>(names.size()) + 4) + kMargin;
    body += fmt::format(R"(<line class="rule" x1="0" x2="{0:.0f}" y1="{1:.1f}" y2="{1:.1f}"/>)", kWidth, y - 0.5);
    return drawing(bands(lane.solved, y) + hours(y) + pickup_lines(y) + body, y);
}

std::string Stretch::bands(const std::vector<Span>& solved, double height) const {
    std::string out;
    for (const Span& span : solved)
        if (shows(span))
            out += fmt::format(R"(<g class="solved"><title>{} to {}: wanted twice if each were planned alone</title>)"
                               R"(<rect x="{:.1f}" y="0" width="{:.1f}" height="{:.1f}"/></g>)",
                               clock_of(zone_, span.from), clock_of(zone_, span.to), x(span.from),
                               std::max(x(span.to) - x(span.from), 2.0), height);
    return out;
}

std::string Stretch::presence(const std::vector<Span>& hours, double y) const {
    std::string out;
    for (const Span& span : hours)
        if (shows(span))
            out += fmt::format(R"(<line class="there" x1="{:.1f}" x2="{:.1f}" y1="{:.1f}" y2="{:.1f}"/>)", x(span.from),
                               x(span.to), y, y);
    return out;
}

/// Bars of one lane never lie on each other: the first free track takes the next bar.
double Stretch::draw_bars(std::vector<Bar> bars, double y, double names_from, std::string& body) const {
    std::stable_sort(bars.begin(), bars.end(), [](const Bar& a, const Bar& b) { return a.span.from < b.span.from; });
    std::vector<Instant> free_from;
    std::vector<std::size_t> tracks;
    for (const Bar& bar : bars) {
        const auto track =
            std::find_if(free_from.begin(), free_from.end(), [&](Instant free) { return free <= bar.span.from; });
        tracks.push_back(static_cast<std::size_t>(track - free_from.begin()));
        if (track == free_from.end()) free_from.push_back(bar.span.to);
        free_from[tracks.back()] = bar.span.to;
    }
    for (std::size_t track = 0; track < free_from.size(); ++track) {
        Flags flags(kWidth, names_from);
        for (std::size_t i = 0; i < bars.size(); ++i)
            if (tracks[i] == track) draw_bar(bars[i], y, flags, body);
        y = flags.draw_at(y + kTrack - 3, body);
    }
    return free_from.empty() ? y + kTrack : y;
}

/// The most that the bar holds of its label and its step. Hands want all of it, equipment its label: what does not go
/// in stands on a flag below.
void Stretch::draw_bar(const Bar& bar, double y, Flags& flags, std::string& body) const {
    const double left = x(bar.span.from);
    const double width = std::max(x(bar.span.to) - left, kLeastBar);
    body += fmt::format(
        R"(<g class="{}"><title>{}</title><rect x="{:.1f}" y="{:.1f}" width="{:.1f}" height="{:.1f}" rx="2"/>)",
        bar.look, escape(bar.title), left, y, width, kTrack - 3);
    const std::string whole = bar.label + " " + bar.step;
    const bool holds_whole = width_of(whole) + 4 <= width;
    const bool holds_label = width_of(bar.label) + 4 <= width;
    const bool inside = holds_whole || (holds_label && !bar.is_work());
    if (inside)
        body += fmt::format(R"(<text x="{:.1f}" y="{:.1f}">{}</text>)", left + width / 2, y + 12.5,
                            escape(holds_whole ? whole : bar.label));
    body += "</g>";
    if (!inside)
        flags.add(left + std::min(width / 2, 5.0), bar.label + " " + shortened(bar.step, kStepColumns), bar.label);
}

// ------------------------------------------------------------------------------------------------ an oven's heat

/// Where it ends.
double Stretch::draw_heat(const std::vector<HeatPoint>& heat, std::string& body) const {
    MilliCelsius hottest = 1;
    for (const HeatPoint& point : heat) hottest = std::max(hottest, point.temperature);
    const double top = draw_settings(heat, body);
    const auto height = [&](MilliCelsius temperature) {
        return top + 2 + (kHeatHeight - 4) * (1 - static_cast<double>(temperature) / static_cast<double>(hottest));
    };
    std::string points;
    for (std::size_t i = 0; i < heat.size(); ++i) {
        const HeatPoint& point = heat[i];
        const Instant next = i + 1 < heat.size() ? heat[i + 1].at : point.at;
        if (next < shown_.from || (i > 0 && heat[i - 1].at > shown_.to)) continue;
        points += fmt::format("{:.1f},{:.1f} ", x(point.at), height(at_edge(heat, i)));
    }
    body += fmt::format(R"(<polyline class="heat" points="{}"/>)", points);
    return top + kHeatHeight;
}

/// Above the curve, where each setting is reached.
double Stretch::draw_settings(const std::vector<HeatPoint>& heat, std::string& body) const {
    TextRows labels;
    for (std::size_t i = 0; i + 1 < heat.size(); ++i) {
        const HeatPoint& point = heat[i];
        const bool level = heat[i + 1].temperature == point.temperature && point.temperature > plan_.kitchen.room;
        if (level && point.at < shown_.to && heat[i + 1].at > shown_.from)
            labels.add(x(point.at), "degrees", heat_text(plan_, point.temperature));
    }
    return labels.draw_at(0, body);
}

/// The temperature of point i, or where the line to its neighbour crosses the edge of what is shown.
MilliCelsius Stretch::at_edge(const std::vector<HeatPoint>& heat, std::size_t i) const {
    const HeatPoint& point = heat[i];
    if (point.at < shown_.from && i + 1 < heat.size()) return between(point, heat[i + 1], shown_.from);
    if (point.at > shown_.to && i > 0) return between(heat[i - 1], point, shown_.to);
    return point.temperature;
}

// -------------------------------------------------------------------------------------------------------- pickups

/// Up through the lanes.
std::string Stretch::pickup_lines(double height) const {
    std::string out;
    for (const PickupLine& line : timetable_.pickups)
        if (shown_.from <= line.pickup && line.pickup <= shown_.to)
            out += fmt::format(R"(<g class="pickup"><line x1="{0:.1f}" x2="{0:.1f}" y1="0" y2="{1:.1f}"/></g>)",
                               x(line.pickup), height);
    return out;
}

/// Each in the first row in which no other stands there.
std::string Stretch::pickups() const {
    std::string marks, names;
    std::vector<std::vector<std::pair<double, double>>> taken;  ///< by row: from, to
    for (const PickupLine& line : timetable_.pickups) {
        if (line.pickup < shown_.from || line.pickup > shown_.to) continue;
        const double at = x(line.pickup);
        const std::string said = clock_of(zone_, line.pickup) + " " +
                                 shortened(plan_.orders[line.order].name, kOrderColumns) +
                                 (line.done > line.pickup ? ", LATE" : "");
        const bool before = at > (kLabels + kWidth) / 2;
        const std::pair room =
            before ? std::pair(at - 10 - width_of(said), at + 6) : std::pair(at - 6, at + 10 + width_of(said));
        const auto row = std::find_if(taken.begin(), taken.end(), [&](const auto& others) {
            return std::none_of(others.begin(), others.end(), [&](const auto& other) {
                return other.first < room.second && room.first < other.second;
            });
        });
        const double foot = kTextRow * static_cast<double>(row - taken.begin()) + 12;
        if (row == taken.end())
            taken.push_back({room});
        else
            row->push_back(room);
        marks += fmt::format(R"(<g class="pickup"><line x1="{0:.1f}" x2="{0:.1f}" y1="0" y2="{1:.1f}"/>)"
                             R"(<path d="M{0:.1f} {2:.1f} l-5 -8 h10 z"/></g>)",
                             at, foot - 8, foot);
        names += fmt::format(R"(<text class="{}" x="{:.1f}" y="{:.1f}">{}</text>)", before ? "collected" : "beside",
                             before ? at - 8 : at + 8, foot, escape(said));
    }
    return taken.empty() ? "" : drawing(marks + names, kTextRow * static_cast<double>(taken.size()) + 4);
}

}  // namespace oventide::sheet
