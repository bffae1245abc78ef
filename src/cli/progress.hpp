#pragma once
/// One line on a terminal while a search takes long.

#include <atomic>
#include <thread>

#include "oventide/scheduler.hpp"

namespace oventide::cli {

/// Appears after a second, changes a few times a second, and is wiped when the search is over. A thread of its own
/// writes it, since the search may be silent for long; what is shown depends on the time, what is found never does.
class ProgressLine {
public:
    ProgressLine();
    ~ProgressLine();
    ProgressLine(const ProgressLine&) = delete;
    ProgressLine& operator=(const ProgressLine&) = delete;

    void note(const SearchOptions::Progress& progress);

private:
    void show_until(const std::stop_token& over);

    std::atomic<std::int64_t> schedules_ = 0;
    std::atomic<bool> found_ = false;
    std::jthread writer_;  // last: it uses what stands above
};

}  // namespace oventide::cli
