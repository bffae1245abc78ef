#include "sheet/picture.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "common/spans.hpp"
#include "common/text.hpp"
#include "oventide/sheet.hpp"
#include "sheet/flags.hpp"
#include "sheet/oven_heat.hpp"
#include "timetable/job_words.hpp"

namespace oventide::sheet {
namespace {

// User units of the drawing; a figure is as wide as the page allows. On paper a unit is 0.9 points: what stands in a
// figure is 11 points high there, and is read from where one works.
constexpr double kWidth = 580;
constexpr double kLabels = 80;
constexpr double kTrack = 20;
constexpr double kLaneGap = 5;
constexpr double kHeatHeight = 28;
constexpr double kAxis = 18;
constexpr double kColumn = 7.2;  ///< a character of the labels, at its widest but for a few
constexpr double kTextRow = 14;  ///< what is too long for its bar, or stands at a curve, has rows of its own
constexpr double kLeastBar = 4;
constexpr int kNameColumns = 10;
constexpr int kStepColumns = 16;
constexpr int kOrderColumns = 30;
constexpr Minutes kMargin{8};

struct Bar {
    Span span;
    std::string label;  ///< letter and batch
    std::string step;   ///< what is done
    const char* look = "machine";
    std::string title;
    bool is_work() const { return look != std::string_view("machine"); }
};

struct Lane {
    std::string name;
    std::vector<Bar> bars;
    std::vector<Span> present;  ///< a person's hours, or when equipment is not closed: not drawn if empty
    std::vector<HeatPoint> heat;
    std::vector<Span> solved;  ///< clashes
};

bool overlap(const Span& a, const Span& b) { return a.from < b.to && b.from < a.to; }

// ------------------------------------------------------------------------------------------------ what is drawn

std::string clock_of(const clock::Zone& zone, Instant at) { return clock::clock_text(zone.local(at)); }

std::string describe(const Plan& plan, const clock::Zone& zone, const Row& row, const Span& span) {
    const Component& component = plan.components[row.component];
    return fmt::format("{} to {}: {}, {}", clock_of(zone, span.from), clock_of(zone, span.to), component.name,
                       component.steps[row.step].name);
}

/// "a", or "a2" for the second of several batches.
std::string label(const Numbers& numbers, const Row& row) {
    return letter(row.component) + (numbers.several_batches(row.component) ? std::to_string(row.batch) : "");
}

std::string step_name(const Plan& plan, const Row& row) {
    return text::clean(plan.components[row.component].steps[row.step].name);
}

/// What hands do there: "bake in", "wash up".
std::string job_word(const Plan& plan, const Row& row, const Job& job) {
    switch (job.kind) {
        case Job::Kind::washing:
            return "wash up";
        case Job::Kind::into:
            return step_name(plan, row) + " in";
        case Job::Kind::out:
            return step_name(plan, row) + " out";
        case Job::Kind::end:
            return step_name(plan, row) + " end";
        default:
            return step_name(plan, row);
    }
}

/// Those of one lane.
std::vector<Span> solved_of(const std::vector<Solved>& all, std::optional<EquipmentIndex> equipment,
                            std::optional<PersonIndex> person) {
    std::vector<Span> spans;
    for (const Solved& each : all)
        if (each.equipment == equipment && each.person == person) spans.push_back(each.when);
    return merged(std::move(spans));
}

std::vector<Lane> people_lanes(const Plan& plan, const clock::Zone& zone, const Timetable& timetable,
                               const std::vector<Solved>& solved) {
    const Numbers numbers(timetable);
    std::vector<Lane> lanes;
    for (std::size_t person = 0; person < plan.kitchen.crew.size(); ++person) {
        Lane lane{plan.kitchen.crew[person].name,
                  {},
                  plan.kitchen.crew[person].hours,
                  {},
                  solved_of(solved, std::nullopt, static_cast<PersonIndex>(person))};
        for (const Job& job : timetable.jobs) {
            if (job.person != static_cast<PersonIndex>(person) || job.row < 0 || job.span.from == job.span.to) continue;
            const Row& row = timetable.rows[static_cast<std::size_t>(job.row)];
            lane.bars.push_back({job.span, label(numbers, row), job_word(plan, row, job),
                                 job.kind == Job::Kind::washing ? "wash" : "hands",
                                 describe(plan, zone, row, job.span)});
        }
        lanes.push_back(std::move(lane));
    }
    return lanes;
}

std::vector<Lane> equipment_lanes(const Plan& plan, const clock::Zone& zone, const Timetable& timetable,
                                  const std::vector<Solved>& solved) {
    const Numbers numbers(timetable);
    Instant until{};
    for (const Row& row : timetable.rows) until = std::max(until, row.end);
    std::vector<Lane> lanes;
    for (std::size_t piece = 0; piece < plan.kitchen.equipment.size(); ++piece) {
        const auto index = static_cast<EquipmentIndex>(piece);
        Lane lane{plan.kitchen.equipment[piece].name,
                  {},
                  {},
                  heat_curve(plan, index, timetable.oven, until),
                  solved_of(solved, index, std::nullopt)};
        for (const Row& row : timetable.rows)
            for (const EquipmentUse& use : row.equipment)
                if (use.equipment == index)
                    lane.bars.push_back({use.span, label(numbers, row), step_name(plan, row), "machine",
                                         describe(plan, zone, row, use.span)});
        if (!lane.bars.empty()) lanes.push_back(std::move(lane));
    }
    return lanes;
}

double width_of(const std::string& label) { return kColumn * text::columns(label); }

/// As much of a name as there is room for.
std::string shortened(const std::string& name, int most = kNameColumns) {
    const std::string clean = text::clean(name);
    return text::columns(clean) <= most ? clean : text::wrap(clean, most).front();
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
        const std::string collected = pickups();
        std::string svg = fmt::format(
            R"(<svg viewBox="0 0 {:.0f} {:.0f}" role="img" aria-label="{}, drawn; the timetable below says the same">)",
            kWidth, y_ + 4, escape(caption));
        return svg + hours() + collected + body_ + "</svg>\n";
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
        const std::size_t behind = body_.size();
        if (!lane.heat.empty()) draw_heat(lane.heat);
        const double tracks_top = y_;
        draw_bars(bars);
        for (const Span& span : lane.present)
            if (overlap(span, shown_))
                body_ += fmt::format(R"(<line class="there" x1="{:.1f}" x2="{:.1f}" y1="{:.1f}" y2="{:.1f}"/>)",
                                     x(span.from), x(span.to), y_, y_);
        body_ += fmt::format(R"(<text class="lane" x="0" y="{:.1f}">{}</text>)", tracks_top + 12.5,
                             escape(shortened(lane.name)));
        y_ = std::max(y_, top + kTrack) + kLaneGap;
        body_.insert(behind, bands(lane.solved, top - 2, y_ - kLaneGap / 2));
        body_ += fmt::format(R"(<line class="rule" x1="0" x2="{:.0f}" y1="{:.1f}" y2="{:.1f}"/>)", kWidth,
                             y_ - kLaneGap / 2, y_ - kLaneGap / 2);
    }

    std::string bands(const std::vector<Span>& solved, double top, double bottom) const {
        std::string out;
        for (const Span& span : solved)
            if (overlap(span, shown_))
                out +=
                    fmt::format(R"(<g class="solved"><title>{} to {}: wanted twice if each were planned alone</title>)"
                                R"(<rect x="{:.1f}" y="{:.1f}" width="{:.1f}" height="{:.1f}"/></g>)",
                                clock_of(zone_, span.from), clock_of(zone_, span.to), x(span.from), top,
                                std::max(x(span.to) - x(span.from), 2.0), bottom - top);
        return out;
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
        for (std::size_t track = 0; track < free_from.size(); ++track) {
            Flags flags(kWidth);
            for (std::size_t i = 0; i < bars.size(); ++i)
                if (tracks[i] == track) draw_bar(bars[i], flags);
            y_ += kTrack;
            y_ = flags.draw_at(y_ - 3, body_);
        }
        if (free_from.empty()) y_ += kTrack;
    }

    /// Texts that stand below something, each in the first row in which those before it leave room.
    class TextRows {
    public:
        void add(double left, const std::string& look, const std::string& text) {
            const auto row =
                std::find_if(free_from_.begin(), free_from_.end(), [&](double free) { return free <= left; });
            const auto index = static_cast<std::size_t>(row - free_from_.begin());
            if (row == free_from_.end()) free_from_.push_back(0);
            free_from_[index] = left + width_of(text) + 3;
            texts_.push_back({left, index, look, text});
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

    /// The most that the bar holds of its label and its step. Hands want all of it, equipment its label: what does not
    /// go in stands on a flag below.
    void draw_bar(const Bar& bar, Flags& flags) {
        const double left = x(bar.span.from);
        const double width = std::max(x(bar.span.to) - left, kLeastBar);
        body_ += fmt::format(
            R"(<g class="{}"><title>{}</title><rect x="{:.1f}" y="{:.1f}" width="{:.1f}" height="{:.1f}" rx="2"/>)",
            bar.look, escape(bar.title), left, y_, width, kTrack - 3);
        const std::string whole = bar.label + " " + bar.step;
        const bool holds_whole = width_of(whole) + 4 <= width;
        const bool holds_label = width_of(bar.label) + 4 <= width;
        const bool inside = holds_whole || (holds_label && !bar.is_work());
        if (inside)
            body_ += fmt::format(R"(<text x="{:.1f}" y="{:.1f}">{}</text>)", left + width / 2, y_ + 12.5,
                                 escape(holds_whole ? whole : bar.label));
        body_ += "</g>";
        if (!inside)
            flags.add(left + std::min(width / 2, 5.0), bar.label + " " + shortened(bar.step, kStepColumns), bar.label);
    }

    void draw_heat(const std::vector<HeatPoint>& heat) {
        MilliCelsius hottest = 1;
        for (const HeatPoint& point : heat) hottest = std::max(hottest, point.temperature);
        TextRows labels;
        for (std::size_t i = 0; i + 1 < heat.size(); ++i) {
            const HeatPoint& point = heat[i];
            const bool level = heat[i + 1].temperature == point.temperature && point.temperature > plan_.kitchen.room;
            if (level && point.at < shown_.to && heat[i + 1].at > shown_.from)
                labels.add(x(point.at), "degrees", heat_text(plan_, point.temperature));
        }
        y_ = labels.draw_at(y_ - 2, body_);
        const auto height = [&](MilliCelsius temperature) {
            return y_ + 2 + (kHeatHeight - 4) * (1 - static_cast<double>(temperature) / static_cast<double>(hottest));
        };
        std::string points;
        for (std::size_t i = 0; i < heat.size(); ++i) {
            const HeatPoint& point = heat[i];
            const Instant next = i + 1 < heat.size() ? heat[i + 1].at : point.at;
            if (next < shown_.from || (i > 0 && heat[i - 1].at > shown_.to)) continue;
            points += fmt::format("{:.1f},{:.1f} ", x(point.at), height(at_edge(heat, i)));
        }
        body_ += fmt::format(R"(<polyline class="heat" points="{}"/>)", points);
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
        constexpr std::int64_t step = 30, tick = 10;
        for (Instant at = shown_.from; at <= shown_.to; at += Minutes{1}) {
            const std::int64_t minute = zone_.local(at).minute;
            if (minute % step != 0 && minute % tick == 0)
                out += fmt::format(R"(<line class="hour" x1="{0:.1f}" x2="{0:.1f}" y1="{1:.1f}" y2="{2:.1f}"/>)", x(at),
                                   kAxis - 4, kAxis);
            if (minute % step != 0) continue;
            out += fmt::format(R"(<line class="hour" x1="{0:.1f}" x2="{0:.1f}" y1="{1:.1f}" y2="{2:.1f}"/>)", x(at),
                               kAxis - 4, lanes_end_);
            if (x(at) < kWidth - 18)
                out += fmt::format(R"(<text class="clock" x="{:.1f}" y="{:.1f}">{}</text>)", x(at), kAxis - 6,
                                   clock_of(zone_, at));
        }
        return out;
    }

    /// A lane of their own under the others, and a line up through those. Each is named on the side with more room, in
    /// the first row in which no other stands there.
    std::string pickups() {
        lanes_end_ = y_;
        std::string drawn;
        std::vector<std::vector<std::pair<double, double>>> taken;  ///< by row: from, to
        for (const PickupLine& line : timetable_.pickups) {
            if (line.pickup < shown_.from || line.pickup > shown_.to) continue;
            const double at = x(line.pickup);
            const std::string said =
                clock_of(zone_, line.pickup) + " " + shortened(plan_.orders[line.order].name, kOrderColumns);
            const bool before = at > (kLabels + kWidth) / 2;
            const std::pair room =
                before ? std::pair(at - 10 - width_of(said), at + 6) : std::pair(at - 6, at + 10 + width_of(said));
            const auto row = std::find_if(taken.begin(), taken.end(), [&](const auto& others) {
                return std::none_of(others.begin(), others.end(), [&](const auto& other) {
                    return other.first < room.second && room.first < other.second;
                });
            });
            const double y = y_ + kTextRow * static_cast<double>(row - taken.begin());
            if (row == taken.end())
                taken.push_back({room});
            else
                row->push_back(room);
            drawn += fmt::format(
                R"(<g class="pickup"><line x1="{0:.1f}" x2="{0:.1f}" y1="{1:.1f}" y2="{2:.1f}"/>)"
                R"(<path d="M{0:.1f} {3:.1f} l-5 -8 h10 z"/></g><text class="{4}" x="{5:.1f}" y="{3:.1f}">{6}</text>)",
                at, kAxis, y + 4, y + 12, before ? "collected" : "beside", before ? at - 8 : at + 8, escape(said));
        }
        y_ += kTextRow * static_cast<double>(taken.size());
        return drawn;
    }

    const clock::Zone& zone_;
    const Timetable& timetable_;
    const Plan& plan_;
    Span shown_;
    double scale_ = 1;
    double y_ = 0;
    double lanes_end_ = 0;
    std::string body_;
};

}  // namespace

namespace {

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
std::string key(const Plan& plan, const Timetable& timetable, const std::vector<Solved>& solved, const Span& shown) {
    std::vector<bool> drawn(plan.components.size(), false);
    for (const Row& row : timetable.rows) {
        for (const HandsUse& hands : row.hands)
            if (overlap(hands.span, shown)) drawn[static_cast<std::size_t>(row.component)] = true;
        for (const EquipmentUse& use : row.equipment)
            if (overlap(use.span, shown)) drawn[static_cast<std::size_t>(row.component)] = true;
    }
    std::string out = "<ul class=\"key\">\n";
    for (std::size_t i = 0; i < drawn.size(); ++i)
        if (drawn[i])
            out += "<li><b>" + letter(static_cast<ComponentIndex>(i)) + "</b> <bdi>" + escape(plan.components[i].name) +
                   "</bdi></li>\n";
    const bool clashes =
        std::any_of(solved.begin(), solved.end(), [&](const Solved& each) { return overlap(each.when, shown); });
    return out + (clashes ? "<li><span class=\"swatch solved\"></span> clash, solved</li>\n" : "") +
           "<li><span class=\"swatch hands\"></span> hands</li>\n<li><span class=\"swatch wash\"></span> washing "
           "up</li>\n<li><span class=\"swatch machine\"></span> in use</li>\n</ul>\n";
}

}  // namespace

std::string picture(const Plan& plan, const clock::Zone& zone, const Timetable& timetable,
                    const std::vector<Solved>& solved) {
    std::vector<Lane> lanes = people_lanes(plan, zone, timetable, solved);
    for (Lane& lane : equipment_lanes(plan, zone, timetable, solved)) lanes.push_back(std::move(lane));
    const std::vector<Span> spans = stretches(plan, timetable);
    // Where a stretch is cut, the next figure goes on.
    const auto cut = [&](Instant at, Instant Span::*edge) {
        return std::any_of(spans.begin(), spans.end(), [&](const Span& other) { return other.*edge == at; });
    };
    const auto shown_of = [&](const Span& span) {
        return Span{span.from - (cut(span.from, &Span::to) ? Minutes{0} : kMargin),
                    span.to + (cut(span.to, &Span::from) ? Minutes{0} : kMargin)};
    };
    Minutes across{120};  // a short day is not drawn larger than life
    for (const Span& span : spans) across = std::max(across, shown_of(span).to - shown_of(span).from);
    std::string out;
    for (const Span& span : spans) {
        const Span shown = shown_of(span);
        const std::string caption = fmt::format("{}, {} to {}", clock::date_text(zone.local(span.from)),
                                                clock_of(zone, span.from), clock_of(zone, span.to));
        out += fmt::format("<figure><figcaption>{}</figcaption>\n", escape(caption));
        out += R"(<div class="wide" tabindex="0" role="region" aria-label=")" + escape("Picture, " + caption) + "\">\n";
        out += Figure(zone, timetable, plan, shown, across).draw(lanes, caption);
        out += "</div>\n" + key(plan, timetable, solved, shown) + "</figure>\n";
    }
    return out;
}

}  // namespace oventide::sheet
