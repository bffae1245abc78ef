#pragma once
/// Which batch and load, for the sheet and the calendar.

#include <map>
#include <string>
#include <tuple>

#include "oventide/timetable.hpp"

namespace oventide {

/// Which of several batches and loads a row is.
class Numbers {
public:
    explicit Numbers(const Timetable& timetable);
    /// ", batch 1 of 2, load 3 of 4"; empty where there is but one.
    std::string which(const Row& row) const;
    bool several_batches(ComponentIndex component) const;

private:
    std::map<ComponentIndex, std::int32_t> batches_;
    std::map<std::tuple<ComponentIndex, std::int32_t, StepIndex>, std::int32_t> loads_;
};

}  // namespace oventide
