#pragma once
/// One line on a terminal while a search takes long.

#include <chrono>

#include "oventide/scheduler.hpp"

namespace oventide::cli {

/// Appears after a second, changes a few times a second, and is wiped when the search is over. Only what is shown
/// depends on the time, never the search.
class ProgressLine {
public:
    explicit ProgressLine(std::int64_t schedules);
    ~ProgressLine();
    ProgressLine(const ProgressLine&) = delete;
    ProgressLine& operator=(const ProgressLine&) = delete;

    void show(const SearchOptions::Progress& progress);

private:
    std::int64_t schedules_;
    std::chrono::steady_clock::time_point due_;
    bool shown_ = false;
};

}  // namespace oventide::cli
