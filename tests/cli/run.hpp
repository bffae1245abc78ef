#pragma once
/// Runs the real program as a shell would, and says what came of it.

#include <map>
#include <string>
#include <vector>

namespace oventide::test {

/// Where one of the program's output streams goes.
enum class Sink {
    read,               ///< to the test
    terminal,           ///< to a terminal that the test reads
    closed,             ///< nowhere: the stream is not open
    full_disk,          ///< to a device on which nothing more fits
    pipe_nobody_reads,  ///< to a pipe whose reader has gone
};

/// How the program is called. It runs in the project's folder with the environment that is given here and no other.
struct Call {
    std::vector<std::string> words;  ///< after the program's name
    std::string input{};             ///< on standard input
    std::map<std::string, std::string> environment{};
    Sink output = Sink::read;
    Sink errors = Sink::read;
    int columns = 80;            ///< of a terminal
    std::string interrupt_at{};  ///< Ctrl-C when this has been seen on a terminal
    /// Processor seconds and memory; a program built with sanitizers gets 20 times that, and any memory.
    int processor_seconds = 10;
    int mebibytes = 300;
    int file_bytes = 0;               ///< no file grows beyond that, as on a full disk; 0: as it likes
    int kill_after_microseconds = 0;  ///< then it is killed, whatever it does; 0: it is not
};

struct Result {
    int code = -1;   ///< its exit code
    int signal = 0;  ///< what ended it instead: 0, or the number of a signal
    std::string output;
    std::string errors;
};

Result run(const Call& call);

/// False in a bare chroot without /dev/pts: what needs Sink::terminal is skipped there, and counted as skipped.
bool has_terminals();

/// A folder of the test's own, removed with all that is in it.
class Folder {
public:
    Folder();
    ~Folder();
    Folder(const Folder&) = delete;
    Folder& operator=(const Folder&) = delete;

    std::string path(const std::string& name) const;
    /// Writes a file, and returns its path.
    std::string file(const std::string& name, const std::string& text) const;

private:
    std::string root_;
};

}  // namespace oventide::test
