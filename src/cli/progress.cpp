#include "cli/progress.hpp"

#include <fmt/format.h>

#include "cli/output.hpp"

namespace oventide::cli {

using namespace std::chrono_literals;

ProgressLine::ProgressLine(std::int64_t schedules)
    : schedules_(schedules), due_(std::chrono::steady_clock::now() + 1s) {}

ProgressLine::~ProgressLine() {
    if (shown_) write_error("\r\033[K");
}

void ProgressLine::show(const SearchOptions::Progress& progress) {
    const auto now = std::chrono::steady_clock::now();
    if (now < due_) return;
    due_ = now + 200ms;
    shown_ = true;
    write_error(fmt::format("\r\033[Ksearching: {} of {} schedules, {}; Ctrl-C takes what there is", progress.schedules,
                            schedules_, progress.best ? "a timetable found" : "no timetable yet"));
}

}  // namespace oventide::cli
