#include <fcntl.h>
#include <sys/file.h>
#include <sys/stat.h>
#include <unistd.h>

#include <cerrno>
#include <chrono>
#include <cstring>
#include <system_error>
#include <thread>
#include <utility>

#include "oventide/journal.hpp"

namespace oventide::journal {
namespace {

Fault fault_of(int error) {
    switch (error) {
        case ENOENT:
        case ENOTDIR:
            return Fault::missing;
        case EACCES:
        case EPERM:
            return Fault::denied;
        case EROFS:
            return Fault::read_only;
        case ENOSPC:
        case EDQUOT:
        case EFBIG:
            return Fault::full;
        case EWOULDBLOCK:
            return Fault::busy;
        case EISDIR:
        case ELOOP:
            return Fault::not_a_file;
        default:
            return Fault::other;
    }
}

Failure failure_of(int error) { return {fault_of(error), std::generic_category().message(error)}; }

/// A file descriptor that is closed when it goes; closing it gives up its lock.
class Descriptor {
public:
    explicit Descriptor(int number) : number_(number) {}
    Descriptor(Descriptor&& other) noexcept : number_(std::exchange(other.number_, -1)) {}
    Descriptor& operator=(Descriptor&&) = delete;
    ~Descriptor() {
        if (number_ >= 0) ::close(number_);
    }
    int number() const { return number_; }

private:
    int number_;
};

std::string folder_of(const std::string& path) {
    const std::size_t slash = path.rfind('/');
    if (slash == std::string::npos) return ".";
    return slash == 0 ? "/" : path.substr(0, slash);
}

/// Until it succeeds or the system says something other than 'interrupted'.
template <class Call>
auto uninterrupted(const Call& call) {
    auto result = call();
    while (result < 0 && errno == EINTR) result = call();
    return result;
}

class SystemFile : public File {
public:
    SystemFile(Descriptor descriptor, std::string path) : descriptor_(std::move(descriptor)), path_(std::move(path)) {}

    std::optional<Failure> read(std::string& text) override {
        constexpr off_t kMost = off_t{256} << 20;
        struct stat status {};
        if (::fstat(descriptor_.number(), &status) != 0) return failure_of(errno);
        if (status.st_size > kMost) return Failure{Fault::other, "it is larger than 256 MiB"};
        text.resize(static_cast<std::size_t>(status.st_size));
        std::size_t done = 0;
        while (done < text.size()) {
            const ssize_t count = uninterrupted([&] {
                return ::pread(descriptor_.number(), text.data() + done, text.size() - done, static_cast<off_t>(done));
            });
            if (count < 0) return failure_of(errno);
            if (count == 0) break;
            done += static_cast<std::size_t>(count);
        }
        text.resize(done);
        return std::nullopt;
    }

    std::optional<Failure> append(std::string_view text) override {
        while (!text.empty()) {
            const ssize_t count =
                uninterrupted([&] { return ::write(descriptor_.number(), text.data(), text.size()); });
            if (count < 0) return failure_of(errno);
            text.remove_prefix(static_cast<std::size_t>(count));
        }
        return std::nullopt;
    }

    /// The folder too: the file may be new, and a command that made it may have died before it got there.
    std::optional<Failure> sync() override {
        if (uninterrupted([&] { return ::fsync(descriptor_.number()); }) != 0) return failure_of(errno);
        const Descriptor folder(::open(folder_of(path_).c_str(), O_RDONLY | O_DIRECTORY | O_CLOEXEC));
        if (folder.number() < 0) return failure_of(errno);
        const int result = uninterrupted([&] { return ::fsync(folder.number()); });
        if (result != 0 && errno != EINVAL) return failure_of(errno);  // some file systems know no such thing
        return std::nullopt;
    }

private:
    Descriptor descriptor_;
    std::string path_;
};

std::optional<Failure> lock(const Descriptor& descriptor, Access access) {
    constexpr int kTries = 200;
    constexpr std::chrono::milliseconds kPause{25};
    const int how = (access == Access::read ? LOCK_SH : LOCK_EX) | LOCK_NB;
    for (int i = 0; i < kTries; ++i) {
        if (uninterrupted([&] { return ::flock(descriptor.number(), how); }) == 0) return std::nullopt;
        if (errno != EWOULDBLOCK) return failure_of(errno);
        std::this_thread::sleep_for(kPause);
    }
    return Failure{Fault::busy, ""};
}

class SystemFiles : public Files {
public:
    std::variant<std::unique_ptr<File>, Failure> open(const std::string& path, Access access) override {
        // O_NONBLOCK: a pipe by that name must not hold the command up.
        const int flags = O_CLOEXEC | O_NONBLOCK | (access == Access::read ? O_RDONLY : O_RDWR | O_APPEND | O_CREAT);
        Descriptor descriptor(uninterrupted([&] { return ::open(path.c_str(), flags, 0666); }));
        if (descriptor.number() < 0) return failure_of(errno);
        struct stat status {};
        if (::fstat(descriptor.number(), &status) != 0) return failure_of(errno);
        if (!S_ISREG(status.st_mode)) return Failure{Fault::not_a_file, ""};
        if (auto failure = lock(descriptor, access)) return std::move(*failure);
        return std::make_unique<SystemFile>(std::move(descriptor), path);
    }
};

}  // namespace

Files& system_files() {
    static SystemFiles files;
    return files;
}

}  // namespace oventide::journal
