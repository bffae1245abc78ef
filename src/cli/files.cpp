#include "cli/files.hpp"

#include <fcntl.h>
#include <sys/stat.h>
#include <unistd.h>

#include <cerrno>
#include <cstring>
#include <filesystem>

#include "cli/output.hpp"

namespace oventide::cli {
namespace {

std::string why() { return std::strerror(errno); }

/// Something other than an ordinary file may stand there: a device or a pipe is written to, not replaced.
bool stands_for_a_stream(const std::string& path) {
    struct stat status {};
    return ::stat(path.c_str(), &status) == 0 && !S_ISREG(status.st_mode) && !S_ISDIR(status.st_mode);
}

std::string write_stream(const std::string& path, std::string_view text) {
    const int file = ::open(path.c_str(), O_WRONLY | O_CLOEXEC);
    if (file < 0) return why();
    std::string problem = write_whole(file, text);
    if (::close(file) != 0 && problem.empty()) problem = why();
    return problem;
}

/// A link keeps pointing at the file that is replaced.
std::filesystem::path target_of(const std::string& path) {
    std::error_code ignored;
    const auto target = std::filesystem::weakly_canonical(path, ignored);
    return ignored ? std::filesystem::path(path) : target;
}

/// `text` on disk in a file of its own beside `target`, whose name is put into `name`. Empty, or why not.
std::string write_beside(const std::string& target, std::string_view text, std::string& name) {
    name = target + ".XXXXXX";
    const int file = ::mkstemp(name.data());
    if (file < 0) return why();
    std::string problem = write_whole(file, text);
    const mode_t mask = ::umask(0);
    ::umask(mask);
    if (problem.empty() && (::fchmod(file, 0666 & ~mask) != 0 || ::fsync(file) != 0)) problem = why();
    if (::close(file) != 0 && problem.empty()) problem = why();
    if (!problem.empty()) ::unlink(name.c_str());
    return problem;
}

}  // namespace

std::string replace_file(const std::string& path, std::string_view text) {
    if (stands_for_a_stream(path)) return write_stream(path, text);
    const std::string target = target_of(path).string();
    std::string beside;
    std::string problem = write_beside(target, text, beside);
    if (!problem.empty()) return problem;
    if (::rename(beside.c_str(), target.c_str()) == 0) return "";
    problem = why();
    ::unlink(beside.c_str());
    return problem;
}

std::string create_file(const std::string& path, std::string_view text) {
    std::string beside;
    std::string problem = write_beside(path, text, beside);
    if (!problem.empty()) return problem;
    if (::link(beside.c_str(), path.c_str()) != 0) problem = why();  // unlike a rename it never replaces
    ::unlink(beside.c_str());
    return problem;
}

}  // namespace oventide::cli
