/// whole_process [RUNS [WORD...]]: the time and memory of the whole program, from the start of the process to its end.
/// By default 50 runs of: timetable plans/harvest-supper.toml.
/// whole_process RUNS journal: a replan of the harvest supper at noon, with the journal of a day and with 1,000
/// entries.
#include <fcntl.h>
#include <fmt/format.h>
#include <spawn.h>
#include <sys/resource.h>
#include <sys/wait.h>
#include <unistd.h>

#include <algorithm>
#include <chrono>
#include <cstdlib>
#include <filesystem>
#include <string>
#include <vector>

#include "oventide/clock.hpp"
#include "oventide/journal.hpp"

namespace {

namespace fs = std::filesystem;
using namespace oventide;

struct Run {
    double milliseconds;
    double mebibytes;
    int code;
};

Run run(std::vector<std::string> words) {
    std::vector<char*> pointers;
    for (std::string& word : words) pointers.push_back(word.data());
    pointers.push_back(nullptr);
    posix_spawn_file_actions_t actions;
    ::posix_spawn_file_actions_init(&actions);
    ::posix_spawn_file_actions_addopen(&actions, STDOUT_FILENO, "/dev/null", O_WRONLY, 0);

    const auto start = std::chrono::steady_clock::now();
    pid_t child = -1;
    if (::posix_spawn(&child, pointers[0], &actions, nullptr, pointers.data(), environ) != 0) std::exit(2);
    int status = 0;
    rusage usage{};
    ::wait4(child, &status, 0, &usage);
    const std::chrono::duration<double, std::milli> took = std::chrono::steady_clock::now() - start;
    ::posix_spawn_file_actions_destroy(&actions);
    return {took.count(), static_cast<double>(usage.ru_maxrss) / 1024, WIFEXITED(status) ? WEXITSTATUS(status) : -1};
}

void tell(const std::string& what, const std::vector<std::string>& command, int runs) {
    std::vector<Run> all;
    for (int i = 0; i < runs; ++i) all.push_back(run(command));
    std::sort(all.begin(), all.end(), [](const Run& a, const Run& b) { return a.milliseconds < b.milliseconds; });
    fmt::print("{}{} runs, exit {}: fastest {:.1f} ms, median {:.1f} ms, slowest {:.1f} ms, {:.1f} MiB\n", what, runs,
               all.front().code, all.front().milliseconds, all[all.size() / 2].milliseconds, all.back().milliseconds,
               all.front().mebibytes);
}

/// Forecasts that are taken back, readings of a dozen steps, and now and then another publication, up to so many
/// entries; in the end all is as it was announced.
void lengthen(const std::string& path, std::int32_t entries) {
    journal::Journal journal = journal::load(journal::system_files(), path).journal;
    const clock::Zone zone = *clock::Zone::find("Europe/London");
    const Instant now = journal.entries.back().recorded;
    const journal::Published published = *journal.published();
    const auto chill = std::find_if(published.steps.begin(), published.steps.end(),
                                    [](const auto& step) { return step.id == "custard.1.chill"; });
    std::vector<journal::Event> events;
    for (auto number = static_cast<std::int32_t>(journal.entries.size()) + 1; number < entries; ++number) {
        if (number % 50 == 0)
            events.emplace_back(published);
        else if (number % 10 == 0)
            events.emplace_back(journal::Probe{published.steps[static_cast<std::size_t>(number) / 10 % 12].id,
                                               now - Minutes{number / 10}, 12'000 + 40 * number});
        else if (number % 2 == 1)
            events.emplace_back(journal::WillEnd{"custard.1.chill", now + Minutes{60}});
        else
            events.emplace_back(journal::TakenBack{number - 1});
    }
    events.emplace_back(journal::WillEnd{chill->id, chill->ready});
    const auto trouble = journal::record(journal::system_files(), path, zone, now, events).trouble;
    if (trouble) fmt::print("{}\n", trouble->message);
}

void journals(int runs) {
    const fs::path folder = fs::temp_directory_path() / fmt::format("oventide-journal-{}", ::getpid());
    fs::copy(OVENTIDE_SOURCE_DIR "/plans", folder, fs::copy_options::recursive);
    const std::string plan = folder / "harvest-supper.toml";
    ::setenv("OVENTIDE_NOW", "2026-10-02T18:00Z", 1);
    run({OVENTIDE_PROGRAM, "publish", plan});
    ::setenv("OVENTIDE_NOW", "2026-10-03T09:40Z", 1);
    run({OVENTIDE_PROGRAM, "note", plan, "on-time"});
    const std::vector<std::string> replan{OVENTIDE_PROGRAM, "replan", plan, "--dry-run"};
    tell("the journal of a day: ", replan, runs);
    lengthen(journal::path_for(plan), 1'000);
    tell("1,000 entries: ", replan, runs);
    fs::remove_all(folder);
}

}  // namespace

int main(int count, char** words) {
    const int runs = count > 1 ? std::max(1, std::atoi(words[1])) : 50;
    if (count == 3 && std::string(words[2]) == "journal") {
        journals(runs);
        return 0;
    }
    std::vector<std::string> command{OVENTIDE_PROGRAM};
    if (count > 2)
        command.insert(command.end(), words + 2, words + count);
    else
        command.insert(command.end(), {"timetable", OVENTIDE_SOURCE_DIR "/plans/harvest-supper.toml"});
    tell("", command, runs);
}
