#pragma once
/// One stretch of the day drawn as SVG, lane by lane: each a drawing of its own, to the same scale, so that on paper a
/// page may end between two of them and in none.

#include <string>

#include "oventide/clock.hpp"
#include "oventide/plan.hpp"
#include "oventide/timetable.hpp"
#include "sheet/flags.hpp"
#include "sheet/lanes.hpp"

namespace oventide::sheet {

/// No text in it is cut at an edge, and none lies on another.
class Stretch {
public:
    /// `across`: what the whole width stands for, so that every stretch has the same scale.
    Stretch(const Plan& plan, const clock::Zone& zone, const Timetable& timetable, const Span& shown, Minutes across);

    /// The times of the day.
    std::string axis() const;
    /// Empty where nothing is done in it, and nobody is there.
    std::string lane(const Lane& lane) const;
    /// The pickups, each named on the side with more room; empty where there are none.
    std::string pickups() const;

private:
    bool shows(const Span& span) const { return span.from < shown_.to && shown_.from < span.to; }
    double x(Instant at) const;
    std::string drawing(const std::string& body, double height) const;
    std::string hours(double height) const;
    std::string pickup_lines(double height) const;
    std::string bands(const std::vector<Span>& solved, double height) const;
    std::string presence(const std::vector<Span>& hours, double y) const;
    /// Where they end; no name flies further left than `names_from`.
    double draw_bars(std::vector<Bar> bars, double y, double names_from, std::string& body) const;
    void draw_bar(const Bar& bar, double y, Flags& flags, std::string& body) const;
    double draw_heat(const std::vector<HeatPoint>& heat, std::string& body) const;
    double draw_settings(const std::vector<HeatPoint>& heat, std::string& body) const;
    MilliCelsius at_edge(const std::vector<HeatPoint>& heat, std::size_t i) const;

    const Plan& plan_;
    const clock::Zone& zone_;
    const Timetable& timetable_;
    Span shown_;
    double scale_;
};

}  // namespace oventide::sheet
