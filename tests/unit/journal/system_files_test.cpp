#include <doctest/doctest.h>
#include <signal.h>
#include <sys/resource.h>
#include <sys/stat.h>
#include <sys/wait.h>
#include <unistd.h>

#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <string>
#include <vector>

#include "oventide/journal.hpp"
#include "unit/journal/sample.hpp"

using namespace oventide;
using namespace oventide::journal;
using sample::at;

namespace {

/// A folder of its own that goes with the test.
class Folder {
public:
    Folder() {
        std::string name = (std::filesystem::temp_directory_path() / "oventide-journal-XXXXXX").string();
        REQUIRE(::mkdtemp(name.data()) != nullptr);
        path_ = name;
    }
    ~Folder() { std::filesystem::remove_all(path_); }
    std::string file(const std::string& name) const { return path_ + "/" + name; }

private:
    std::string path_;
};

/// Steps of one writer are told from another's by their name.
Started step_of(int writer, int i) {
    return {"writer-" + std::to_string(writer) + ".1.step-" + std::to_string(i), at(1)};
}

/// Records steps `first` to below `last` and says each number to `out` once it is on the disk.
[[noreturn]] void record_all(const std::string& path, int writer, int first, int last, int out) {
    const clock::Zone zone = *clock::Zone::find("Europe/London");
    for (int i = first; i < last; ++i) {
        if (record(system_files(), path, zone, at(900), {step_of(writer, i)}).trouble) ::_exit(1);
        if (out >= 0 && ::write(out, &i, sizeof i) != static_cast<ssize_t>(sizeof i)) ::_exit(2);
    }
    ::_exit(0);
}

bool holds(const Journal& journal, const Event& event) {
    for (const Entry& entry : journal.entries) {
        if (entry.event == event) return true;
    }
    return false;
}

}  // namespace

TEST_CASE("journal on a real disk: recorded and loaded") {
    const Folder folder;
    const std::string path = folder.file("day.journal");
    CHECK_FALSE(load(system_files(), path).trouble);
    CHECK_FALSE(std::filesystem::exists(path));
    for (const Event& event : sample::events()) {
        REQUIRE_FALSE(record(system_files(), path, sample::zone(), at(900), {event}).trouble);
    }
    const Loaded loaded = load(system_files(), path);
    CHECK_FALSE(loaded.trouble);
    CHECK(loaded.journal.entries.size() == sample::events().size());
}

TEST_CASE("journal on a real disk: paths that will not do") {
    const Folder folder;
    const auto kind_of = [&](const std::string& path) {
        const Recorded recorded = record(system_files(), path, sample::zone(), at(900), {step_of(1, 1)});
        REQUIRE(recorded.trouble);
        return recorded.trouble->kind;
    };
    CHECK(kind_of(folder.file("nowhere/day.journal")) == Trouble::Kind::missing);

    std::filesystem::create_directory(folder.file("folder.journal"));
    CHECK(kind_of(folder.file("folder.journal")) == Trouble::Kind::not_journal);
    CHECK(load(system_files(), folder.file("folder.journal")).trouble);

    std::filesystem::create_symlink("self.journal", folder.file("self.journal"));
    CHECK(kind_of(folder.file("self.journal")) == Trouble::Kind::not_journal);

    REQUIRE(::mkfifo(folder.file("pipe.journal").c_str(), 0600) == 0);
    CHECK(kind_of(folder.file("pipe.journal")) == Trouble::Kind::not_journal);

    CHECK(kind_of("/dev/full") == Trouble::Kind::not_journal);

    std::ofstream(folder.file("plan.journal")) << "title = \"Harvest supper\"\n";
    CHECK(kind_of(folder.file("plan.journal")) == Trouble::Kind::not_journal);

    if (::geteuid() != 0) {  // nothing is forbidden to root
        std::ofstream(folder.file("locked.journal")) << header_text("Europe/London");
        ::chmod(folder.file("locked.journal").c_str(), 0400);
        CHECK(kind_of(folder.file("locked.journal")) == Trouble::Kind::denied);
    }
}

TEST_CASE("journal on a real disk: no more room") {
    // A limit on the size of files stands in for a full disk; the system then writes what fits, as a full disk does.
    const Folder folder;
    const std::string path = folder.file("day.journal");
    const pid_t child = ::fork();
    REQUIRE(child >= 0);
    if (child == 0) {
        ::signal(SIGXFSZ, SIG_IGN);
        const rlimit limit{300, 300};
        if (::setrlimit(RLIMIT_FSIZE, &limit) != 0) ::_exit(100);
        const clock::Zone zone = *clock::Zone::find("Europe/London");
        for (int i = 0; i < 50; ++i) {
            const Recorded recorded = record(system_files(), path, zone, at(900), {step_of(1, i)});
            if (recorded.trouble) ::_exit(recorded.trouble->kind == Trouble::Kind::full ? i : 101);
        }
        ::_exit(102);
    }
    int status = 0;
    REQUIRE(::waitpid(child, &status, 0) == child);
    REQUIRE(WIFEXITED(status));
    const int recorded = WEXITSTATUS(status);
    CHECK(recorded > 0);
    CHECK(recorded < 50);
    const Loaded loaded = load(system_files(), path);
    REQUIRE_FALSE(loaded.trouble);
    CHECK(loaded.journal.entries.size() == static_cast<std::size_t>(recorded));
    CHECK(loaded.journal.remnants.size() == 1);
    CHECK_FALSE(record(system_files(), path, sample::zone(), at(901), {step_of(2, 0)}).trouble);
}

TEST_CASE("journal on a real disk: commands at once lose nothing") {
    const Folder folder;
    const std::string path = folder.file("day.journal");
    constexpr int kWriters = 4;
    constexpr int kEach = 12;
    std::vector<pid_t> children;
    for (int writer = 0; writer < kWriters; ++writer) {
        const pid_t child = ::fork();
        REQUIRE(child >= 0);
        if (child == 0) record_all(path, writer, 0, kEach, -1);
        children.push_back(child);
    }
    for (const pid_t child : children) {
        int status = 0;
        REQUIRE(::waitpid(child, &status, 0) == child);
        CHECK(WIFEXITED(status));
        CHECK(WEXITSTATUS(status) == 0);
    }
    const Loaded loaded = load(system_files(), path);
    REQUIRE_FALSE(loaded.trouble);
    CHECK(loaded.journal.entries.size() == kWriters * kEach);
    CHECK(loaded.journal.remnants.empty());
    for (int writer = 0; writer < kWriters; ++writer) {
        for (int i = 0; i < kEach; ++i) CHECK(holds(loaded.journal, step_of(writer, i)));
    }
}

TEST_CASE("journal on a real disk: killed again and again, every entry that was answered is there") {
    const Folder folder;
    const std::string path = folder.file("day.journal");
    constexpr int kKills = 60;
    constexpr int kMany = 1000;  // never reached: the kill comes first
    std::vector<Event> answered;
    for (int round = 0; round < kKills; ++round) {
        CAPTURE(round);
        int ends[2];
        REQUIRE(::pipe(ends) == 0);
        const pid_t child = ::fork();
        REQUIRE(child >= 0);
        if (child == 0) {
            ::close(ends[0]);
            record_all(path, round, 0, kMany, ends[1]);
        }
        ::close(ends[1]);
        // Killed at whatever point it has reached after so many answers, wherever the system lets it be.
        int said = 0;
        for (int answers = round % 4; answers > 0; --answers) {
            REQUIRE(::read(ends[0], &said, sizeof said) == static_cast<ssize_t>(sizeof said));
            answered.push_back(step_of(round, said));
        }
        for (int spin = 0; spin < round * 2000; ++spin) asm volatile("");
        REQUIRE(::kill(child, SIGKILL) == 0);
        while (::read(ends[0], &said, sizeof said) == static_cast<ssize_t>(sizeof said)) {
            answered.push_back(step_of(round, said));
        }
        ::close(ends[0]);
        int status = 0;
        REQUIRE(::waitpid(child, &status, 0) == child);
        REQUIRE(WIFSIGNALED(status));

        const Loaded loaded = load(system_files(), path);
        REQUIRE_FALSE(loaded.trouble);
        CHECK(loaded.journal.entries.size() >= answered.size());
    }
    const Loaded loaded = load(system_files(), path);
    CHECK(answered.size() >= kKills);
    for (const Event& event : answered) CHECK(holds(loaded.journal, event));
}
