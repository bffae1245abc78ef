#include "cli/output.hpp"

#include <fcntl.h>
#include <signal.h>
#include <unistd.h>

#include <cerrno>
#include <cstring>

namespace oventide::cli {
void guard_standard_streams() {
    for (int stream = 0; stream <= 2; ++stream) {
        const bool closed = ::fcntl(stream, F_GETFD) == -1 && errno == EBADF;
        // The lowest free number is taken, which is `stream`; read-only, so that writing to it still fails.
        if (closed && ::open("/dev/null", O_RDONLY) != stream) return;
    }
    ::signal(SIGPIPE, SIG_IGN);
    ::signal(SIGXFSZ, SIG_IGN);  // a file that may not grow is a full disk: said, not died of
}

std::string write_whole(int stream, std::string_view text) {
    while (!text.empty()) {
        const ssize_t written = ::write(stream, text.data(), text.size());
        if (written < 0 && errno != EINTR) return std::strerror(errno);
        if (written > 0) text.remove_prefix(static_cast<std::size_t>(written));
    }
    return {};
}

std::string write_output(std::string_view text) { return write_whole(STDOUT_FILENO, text); }

void write_error(std::string_view text) { write_whole(STDERR_FILENO, text); }

ExitCode print(std::string_view text, ExitCode code) {
    const std::string problem = write_output(text);
    if (problem.empty()) return code;
    write_error("oventide: the output could not be written: " + problem + "\n");
    return ExitCode::unwritten;
}

}  // namespace oventide::cli
