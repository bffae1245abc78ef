#include <exception>
#include <string>

#include "cli/arguments.hpp"
#include "cli/commands.hpp"
#include "cli/output.hpp"

#ifdef __GLIBC__
#include <malloc.h>
#endif

namespace oventide::cli {
namespace {

/// The last words of a program that was not asked for an answer.
ExitCode say(const CommandLine& line) {
    if (line.code != ExitCode::timetable)
        write_error(line.words);
    else if (!write_output(line.words).empty())
        return ExitCode::unwritten;
    return line.code;
}

/// Each question builds its own model and drops it: its memory is kept for the next, not handed back in between.
void keep_memory() {
#ifdef __GLIBC__
    constexpr int kBytes = 256 << 20;
    mallopt(M_TRIM_THRESHOLD, kBytes);
    mallopt(M_MMAP_THRESHOLD, kBytes);
#endif
}

}  // namespace
}  // namespace oventide::cli

int main(int count, char** words) {
    using namespace oventide::cli;
    guard_standard_streams();
    keep_memory();
    try {
        const CommandLine line = read_command_line({words + 1, words + count});
        return static_cast<int>(line.arguments ? run(*line.arguments) : say(line));
    } catch (const std::exception& error) {
        write_error(std::string("oventide: an error of this program: ") + error.what() + "\n");
        return static_cast<int>(ExitCode::internal_error);
    }
}
