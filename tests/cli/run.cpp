#include "cli/run.hpp"

#include <doctest/doctest.h>
#include <fcntl.h>
#include <poll.h>
#include <pty.h>
#include <signal.h>
#include <spawn.h>
#include <sys/wait.h>
#include <unistd.h>

#include <array>
#include <cstdlib>
#include <filesystem>
#include <fstream>

namespace oventide::test {
namespace {

/// A file descriptor that closes itself.
class Descriptor {
public:
    explicit Descriptor(int number = -1) : number_(number) {}
    ~Descriptor() { close(); }
    Descriptor(const Descriptor&) = delete;
    Descriptor& operator=(const Descriptor&) = delete;
    int get() const { return number_; }
    void set(int number) {
        close();
        number_ = number;
    }
    void close() {
        if (number_ >= 0) ::close(number_);
        number_ = -1;
    }

private:
    int number_;
};

/// One output stream: what the child writes to, and what the test reads from.
struct Stream {
    Descriptor write;
    Descriptor read;
    std::string text;
};

void open_stream(Stream& stream, Sink sink, int columns) {
    if (sink == Sink::closed) return;
    if (sink == Sink::full_disk) {
        stream.write.set(::open("/dev/full", O_WRONLY | O_CLOEXEC));
        return;
    }
    int ends[2];  // read, write
    if (sink == Sink::terminal) {
        const winsize size{24, static_cast<unsigned short>(columns), 0, 0};
        REQUIRE(::openpty(&ends[0], &ends[1], nullptr, nullptr, &size) == 0);
        for (const int end : ends) ::fcntl(end, F_SETFD, FD_CLOEXEC);
    } else {
        REQUIRE(::pipe2(ends, O_CLOEXEC) == 0);
    }
    stream.read.set(ends[0]);
    stream.write.set(ends[1]);
    if (sink == Sink::pipe_nobody_reads) stream.read.close();
}

/// False when nothing more will come.
bool read_some(Stream& stream) {
    std::array<char, 1 << 16> buffer;
    const ssize_t got = ::read(stream.read.get(), buffer.data(), buffer.size());
    if (got > 0) stream.text.append(buffer.data(), static_cast<std::size_t>(got));
    return got > 0;  // a terminal that its last writer has closed reads as an error
}

/// Until both streams have ended.
void read_all(Stream& output, Stream& errors, const Call& call, pid_t child) {
    bool interrupted = call.interrupt_at.empty();
    while (output.read.get() >= 0 || errors.read.get() >= 0) {
        std::array<pollfd, 2> waiting{pollfd{output.read.get(), POLLIN, 0}, pollfd{errors.read.get(), POLLIN, 0}};
        if (::poll(waiting.data(), waiting.size(), -1) < 0) continue;
        if (waiting[0].revents != 0 && !read_some(output)) output.read.close();
        if (waiting[1].revents != 0 && !read_some(errors)) errors.read.close();
        if (!interrupted && (output.text + errors.text).find(call.interrupt_at) != std::string::npos) {
            ::kill(child, SIGINT);
            interrupted = true;
        }
    }
}

/// A shell sets the limits and becomes the program.
std::vector<std::string> command_of(const Call& call) {
#ifdef OVENTIDE_SANITIZED
    const std::string limits = "ulimit -t " + std::to_string(20 * call.processor_seconds) + "; ";
#else
    const std::string limits = "ulimit -t " + std::to_string(call.processor_seconds) + "; ulimit -v " +
                               std::to_string(call.mebibytes * 1024) + "; ";
#endif
    std::string before;
    if (call.file_bytes > 0) before += "prlimit --fsize=" + std::to_string(call.file_bytes) + " ";
    if (call.kill_after_microseconds > 0)
        before += "timeout -s KILL " + std::to_string(call.kill_after_microseconds * 1e-6) + " ";
    std::vector<std::string> command{"/bin/sh", "-c", limits + "exec " + before + "\"$0\" \"$@\"", OVENTIDE_PROGRAM};
    command.insert(command.end(), call.words.begin(), call.words.end());
    return command;
}

std::vector<char*> pointers_to(std::vector<std::string>& words) {
    std::vector<char*> pointers;
    for (std::string& word : words) pointers.push_back(word.data());
    pointers.push_back(nullptr);
    return pointers;
}

std::vector<std::string> environment_of(const Call& call) {
    std::vector<std::string> environment{"PATH=/usr/bin:/bin"};
    for (const auto& [name, value] : call.environment) environment.push_back(name + "=" + value);
    return environment;
}

pid_t start(const Call& call, const Stream& output, const Stream& errors, int input) {
    posix_spawn_file_actions_t actions;
    ::posix_spawn_file_actions_init(&actions);
    ::posix_spawn_file_actions_addchdir_np(&actions, OVENTIDE_SOURCE_DIR);
    ::posix_spawn_file_actions_adddup2(&actions, input, STDIN_FILENO);
    const auto attach = [&actions](const Stream& stream, int number) {
        if (stream.write.get() < 0)
            ::posix_spawn_file_actions_addclose(&actions, number);
        else
            ::posix_spawn_file_actions_adddup2(&actions, stream.write.get(), number);
    };
    attach(output, STDOUT_FILENO);
    attach(errors, STDERR_FILENO);

    auto command = command_of(call);
    auto environment = environment_of(call);
    pid_t child = -1;
    const int problem = ::posix_spawn(&child, command.front().c_str(), &actions, nullptr, pointers_to(command).data(),
                                      pointers_to(environment).data());
    ::posix_spawn_file_actions_destroy(&actions);
    REQUIRE(problem == 0);
    return child;
}

}  // namespace

Result run(const Call& call) {
    Stream output, errors;
    open_stream(output, call.output, call.columns);
    open_stream(errors, call.errors, call.columns);
    const Folder folder;
    const Descriptor input(::open(folder.file("input", call.input).c_str(), O_RDONLY | O_CLOEXEC));

    const pid_t child = start(call, output, errors, input.get());
    output.write.close();
    errors.write.close();
    read_all(output, errors, call, child);
    int status = 0;
    while (::waitpid(child, &status, 0) < 0) {
    }
    return {WIFEXITED(status) ? WEXITSTATUS(status) : -1, WIFSIGNALED(status) ? WTERMSIG(status) : 0, output.text,
            errors.text};
}

bool has_terminals() {
    int ends[2];
    if (::openpty(&ends[0], &ends[1], nullptr, nullptr, nullptr) != 0) return false;
    for (const int end : ends) ::close(end);
    return true;
}

Folder::Folder() {
    std::string pattern = (std::filesystem::temp_directory_path() / "oventide-XXXXXX").string();
    REQUIRE(::mkdtemp(pattern.data()) != nullptr);
    root_ = pattern;
}

Folder::~Folder() {
    std::error_code ignored;
    std::filesystem::remove_all(root_, ignored);
}

std::string Folder::path(const std::string& name) const { return root_ + "/" + name; }

std::string Folder::file(const std::string& name, const std::string& text) const {
    std::ofstream(path(name), std::ios::binary) << text;
    return path(name);
}

}  // namespace oventide::test
