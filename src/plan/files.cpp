/// Real files, read so that nothing given as a plan can block the program or fill the memory.

#include <fcntl.h>
#include <sys/stat.h>
#include <unistd.h>

#include <cerrno>
#include <string>
#include <system_error>

#include "oventide/plan_file.hpp"

namespace oventide {
namespace {

/// Closes what it holds.
class Descriptor {
public:
    explicit Descriptor(int number) : number_(number) {}
    ~Descriptor() {
        if (number_ >= 0) ::close(number_);
    }
    Descriptor(const Descriptor&) = delete;
    Descriptor& operator=(const Descriptor&) = delete;
    int number() const { return number_; }

private:
    int number_;
};

FileText problem(std::string why) { return {std::nullopt, std::move(why)}; }

std::string reason(int error) {
    switch (error) {
        case ENOENT:
            return "there is no such file";
        case ENOTDIR:
            return "a part of its path is not a folder";
        case EACCES:
            return "it may not be read";
        case ELOOP:
            return "its symbolic links go round in a circle";
        case ENAMETOOLONG:
            return "its path is too long";
        default:
            return std::generic_category().message(error);
    }
}

const char* sort_of(mode_t mode) {
    if (S_ISDIR(mode)) return "it is a folder";
    if (S_ISFIFO(mode)) return "it is a pipe, not a file";
    return "it is a device, not a file";
}

}  // namespace

FileText read_file(const std::filesystem::path& path) {
    const std::string too_large = "it is larger than " + std::to_string(Limits::file_bytes >> 20) + " MiB";
    // O_NONBLOCK: opening a pipe that nobody writes to must not wait.
    const Descriptor file(::open(path.c_str(), O_RDONLY | O_NONBLOCK | O_CLOEXEC | O_NOCTTY));
    if (file.number() < 0) return problem(reason(errno));
    struct stat status {};
    if (::fstat(file.number(), &status) != 0) return problem(reason(errno));
    if (!S_ISREG(status.st_mode)) return problem(sort_of(status.st_mode));
    if (status.st_size > static_cast<off_t>(Limits::file_bytes)) return problem(too_large);

    // The size may change under our hands, and some files report none: read until the end, but no further than allowed.
    std::string text;
    char block[1 << 16];
    while (true) {
        const ssize_t count = ::read(file.number(), block, sizeof block);
        if (count < 0 && errno == EINTR) continue;
        if (count < 0) return problem(reason(errno));
        if (count == 0) return {std::move(text), {}};
        text.append(block, static_cast<std::size_t>(count));
        if (text.size() > Limits::file_bytes) return problem(too_large);
    }
}

}  // namespace oventide
