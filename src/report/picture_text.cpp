/// The day drawn in characters: a lane for each person and each piece of equipment, quiet hours folded away.

#include <fmt/format.h>

#include <algorithm>
#include <map>

#include "oventide/report.hpp"
#include "report/shared.hpp"

namespace oventide::report {
namespace {

constexpr int kNames = 11;         ///< columns of the lanes' names, with the gap behind them
constexpr Minutes kCell{5};        ///< one column
constexpr Minutes kQuiet{3 * 60};  ///< hours in which nothing begins or ends are folded when there are so many

/// What is drawn with; plain ASCII, or lines.
struct Marks {
    const char *line, *open, *close, *hour, *there, *heating, *cooling, *hot, *pickup;
};
constexpr Marks kPlain{"-", "[", "]", "|", ".", "/", "\\", "=", "V"};
constexpr Marks kDrawn{"─", "├", "┤", "│", "·", "╱", "╲", "━", "▼"};

struct Bar {
    Span span;
    std::string label;
};

struct Lane {
    std::string name;
    std::vector<Bar> bars;
    std::vector<Span> there;  ///< a person's hours
    EquipmentIndex oven = -1;
};

/// Text that is laid on a line at columns of its own; what lies there already stays.
class Line {
public:
    explicit Line(int width) : cells_(static_cast<std::size_t>(width), " ") {}

    bool free(int from, int to) const {
        for (int k = from; k < to; ++k)
            if (cells_[static_cast<std::size_t>(k)] != " ") return false;
        return true;
    }
    void mark(int at, const std::string& glyph) {
        if (at >= 0 && at < static_cast<int>(cells_.size())) cells_[static_cast<std::size_t>(at)] = glyph;
    }
    /// `text` takes as many columns as it takes; its first cell holds all of it, the others nothing.
    void write(int at, const std::string& text) {
        const int wide = columns(text);
        if (wide == 0 || at < 0 || at + wide > static_cast<int>(cells_.size())) return;
        for (int k = at; k < at + wide; ++k) cells_[static_cast<std::size_t>(k)].clear();
        cells_[static_cast<std::size_t>(at)] = text;
    }
    std::string text() const {
        std::string all;
        for (const std::string& cell : cells_) all += cell;
        return all;
    }

private:
    std::vector<std::string> cells_;
};

class Picture {
public:
    Picture(const Subject& subject, const Style& style)
        : subject_(subject),
          words_(subject, style.ascii),
          days_(subject.zone, span_of(subject)),
          marks_(style.ascii ? kPlain : kDrawn),
          width_(style.width - kNames),
          page_(style) {}

    std::string draw() {
        page_.title(words_.name(subject_.plan.title), "one column is 5 minutes");
        add_as_of(subject_, days_, page_);
        const std::vector<Lane> lanes = all_lanes();
        for (const Span& panel : panels()) draw_panel(panel, lanes);
        add_key();
        return page_.text();
    }

private:
    // --------------------------------------------------------------------------------------- what is drawn

    std::string label(const Row& row) const {
        const std::string batch =
            words_.batch(row.component, row.step, row.batch, row.load).empty()
                ? ""
                : std::to_string(row.batch) + (row.load > 0 ? "." + std::to_string(row.load) : "");
        return letter(row.component) + batch + " " +
               words_.name(subject_.plan.components[row.component].steps[row.step].name);
    }

    std::vector<Lane> all_lanes() const {
        const Kitchen& kitchen = subject_.plan.kitchen;
        std::vector<Lane> lanes;
        for (std::size_t k = 0; k < kitchen.crew.size(); ++k)
            lanes.push_back({words_.person(static_cast<PersonIndex>(k)), {}, kitchen.crew[k].hours, -1});
        for (std::size_t k = 0; k < kitchen.equipment.size(); ++k) {
            const bool oven = kitchen.equipment[k].kind == EquipmentKind::oven;
            lanes.push_back(
                {words_.equipment(static_cast<EquipmentIndex>(k)), {}, {}, oven ? static_cast<int>(k) : -1});
        }
        for (const Row& row : subject_.timetable->rows) {
            for (const HandsUse& hands : row.hands)
                lanes[static_cast<std::size_t>(hands.person)].bars.push_back(
                    {hands.span, hands.washing ? letter(row.component) + " wash up" : label(row)});
            for (const EquipmentUse& use : row.equipment)
                lanes[kitchen.crew.size() + static_cast<std::size_t>(use.equipment)].bars.push_back(
                    {use.span, label(row) + (use.amount > 1 ? fmt::format(" x{}", use.amount) : "")});
        }
        std::erase_if(lanes, [](const Lane& lane) { return lane.bars.empty(); });
        for (Lane& lane : lanes)
            std::stable_sort(lane.bars.begin(), lane.bars.end(),
                             [](const Bar& a, const Bar& b) { return a.span.from < b.span.from; });
        return lanes;
    }

    /// Stretches in which something begins or ends, each no longer than a line.
    std::vector<Span> panels() const {
        std::vector<Instant> edges;
        for (const Row& row : subject_.timetable->rows) {
            edges.insert(edges.end(), {row.start, row.end});
            for (const HandsUse& hands : row.hands) edges.push_back(hands.span.to);
        }
        for (const OvenEvent& event : subject_.timetable->oven) edges.push_back(event.at);
        for (const PickupLine& pickup : subject_.timetable->pickups) edges.push_back(pickup.pickup);
        std::sort(edges.begin(), edges.end());
        const Minutes longest = kCell * (width_ - 1);
        std::vector<Span> found;
        for (const Instant at : edges) {
            if (found.empty() || at - found.back().to > kQuiet || at - found.back().from > longest)
                found.push_back({half_hour(at), at});
            else
                found.back().to = at;
        }
        return found;
    }

    Instant half_hour(Instant at) const { return at - Minutes{subject_.zone.local(at).minute % 30}; }

    // ------------------------------------------------------------------------------------------- one panel

    int column(Instant at, const Span& panel) const { return static_cast<int>((at - panel.from) / kCell); }

    void draw_panel(const Span& panel, const std::vector<Lane>& lanes) {
        page_.heading(days_.day(panel.from));
        draw_clock(panel);
        for (const Lane& lane : lanes) draw_lane(panel, lane);
        draw_pickups(panel);
    }

    void put(const std::string& name, const Line& line) {
        page_.verbatim(pad(wrap(name, kNames - 1).front(), kNames) + line.text());
    }

    void draw_clock(const Span& panel) {
        Line clock(width_), hours(width_);
        const Instant end = panel.from + kCell * width_;
        for (Instant at = panel.from; at < end; at += Minutes{30}) {
            if (subject_.zone.local(at).minute % 60 == 0 || at == panel.from)
                clock.write(column(at, panel), clock::clock_text(subject_.zone.local(at)));
            hours.mark(column(at, panel), marks_.hour);
        }
        put("", clock);
        put("", hours);
    }

    void draw_lane(const Span& panel, const Lane& lane) {
        const Span shown{panel.from, panel.from + kCell * width_};
        if (lane.oven >= 0) draw_heat(panel, lane);
        std::vector<Line> tracks;
        for (const Bar& bar : lane.bars) {
            // A panel shows what goes on in it, not what is done in the next one.
            if (bar.span.to <= panel.from || bar.span.from > panel.to || bar.span.from >= shown.to) continue;
            const int from = std::max(column(bar.span.from, panel), 0);
            const int to = std::clamp(column(bar.span.to, panel), from + 1, width_);
            auto track =
                std::find_if(tracks.begin(), tracks.end(), [&](const Line& one) { return one.free(from, to); });
            if (track == tracks.end()) track = tracks.insert(track, Line(width_));
            lay(*track, from, to, bar.label);
        }
        if (tracks.empty()) {
            if (lane.there.empty()) return;
            tracks.emplace_back(width_);
        }
        for (std::size_t k = 0; k < tracks.size(); ++k) {
            if (k == 0) draw_presence(panel, lane, tracks[k]);
            put(k == 0 ? lane.name : "", tracks[k]);
        }
    }

    void lay(Line& line, int from, int to, const std::string& label) const {
        const int wide = to - from;
        if (wide < 3) {
            const std::string first = label.substr(0, label.find_first_of(" 0123456789"));
            for (int k = from; k < to; ++k) line.mark(k, marks_.line);
            if (columns(first) <= wide) line.write(from, first);
            return;
        }
        const std::string words = wrap(label, wide - 2).front();
        line.write(from, marks_.open);
        for (int k = from + 1; k < to - 1; ++k) line.mark(k, marks_.line);
        if (columns(words) <= wide - 2) line.write(from + 1, words);
        line.write(to - 1, marks_.close);
    }

    void draw_presence(const Span& panel, const Lane& lane, Line& line) const {
        for (int k = 0; k < width_; ++k) {
            const Instant at = panel.from + kCell * k;
            for (const Span& span : lane.there)
                if (span.from <= at && at < span.to && line.free(k, k + 1)) line.mark(k, marks_.there);
        }
    }

    /// What the oven is set to, and its way there.
    void draw_heat(const Span& panel, const Lane& lane) {
        Line line(width_);
        const auto turns = oven_turns(*subject_.timetable);
        bool any = false;
        for (std::size_t k = 0; k < turns.size(); ++k) {
            if (turns[k].event.oven != lane.oven || !turns[k].event.temperature) continue;
            Instant until = panel.to;
            for (std::size_t next = k + 1; next < turns.size(); ++next)
                if (turns[next].event.oven == lane.oven) {
                    until = turns[next].event.at;
                    break;
                }
            any = draw_setting(panel, turns, k, until, line) || any;
        }
        if (any) put(lane.name, line);
    }

    bool draw_setting(const Span& panel, const std::vector<OvenTurn>& turns, std::size_t k, Instant until,
                      Line& line) const {
        const OvenTurn& turn = turns[k];
        const Instant hot = turn.hot.value_or(turn.event.at);
        const int from = std::max(column(turn.event.at, panel), 0);
        const int to = std::min(column(std::min(until, panel.to + kCell), panel), width_);
        if (until <= panel.from || turn.event.at > panel.to || from >= to) return false;
        MilliCelsius before = subject_.plan.kitchen.room;
        for (std::size_t earlier = 0; earlier < k; ++earlier)
            if (turns[earlier].event.oven == turn.event.oven && turns[earlier].event.temperature)
                before = *turns[earlier].event.temperature;
        const char* way = before > *turn.event.temperature && turn.event.kind != OvenEvent::Kind::on ? marks_.cooling
                                                                                                     : marks_.heating;
        const int warm = std::clamp(column(hot, panel), from, to);
        for (int cell = from; cell < to; ++cell) line.mark(cell, cell < warm ? way : marks_.hot);
        std::string degrees = heat_text(subject_.plan, *turn.event.temperature);
        std::erase(degrees, ' ');
        if (to - warm >= columns(degrees))
            line.write(warm, degrees);
        else if (to - from >= columns(degrees))
            line.write(from, degrees);
        return true;
    }

    void draw_pickups(const Span& panel) {
        for (const PickupLine& pickup : subject_.timetable->pickups) {
            if (pickup.pickup < panel.from || pickup.pickup > panel.to) continue;
            Line line(width_);
            const int at = std::min(column(pickup.pickup, panel), width_ - 1);
            const std::string words =
                fmt::format("{} {}", days_.time(pickup.pickup), words_.name(subject_.plan.orders[pickup.order].name));
            const std::string before = wrap(words, std::max(at - 1, 1)).front();
            line.mark(at, marks_.pickup);
            if (at + 2 + columns(words) <= width_)
                line.write(at + 2, words);
            else
                line.write(std::max(at - 1 - columns(before), 0), before);
            put("pickup", line);
        }
    }

    void add_key() {
        page_.heading("In the bars");
        std::map<ComponentIndex, std::string> names;
        for (const Row& row : subject_.timetable->rows) names[row.component] = words_.component(row.component);
        for (const auto& [component, name] : names) page_.paragraph(letter(component) + " " + name, 2, 2);
        page_.blank();
        page_.paragraph(
            fmt::format("{} somebody is there; {} an oven on its way up, {} down, {} at its setting; {} "
                        "pickup. What stands about without equipment is not drawn. oventide timetable has "
                        "every minute.",
                        marks_.there, marks_.heating, marks_.cooling, marks_.hot, marks_.pickup));
    }

    const Subject& subject_;
    Words words_;
    Days days_;
    const Marks& marks_;
    int width_;
    Page page_;
};

}  // namespace

std::string picture_text(const Subject& subject, const Style& style) {
    if (subject.timetable == nullptr) return no_timetable_text(subject, style);
    Style wide = style;
    wide.width = std::max(style.width, 60);
    return Picture(subject, wide).draw();
}

}  // namespace oventide::report
