#include <string_view>

#include "cli/exit_code.hpp"
#include "cli/output.hpp"

int main(int count, char** words) {
    using namespace oventide::cli;
    guard_standard_streams();
    if (count == 2 && std::string_view(words[1]) == "--version") {
        write_output("oventide " OVENTIDE_VERSION "\n");
        return static_cast<int>(ExitCode::timetable);
    }
    write_error("oventide: the commands are not wired yet\n");
    return static_cast<int>(ExitCode::wrong);
}
