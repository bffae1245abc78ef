#pragma once
/// The cook's words for what a plan and its timetable hold.

#include <map>
#include <string>
#include <tuple>

#include "common/duration_text.hpp"
#include "oventide/plan.hpp"
#include "oventide/report.hpp"

namespace oventide::report {

std::string duration_text(Minutes duration);             ///< "35 min", "1 h 5 min", "2 days 3 h"
std::string temperature_text(MilliCelsius temperature);  ///< "180 C", "176.7 C"
std::string mass_text(std::int64_t milligrams);          ///< "840 g", "1.2 kg"
std::string grouped(std::int64_t number);                ///< "12,340"

/// Names as the plan has them, made fit for the page.
class Words {
public:
    Words(const Subject& subject, bool ascii);

    std::string name(std::string_view text) const;
    std::string component(ComponentIndex index) const;
    std::string step(ComponentIndex component, StepIndex step) const;  ///< "tart case: bake"
    std::string equipment(EquipmentIndex index) const;
    std::string person(PersonIndex index) const;
    std::string amount(ComponentIndex component, std::int64_t amount) const;  ///< "24", "840 g"
    /// "36 pieces", "1.68 kg"
    std::string amount_of(ComponentIndex component, std::int64_t amount) const;
    bool has_batches(ComponentIndex component) const;  ///< more than one
    /// "batch 1 of 2, load 3 of 4"; empty where there is but one.
    std::string batch(ComponentIndex component, StepIndex step, std::int32_t batch, std::int32_t load) const;
    /// "tart case: bake, batch 1 of 2, load 3 of 4"
    std::string task(ComponentIndex component, StepIndex step, std::int32_t batch, std::int32_t load) const;
    std::string task(ActivityId activity) const;
    std::string resource(ResourceId resource) const;
    /// "plan.toml:12"; empty where it is not known.
    std::string place(const Place& place) const;

private:
    const Subject& subject_;
    bool ascii_;
    std::map<ComponentIndex, std::int32_t> batches_;
    std::map<std::tuple<ComponentIndex, std::int32_t, StepIndex>, std::int32_t> loads_;
};

}  // namespace oventide::report
