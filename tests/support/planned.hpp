#pragma once
/// A plan text taken all the way to its timetable, as the program does it. Every timetable passes both referees.

#include <memory>
#include <optional>
#include <string_view>
#include <vector>

#include "oventide/chill.hpp"
#include "oventide/clashes.hpp"
#include "oventide/clock.hpp"
#include "oventide/report.hpp"
#include "support/plan_text.hpp"

namespace oventide::test {

struct Planned {
    Sources sources;
    Plan plan;
    clock::Zone zone;
    Expansion expansion;
    Outcome outcome;
    std::vector<Time> floats;
    std::optional<Timetable> timetable;

    report::Subject subject() const {
        report::Subject all{plan, zone, expansion, outcome, timetable ? &*timetable : nullptr, &sources};
        if (timetable) all.chills = chill::remarks(plan, *timetable);
        return all;
    }
    /// Refers to nothing; empty where there is no timetable.
    std::vector<Clash> clashes() const;
};

/// Throws where the text does not read or expand, or where a referee finds a broken rule.
Planned planned(std::string_view text, std::int64_t schedules = 60);

/// A file of the project, such as "plans/json.md".
std::string project_file(const std::string& path);

}  // namespace oventide::test
