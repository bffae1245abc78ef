#pragma once
/// A plan and a timetable side by side: which row is which, what follows from the plan for each, who uses whom.
///
/// Everything is worked out from the plan and the rows' starts; what the rows say of themselves is only compared.

#include <cstdint>
#include <functional>
#include <map>
#include <optional>
#include <string>
#include <tuple>
#include <vector>

#include "check/ledger.hpp"
#include "oventide/check.hpp"

namespace oventide::referee {

/// Minutes on the UTC time line.
using Minute = std::int64_t;

inline Minute minute(Instant instant) { return instant.time_since_epoch().count(); }
/// "2026-10-03 05:10 UTC"
std::string clock_text(Minute at);

using RowIndex = std::int32_t;

/// `to` starts at least `rest` and at most `within` after `from` is ready.
struct Link {
    RowIndex from = 0;
    RowIndex to = 0;
    std::int64_t rest = 0;
    std::optional<std::int64_t> within;
    bool carries_food = false;
    bool drawn = false;  ///< food of another component
    Place place;
};

class Sheet {
public:
    Sheet(const Plan& plan_given, const Timetable& timetable_given);

    const Plan& plan;
    const Timetable& timetable;
    const Ledger ledger;
    std::vector<Violation> violations;

    void report(Rule rule, std::string what, Place place = {}) {
        violations.push_back({rule, std::move(what), -1, place});
    }

    const Row& row(RowIndex index) const { return timetable.rows[index]; }
    const Component& component(RowIndex index) const { return plan.components[row(index).component]; }
    const Step& step(RowIndex index) const { return component(index).steps[row(index).step]; }
    Portion share(RowIndex index) const { return {row(index).from, row(index).from + row(index).amount}; }
    bool is_last_step(RowIndex index) const {
        return row(index).step + 1 == static_cast<StepIndex>(component(index).steps.size());
    }

    /// By component, batch and step: the rows by load.
    using RowsByStep = std::map<std::tuple<ComponentIndex, std::int32_t, StepIndex>, std::vector<RowIndex>>;
    const RowsByStep& all_rows() const { return rows_; }
    /// The rows of one step of one batch, by load.
    const std::vector<RowIndex>& rows(ComponentIndex component, std::int32_t batch, StepIndex step) const;
    const std::vector<RowIndex>& last_rows(ComponentIndex component, std::int32_t batch) const;

    /// To be called once the rows are known to be those of the plan.
    void find_links();
    const std::vector<Link>& links() const { return links_; }
    const std::vector<Link>& links_from(RowIndex index) const { return from_[index]; }

    Minute start(RowIndex index) const { return minute(row(index).start); }
    Minute ready(RowIndex index) const;
    Minute end(RowIndex index) const;
    /// The latest moment until which it is needed; nothing where nobody needs it.
    std::optional<Minute> last_use(RowIndex index) const;

private:
    void find_rows();
    void link_after(ComponentIndex component, StepIndex step, const After& after);
    void link_within_component(ComponentIndex component, StepIndex step, const After& after);
    void link_across(ComponentIndex component, StepIndex step, const After& after);
    void link_draw(ComponentIndex component, StepIndex step, std::int32_t draw);
    void link(RowIndex from, RowIndex to, const After& after, bool carries_food);
    void find_exchanges();
    bool exchange(ComponentIndex a, std::int32_t a_batch, ComponentIndex b, std::int32_t b_batch) const;

    RowsByStep rows_;
    std::vector<Link> links_;
    std::vector<std::vector<Link>> from_;  ///< by row
    /// Pairs of batches of which one draws on the other, and pairs of such components, both ways round.
    std::map<std::tuple<ComponentIndex, std::int32_t, ComponentIndex, std::int32_t>, bool> batch_exchange_;
    std::map<std::tuple<ComponentIndex, ComponentIndex>, bool> component_exchange_;
};

/// The parts of the referee. Each looks at its own points of the contract and at nothing else.
void check_ids(Sheet& sheet);        ///< indices in range: nothing else can be looked at otherwise
void check_rows(Sheet& sheet);       ///< (9) the rows are those of the plan's batches and loads
void check_amounts(Sheet& sheet);    ///< (9) handovers, servings, numbering
void check_times(Sheet& sheet);      ///< (1), `from`
void check_order(Sheet& sheet);      ///< (2), (7), (8)
void check_equipment(Sheet& sheet);  ///< (3), (6)
void check_crew(Sheet& sheet);       ///< (5)
void check_ovens(Sheet& sheet);      ///< (4)
void check_record(Sheet& sheet);     ///< facts that follow from other facts
void check_goals(Sheet& sheet);      ///< the values of the aims

/// Switching on that the rules demand, oven by oven.
struct SwitchOn {
    EquipmentIndex oven = 0;
    Minute at = 0;
    Minute ready = 0;
    MilliCelsius temperature = 0;
};
std::vector<SwitchOn> switching_on(const Sheet& sheet);

/// The alarm clock: the earliest start of hands or of switching on an oven without a timer.
std::optional<Minute> waking(const Sheet& sheet);

}  // namespace oventide::referee
