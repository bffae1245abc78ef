#include "cli/progress.hpp"

#include <fmt/format.h>

#include <chrono>
#include <condition_variable>
#include <mutex>

#include "cli/output.hpp"

namespace oventide::cli {

using namespace std::chrono_literals;
using Clock = std::chrono::steady_clock;

ProgressLine::ProgressLine() : writer_([this](const std::stop_token& over) { show_until(over); }) {}

ProgressLine::~ProgressLine() {
    writer_.request_stop();
    writer_.join();
}

void ProgressLine::note(const SearchOptions::Progress& progress) {
    schedules_ = progress.schedules;
    found_ = progress.best.has_value();
}

void ProgressLine::show_until(const std::stop_token& over) {
    std::mutex mutex;
    std::unique_lock lock(mutex);
    std::condition_variable_any nobody;
    const auto start = Clock::now();
    const auto wait = [&](auto time) { nobody.wait_for(lock, over, time, [] { return false; }); };
    wait(1s);
    const bool shown = !over.stop_requested();
    for (; !over.stop_requested(); wait(200ms))
        write_error(fmt::format("\r\033[Ksearching for {} s: {} at schedule {}; Ctrl-C takes what there is",
                                std::chrono::duration_cast<std::chrono::seconds>(Clock::now() - start).count(),
                                found_ ? "the best so far" : "no timetable yet", schedules_.load()));
    if (shown) write_error("\r\033[K");
}

}  // namespace oventide::cli
