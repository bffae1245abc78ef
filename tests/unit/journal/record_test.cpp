#include <doctest/doctest.h>

#include <algorithm>
#include <map>
#include <string>
#include <utility>
#include <vector>

#include "oventide/journal.hpp"
#include "unit/journal/sample.hpp"

using namespace oventide;
using namespace oventide::journal;
using sample::at;

namespace {

/// A disk in memory that can fail, fill up, or lose its power after so many bytes.
class FakeFiles : public Files {
public:
    std::map<std::string, std::string> texts;
    std::optional<Failure> on_open;
    std::optional<Failure> on_sync;
    std::size_t room = std::string::npos;  ///< bytes that still fit
    int opened = 0;

    std::variant<std::unique_ptr<File>, Failure> open(const std::string& path, Access access) override {
        ++opened;
        if (on_open) return *on_open;
        if (access == Access::read && !texts.contains(path)) return Failure{Fault::missing, ""};
        return std::make_unique<FakeFile>(*this, texts[path]);
    }

private:
    class FakeFile : public File {
    public:
        FakeFile(FakeFiles& disk, std::string& text) : disk_(disk), text_(text) {}
        std::optional<Failure> read(std::string& text) override {
            text = text_;
            return std::nullopt;
        }
        std::optional<Failure> append(std::string_view text) override {
            const std::size_t fits = std::min(text.size(), disk_.room);
            text_ += text.substr(0, fits);
            if (disk_.room != std::string::npos) disk_.room -= fits;
            if (fits < text.size()) return Failure{Fault::full, "No space left on device"};
            return std::nullopt;
        }
        std::optional<Failure> sync() override { return disk_.on_sync; }

    private:
        FakeFiles& disk_;
        std::string& text_;
    };
};

const std::string kPath = "day.journal";

Recorded record_one(Files& files, int minute, const Event& event) {
    return record(files, kPath, sample::zone(), at(minute), {event});
}

std::vector<Event> events_of(const Journal& journal) {
    std::vector<Event> events;
    for (const Entry& entry : journal.entries) events.push_back(entry.event);
    return events;
}

}  // namespace

TEST_CASE("recording: entries are numbered and come back in order") {
    FakeFiles files;
    CHECK(load(files, kPath).journal.entries.empty());
    CHECK_FALSE(load(files, kPath).trouble);
    for (const Event& event : sample::events()) {
        const Recorded recorded = record_one(files, 900, event);
        REQUIRE_FALSE(recorded.trouble);
        REQUIRE(recorded.entries.size() == 1);
        CHECK(recorded.entries[0].event == event);
        CHECK(recorded.remnants.empty());
    }
    const Loaded loaded = load(files, kPath);
    CHECK_FALSE(loaded.trouble);
    CHECK(events_of(loaded.journal) == sample::events());
    CHECK(loaded.journal.timezone == "Europe/London");
    for (std::size_t i = 0; i < loaded.journal.entries.size(); ++i) {
        CHECK(loaded.journal.entries[i].number == static_cast<int>(i) + 1);
    }
}

TEST_CASE("recording: several at once, and none") {
    FakeFiles files;
    const Recorded recorded = record(files, kPath, sample::zone(), at(900), sample::events());
    CHECK(recorded.entries.size() == sample::events().size());
    CHECK(events_of(load(files, kPath).journal) == sample::events());
    const std::string before = files.texts[kPath];
    CHECK_FALSE(record(files, kPath, sample::zone(), at(901), {}).trouble);
    CHECK(files.texts[kPath] == before);
}

TEST_CASE("recording: a journal keeps the zone that it began with") {
    FakeFiles files;
    record_one(files, 900, Started{"a.1.mix", at(1)});
    const clock::Zone paris = *clock::Zone::find("Europe/Paris");
    REQUIRE_FALSE(record(files, kPath, paris, at(901), {Started{"b.1.mix", at(2)}}).trouble);
    CHECK(files.texts[kPath].find("+02:00") == std::string::npos);
    CHECK(files.texts[kPath].find("b.1.mix at 2026-10-03T05:02+01:00") != std::string::npos);
    CHECK(load(files, kPath).journal.timezone == "Europe/London");
}

TEST_CASE("recording: the power cut at every byte of every command") {
    // Whatever was recorded before is there, what was being written is there whole or is named, and the next command
    // goes on; nothing that once stood in the file ever leaves it.
    const std::vector<Event> events = sample::events();
    FakeFiles whole;
    record(whole, kPath, sample::zone(), at(900), {events[0]});
    const std::string first = whole.texts[kPath];
    record(whole, kPath, sample::zone(), at(900), {events[1]});
    const std::string second = whole.texts[kPath];

    for (std::size_t length = 0; length <= second.size(); ++length) {
        CAPTURE(length);
        FakeFiles files;
        files.texts[kPath] = second.substr(0, length);
        const std::size_t survived = load(files, kPath).journal.entries.size();
        REQUIRE(survived >= (length >= first.size() - 1 ? 1 : 0));

        // The next command is itself cut off at each of its bytes, and the one after it is not.
        FakeFiles uncut = files;
        const Recorded next = record(uncut, kPath, sample::zone(), at(901), {events[2]});
        REQUIRE_FALSE(next.trouble);
        const std::string after = uncut.texts[kPath];
        CHECK(after.starts_with(files.texts[kPath]));
        for (std::size_t again = length; again <= after.size(); again += (length % 7 == 0 ? 1 : 13)) {
            FakeFiles twice;
            twice.texts[kPath] = after.substr(0, again);
            const std::size_t counted = load(twice, kPath).journal.entries.size();
            REQUIRE(counted >= survived);
            const Recorded last = record(twice, kPath, sample::zone(), at(902), {events[3]});
            REQUIRE_FALSE(last.trouble);
            CHECK(twice.texts[kPath].starts_with(after.substr(0, again)));
            const Loaded loaded = load(twice, kPath);
            REQUIRE_FALSE(loaded.trouble);
            CHECK(loaded.journal.entries.size() == counted + 1);
            CHECK(loaded.journal.entries.back().event == events[3]);
        }
    }
}

TEST_CASE("recording: a torn end is told once by the command that finds it, and shown ever after") {
    FakeFiles files;
    record_one(files, 900, Started{"a.1.mix", at(1)});
    const std::string whole = files.texts[kPath];
    files.texts[kPath] += "2 2026-10-03T05:31+01:00 started b.1.m";
    const Recorded recorded = record_one(files, 901, Started{"c.1.mix", at(2)});
    REQUIRE(recorded.remnants.size() == 1);
    CHECK(recorded.remnants[0].line == 3);
    CHECK(recorded.remnants[0].text == "2 2026-10-03T05:31+01:00 started b.1.m");
    CHECK(recorded.entries[0].number == 2);
    CHECK(record_one(files, 902, Started{"d.1.mix", at(3)}).remnants.empty());
    CHECK(load(files, kPath).journal.remnants == recorded.remnants);
    CHECK(files.texts[kPath].starts_with(whole));
}

TEST_CASE("recording: damage is refused, placed, and nothing is changed") {
    FakeFiles files;
    for (const Event& event : sample::events()) record_one(files, 900, event);
    std::string& text = files.texts[kPath];
    text.replace(text.find("47.5C"), 5, "57.5C");
    const std::string before = text;
    const Recorded recorded = record_one(files, 901, Started{"c.1.mix", at(2)});
    REQUIRE(recorded.trouble);
    CHECK(recorded.trouble->kind == Trouble::Kind::damaged);
    CHECK(recorded.trouble->line == 7);
    CHECK_FALSE(recorded.trouble->remedy.empty());
    CHECK(recorded.entries.empty());
    CHECK(text == before);
    const Loaded loaded = load(files, kPath);
    REQUIRE(loaded.trouble);
    CHECK(loaded.journal.entries.size() == 2);
}

TEST_CASE("recording: what the system refuses is said in the cook's words, with what to do") {
    struct Row {
        Fault fault;
        Trouble::Kind kind;
        std::string says;
        std::string advises;
    };
    for (const Row& row :
         std::vector<Row>{{Fault::denied, Trouble::Kind::denied, "may not be written", "folder of your own"},
                          {Fault::read_only, Trouble::Kind::denied, "can only be read", "folder of your own"},
                          {Fault::full, Trouble::Kind::full, "disk is full", "make room"},
                          {Fault::busy, Trouble::Kind::busy, "another Oventide", "wait"},
                          {Fault::not_a_file, Trouble::Kind::not_journal, "no ordinary file", "move it"},
                          {Fault::missing, Trouble::Kind::missing, "is not there", "check the path"},
                          {Fault::other, Trouble::Kind::failed, "Input/output error", "paper"}}) {
        FakeFiles files;
        files.on_open = Failure{row.fault, "Input/output error"};
        const Recorded recorded = record_one(files, 1, Started{"a.1.mix", at(1)});
        REQUIRE(recorded.trouble);
        CAPTURE(recorded.trouble->message);
        CHECK(recorded.trouble->kind == row.kind);
        CHECK(recorded.trouble->message.find(row.says) != std::string::npos);
        CHECK(recorded.trouble->message.find("nothing was recorded") != std::string::npos);
        CHECK(recorded.trouble->remedy.find(row.advises) != std::string::npos);
        CHECK(recorded.entries.empty());
    }
}

TEST_CASE("recording: a disk that fills up at any byte, and has room again later") {
    const std::vector<Event> events = {Started{"a.1.mix", at(1)}, Started{"b.1.mix", at(2)}, Started{"c.1.mix", at(3)}};
    FakeFiles whole;
    record(whole, kPath, sample::zone(), at(900), events);
    const std::size_t size = whole.texts[kPath].size();
    for (std::size_t room = 0; room < size; ++room) {
        CAPTURE(room);
        FakeFiles files;
        files.room = room;
        const Recorded recorded = record(files, kPath, sample::zone(), at(900), events);
        REQUIRE(recorded.trouble);
        CHECK(recorded.trouble->kind == Trouble::Kind::full);
        CHECK(load(files, kPath).journal.entries == recorded.entries);
        files.room = std::string::npos;
        const std::vector<Event> rest(events.begin() + static_cast<std::ptrdiff_t>(recorded.entries.size()),
                                      events.end());
        CHECK_FALSE(record(files, kPath, sample::zone(), at(901), rest).trouble);
        CHECK(events_of(load(files, kPath).journal) == events);
    }
}

TEST_CASE("recording: a sync that fails is not passed over") {
    FakeFiles files;
    files.on_sync = Failure{Fault::other, "Input/output error"};
    const Recorded recorded = record_one(files, 900, Started{"a.1.mix", at(1)});
    REQUIRE(recorded.trouble);
    CHECK(recorded.trouble->message.find("power cut") != std::string::npos);
    CHECK(recorded.entries.empty());
}

TEST_CASE("recording: contradictions are refused and say which entry they meet") {
    struct Row {
        std::string name;
        std::vector<Event> before;
        Event event;
        std::string says;  // empty: recorded
    };
    const Started started{"a.1.mix", at(10)};
    const Finished finished{"a.1.mix", at(30)};
    for (const Row& row : std::vector<Row>{
             {"started", {}, started, ""},
             {"twice", {started}, Started{"a.1.mix", at(11)}, "a.1.mix started at 05:10, says entry 1"},
             {"since the day before",
              {Started{"a.1.mix", at(-600)}},
              started,
              "a.1.mix started at 19:00 on Fri 2 Oct, says entry 1"},
             {"another step", {started}, Started{"b.1.mix", at(11)}, ""},
             {"again after taking back", {started, TakenBack{1}}, Started{"a.1.mix", at(11)}, ""},
             {"finished without a start", {}, finished, ""},
             {"finished twice", {started, finished}, Finished{"a.1.mix", at(31)}, "finished at 05:30, says entry 2"},
             {"finished before it started", {started}, Finished{"a.1.mix", at(9)}, "it cannot finish before that"},
             {"started after it finished", {finished}, Started{"a.1.mix", at(31)}, "it cannot start after that"},
             {"in the time to come", {}, Started{"a.1.mix", at(101)}, "06:41 is still to come, and it is 06:40 now"},
             {"finished in the time to come", {}, Finished{"a.1.mix", at(101)}, "still to come"},
             {"read in the time to come", {}, Probe{"a.1.mix", at(101), 0}, "still to come"},
             {"spread in the time to come", {}, SpreadOut{"a.1.mix", at(101), 5'000}, "still to come"},
             {"spread before it started",
              {started},
              SpreadOut{"a.1.mix", at(9), 5'000},
              "cannot be spread before that"},
             {"spread though finished", {started, finished}, SpreadOut{"a.1.mix", at(40), 5'000}, "finished at 05:30"},
             {"spread", {started}, SpreadOut{"a.1.mix", at(40), 5'000}, ""},
             {"ends in the time to come", {started}, WillEnd{"a.1.mix", at(200)}, ""},
             {"ends before it started", {started}, WillEnd{"a.1.mix", at(9)}, "it cannot end before that"},
             {"ends though finished", {started, finished}, WillEnd{"a.1.mix", at(200)}, "finished at 05:30"},
             {"broken backwards", {}, Broken{"oven", at(50), at(50)}, "before it begins"},
             {"left backwards", {}, Left{"Ada", at(50), at(40)}, "before it begins"},
             {"confirmed", {started}, Confirmed{1}, ""},
             {"confirming nothing", {started}, Confirmed{2}, "there is no entry 2"},
             {"confirming what was taken back", {started, TakenBack{1}}, Confirmed{1}, "taken back already"},
             {"taking back nothing", {started}, TakenBack{2}, "there is no entry 2"},
             {"taking back twice", {started, TakenBack{1}}, TakenBack{1}, "taken back already"},
             {"taking a taking back back", {started, TakenBack{1}}, TakenBack{2}, "takes another entry back"},
             {"taking a timetable back", {sample::timetable()}, TakenBack{1}, "published timetable"}}) {
        CAPTURE(row.name);
        FakeFiles files;
        if (!row.before.empty()) REQUIRE_FALSE(record(files, kPath, sample::zone(), at(100), row.before).trouble);
        const std::string before = files.texts[kPath];
        const Recorded recorded = record_one(files, 100, row.event);
        REQUIRE(recorded.trouble.has_value() == !row.says.empty());
        if (row.says.empty()) continue;
        CHECK(recorded.trouble->kind == Trouble::Kind::refused);
        CHECK(recorded.trouble->message.find(row.says) != std::string::npos);
        CHECK_FALSE(recorded.trouble->remedy.empty());
        CHECK(files.texts[kPath] == before);
    }
}

TEST_CASE("recording: what was reckoned from a journal that has more in it by now is not recorded") {
    FakeFiles files;
    const auto tell = [&](const Event& event, std::int32_t last_seen) {
        return record(files, kPath, sample::zone(), at(100), {event}, last_seen);
    };
    CHECK_FALSE(tell(Started{"c.1.mix", at(2)}, 0).trouble);
    const std::string before = files.texts[kPath];
    const Recorded late = tell(WillEnd{"c.1.mix", at(120)}, 0);
    REQUIRE(late.trouble);
    CHECK(late.trouble->kind == Trouble::Kind::overtaken);
    CHECK(late.entries.empty());
    CHECK(files.texts[kPath] == before);
    CHECK_FALSE(tell(WillEnd{"c.1.mix", at(120)}, 1).trouble);
    CHECK(last_number(load(files, kPath).journal) == 2);
}

TEST_CASE("recording: of several events one that contradicts keeps all out") {
    FakeFiles files;
    const Recorded recorded =
        record(files, kPath, sample::zone(), at(100), {Started{"a.1.mix", at(1)}, Started{"a.1.mix", at(2)}});
    CHECK(recorded.trouble);
    CHECK(files.texts[kPath].empty());
}

TEST_CASE("the journal stands beside its plan") {
    CHECK(path_for("harvest.toml") == "harvest.journal");
    CHECK(path_for("plans/harvest.supper.toml") == "plans/harvest.supper.journal");
    CHECK(path_for("my.plans/harvest") == "my.plans/harvest.journal");
    CHECK(path_for(".hidden") == ".hidden.journal");
    CHECK(path_for("/a/.hidden") == "/a/.hidden.journal");
}
