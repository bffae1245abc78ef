#include "cli/arguments.hpp"
#include "cli/output.hpp"

int main(int count, char** words) {
    using namespace oventide::cli;
    guard_standard_streams();
    const CommandLine line = read_command_line({words + 1, words + count});
    if (!line.arguments) {
        if (line.code == ExitCode::timetable)
            write_output(line.words);
        else
            write_error(line.words);
        return static_cast<int>(line.code);
    }
    write_error("oventide: the commands are not wired yet\n");
    return static_cast<int>(ExitCode::wrong);
}
