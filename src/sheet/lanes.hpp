#pragma once
/// What the picture of the day shows: a lane for each person and each piece of equipment, with bars.

#include <string>
#include <vector>

#include "oventide/clock.hpp"
#include "oventide/plan.hpp"
#include "oventide/sheet.hpp"
#include "oventide/timetable.hpp"
#include "sheet/oven_heat.hpp"

namespace oventide::sheet {

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
    std::vector<Span> present;  ///< a person's hours: not drawn if empty
    std::vector<HeatPoint> heat;
    std::vector<Span> solved;  ///< clashes
};

std::vector<Lane> people_lanes(const Plan& plan, const clock::Zone& zone, const Timetable& timetable,
                               const std::vector<Solved>& solved);

/// Of what is used at all.
std::vector<Lane> equipment_lanes(const Plan& plan, const clock::Zone& zone, const Timetable& timetable,
                                  const std::vector<Solved>& solved);

}  // namespace oventide::sheet
