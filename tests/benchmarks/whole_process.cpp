/// whole_process [RUNS [WORD...]]: the time and memory of the whole program, from the start of the process to its end.
/// By default 50 runs of: timetable plans/harvest-supper.toml.
#include <fcntl.h>
#include <fmt/format.h>
#include <spawn.h>
#include <sys/resource.h>
#include <sys/wait.h>
#include <unistd.h>

#include <algorithm>
#include <chrono>
#include <cstdlib>
#include <string>
#include <vector>

namespace {

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

}  // namespace

int main(int count, char** words) {
    const int runs = count > 1 ? std::max(1, std::atoi(words[1])) : 50;
    std::vector<std::string> command{OVENTIDE_PROGRAM};
    if (count > 2)
        command.insert(command.end(), words + 2, words + count);
    else
        command.insert(command.end(), {"timetable", OVENTIDE_SOURCE_DIR "/plans/harvest-supper.toml"});

    std::vector<Run> all;
    for (int i = 0; i < runs; ++i) all.push_back(run(command));
    std::sort(all.begin(), all.end(), [](const Run& a, const Run& b) { return a.milliseconds < b.milliseconds; });
    fmt::print("{} runs, exit {}: fastest {:.1f} ms, median {:.1f} ms, slowest {:.1f} ms, {:.1f} MiB\n", runs,
               all.front().code, all.front().milliseconds, all[all.size() / 2].milliseconds, all.back().milliseconds,
               all.front().mebibytes);
}
