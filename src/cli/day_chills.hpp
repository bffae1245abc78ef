#pragma once
/// The chills of a day under way: what probes have read, and what follows for when they are cold.

#include <optional>
#include <string>
#include <vector>

#include "oventide/chilling.hpp"
#include "oventide/journal.hpp"
#include "oventide/replan.hpp"
#include "oventide/report.hpp"

namespace oventide::cli {

/// What it is made of has to outlive it and what comes from it.
class DayChills {
public:
    DayChills(const Plan& plan, const Expansion& expansion, const journal::Journal& journal)
        : plan_(plan), expansion_(expansion), journal_(journal) {}

    /// When a step that says how it cools will be cold, by its readings.
    replan::Forecast forecast() const;
    replan::ColdIfSpread cold_if_spread(const replan::Situation& situation) const;

    /// Running steps that say how they cool, or that a probe has read; and what is said to be cold, and was not when
    /// last read.
    std::vector<report::ChillUnderWay> under_way(const replan::Situation& situation,
                                                 const replan::Replanned& result) const;

private:
    using Probed = std::vector<chill::Probed>;

    const std::string& name_of(ActivityId id) const { return expansion_.project.activities[id].name; }
    Probed readings_of(ActivityId id) const;
    std::optional<chill::Running> running(ActivityId id, Instant start, const Probed& readings,
                                          const journal::SpreadOut* spread) const;
    std::vector<replan::WayOut::Late> late_if_latest(const replan::Situation& situation,
                                                     const replan::Replanned& result,
                                                     const report::ChillUnderWay& chill) const;

    const Plan& plan_;
    const Expansion& expansion_;
    const journal::Journal& journal_;
};

}  // namespace oventide::cli
