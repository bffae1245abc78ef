#pragma once
/// What happened on the day: a file beside the plan that entries are only ever added to.
///
/// The file is made to be read by a person and to survive anything. An entry is a line, and lines that begin with two
/// spaces belong to the entry above them; each entry carries its number and ends in a check of its own text:
///
///     oventide journal 1 Europe/London #8c1f3a52
///     1 2026-10-02T20:15+01:00 published 60b1f8a1c2d3e4f5 #0f9e8d7c
///       tart-case.1.mix 2026-10-03T05:10+01:00 2026-10-03T05:22+01:00 2026-10-03T05:22+01:00 by Ada on mixer
///       oven "deck oven" 2026-10-03T05:20+01:00 180C
///       wash tart-case.1.mix 2026-10-03T05:22+01:00 2026-10-03T05:27+01:00 Ada
///     2 2026-10-03T05:14+01:00 started tart-case.1.mix at 2026-10-03T05:12+01:00 #77aa4410
///
/// (the check of an entry of several lines stands at the end of its last line). Why so: a power cut leaves the
/// beginning of an entry, whose check is missing, so it cannot pass for an entry; the next command adds a remark below
/// it that it does not count, and it stays in the file and is shown. A number left out or a check that is wrong
/// anywhere else is damage: nothing is read or added then, and the place is named. Nothing is ever deleted.

#include <cstdint>
#include <memory>
#include <optional>
#include <string>
#include <string_view>
#include <variant>
#include <vector>

#include "oventide/clock.hpp"
#include "oventide/plan.hpp"
#include "oventide/time.hpp"
#include "oventide/timetable.hpp"

namespace oventide::journal {

// ------------------------------------------------------------------------------------------------- what happens

struct PublishedStep {
    std::string id;  ///< Row::id
    Instant start;
    Instant ready;
    Instant end;
    std::vector<std::string> who;   ///< names: of the one who does it all, or of each piece of work, by its start
    std::vector<std::string> uses;  ///< names of equipment
    friend bool operator==(const PublishedStep&, const PublishedStep&) = default;
};

/// An oven is switched on, turned to another setting, or off.
struct PublishedTurn {
    std::string oven;
    Instant at;
    std::optional<MilliCelsius> temperature;  ///< absent: off
    friend bool operator==(const PublishedTurn&, const PublishedTurn&) = default;
};

/// Somebody washes up after a step.
struct PublishedWashing {
    std::string step;
    Instant from;
    Instant to;
    std::string who;
    friend bool operator==(const PublishedWashing&, const PublishedWashing&) = default;
};

/// A timetable as it was announced, and the plan that it came from.
struct Published {
    std::string fingerprint;
    std::vector<PublishedStep> steps;
    std::vector<PublishedTurn> turns{};
    std::vector<PublishedWashing> washing{};
    friend bool operator==(const Published&, const Published&) = default;
};

struct Started {
    std::string step;
    Instant at;
    friend bool operator==(const Started&, const Started&) = default;
};
struct Finished {
    std::string step;
    Instant at;
    friend bool operator==(const Finished&, const Finished&) = default;
};
/// A running step is now expected to be ready at `at`.
struct WillEnd {
    std::string step;
    Instant at;
    friend bool operator==(const WillEnd&, const WillEnd&) = default;
};
struct Probe {
    std::string step;
    Instant at;
    MilliCelsius temperature = 0;
    friend bool operator==(const Probe&, const Probe&) = default;
};
/// A step's food lies `depth` (micrometres) deep from then on, whatever the plan says.
struct SpreadOut {
    std::string step;
    Instant at;
    std::int64_t depth = 0;
    friend bool operator==(const SpreadOut&, const SpreadOut&) = default;
};
/// Equipment that cannot be used, until it is mended or until the time given.
struct Broken {
    std::string equipment;
    Instant at;
    std::optional<Instant> until;
    friend bool operator==(const Broken&, const Broken&) = default;
};
struct Mended {
    std::string equipment;
    Instant at;
    friend bool operator==(const Mended&, const Mended&) = default;
};
/// Somebody is not there, until they arrive or until the time given.
struct Left {
    std::string person;
    Instant at;
    std::optional<Instant> until;
    friend bool operator==(const Left&, const Left&) = default;
};
struct Arrived {
    std::string person;
    Instant at;
    friend bool operator==(const Arrived&, const Arrived&) = default;
};
/// Somebody is there from `at` until `until`, whatever their hours say.
struct Stays {
    std::string person;
    Instant at;
    Instant until;
    friend bool operator==(const Stays&, const Stays&) = default;
};
/// An order is now collected at `at`.
struct PickupMoved {
    std::string order;
    Instant at;
    friend bool operator==(const PickupMoved&, const PickupMoved&) = default;
};
/// Entry `number` was asked about, and is so.
struct Confirmed {
    std::int32_t number = 0;
    friend bool operator==(const Confirmed&, const Confirmed&) = default;
};
/// Entry `number` was a mistake and counts no longer.
struct TakenBack {
    std::int32_t number = 0;
    friend bool operator==(const TakenBack&, const TakenBack&) = default;
};

using Event = std::variant<Published, Started, Finished, WillEnd, Probe, SpreadOut, Broken, Mended, Left, Arrived,
                           Stays, PickupMoved, Confirmed, TakenBack>;

struct Entry {
    std::int32_t number = 0;  ///< from 1, without gaps
    Instant recorded;         ///< when the command ran
    Event event;
    friend bool operator==(const Entry&, const Entry&) = default;
};

/// Lines that do not count: cut short by a power cut, or struck out by hand with a '!'.
struct Remnant {
    std::uint32_t line = 0;  ///< from 1
    std::string text;        ///< may hold anything
    friend bool operator==(const Remnant&, const Remnant&) = default;
};

struct Journal {
    std::string timezone;  ///< that clock times are written in; empty: nothing was ever recorded
    std::vector<Entry> entries;
    std::vector<Remnant> remnants;

    /// The entries that have not been taken back, in order; without the takings back.
    std::vector<const Entry*> standing() const;
    /// The timetable that was published last; null where none was.
    const Published* published() const;
};

// ----------------------------------------------------------------------------------------------------- trouble

/// Why nothing was read or recorded, in the cook's words, and what to do.
struct Trouble {
    enum class Kind {
        missing,      ///< the folder is not there
        denied,       ///< no right to read or write, or a read-only disk
        full,         ///< disk full, or over quota
        busy,         ///< another command has held the lock for too long
        not_journal,  ///< something else is at that path
        newer,        ///< written by a later version
        damaged,
        refused,    ///< the entry contradicts the journal
        overtaken,  ///< another command has recorded something since the journal was read
        failed      ///< anything else that the system says
    };
    Kind kind = Kind::failed;
    std::string message;
    std::string remedy;
    std::uint32_t line = 0;  ///< of the journal; 0: none
};

// ------------------------------------------------------------------------------------------------- text and back

/// A journal's text. `damage` is set where a line other than a torn end cannot be read; the journal then holds what
/// stands before it.
struct Parsed {
    Journal journal;
    std::optional<Trouble> damage;
    std::int32_t next_number = 1;
    bool begun = false;         ///< the first line is there and whole
    std::vector<Remnant> torn;  ///< at the end, cut short, and no remark says so yet; among the remnants too
    bool open_line = false;     ///< the last line has no end yet
};
Parsed parse(std::string_view text);

/// With its check and line ends.
std::string header_text(const std::string& timezone);
std::string entry_text(const Entry& entry, const clock::Zone& zone);

/// Why `event`, recorded now, contradicts what the journal says; empty where it does not. A step that starts twice,
/// ends before it starts, a time that is still to come, taking back what is not there.
std::optional<Trouble> objection(const Journal& journal, const clock::Zone& zone, Instant now, const Event& event);

/// Of a plan's texts: changes with every byte. Sixteen hexadecimal digits (CRC-64, ECMA-182); no protection against
/// intent.
std::string fingerprint(const Sources& sources);

Published publication(const Plan& plan, const Timetable& timetable, const std::string& fingerprint);

// ----------------------------------------------------------------------------------------------------- steps' names

/// A step as typed: its id, or the beginning of only one; capitals count as small letters.
struct StepName {
    std::string id;                       ///< empty: not found, or not only one
    std::vector<std::string> candidates;  ///< ids that begin so, or are nearest in spelling; at most five
    bool several = false;                 ///< the candidates begin with what was typed
};
StepName find_step(std::string_view typed, const std::vector<std::string>& ids);

/// How deep a step lies now, where it has been spread since it began; null where it has not.
const SpreadOut* last_spread(const Journal& journal, std::string_view step);

/// Steps that entries which still count speak of and that are not among `ids`, in the order of the journal.
std::vector<std::string> unmatched(const Journal& journal, const std::vector<std::string>& ids);

// ---------------------------------------------------------------------------------------------------------- files

/// What the system says when it will not.
enum class Fault { missing, denied, read_only, full, busy, not_a_file, other };

struct Failure {
    Fault fault = Fault::other;
    std::string detail;  ///< the system's own words
};

/// An open file, locked against other commands until it is destroyed.
class File {
public:
    virtual ~File() = default;
    /// All of it.
    virtual std::optional<Failure> read(std::string& text) = 0;
    /// At the end; on failure a beginning of `text` may have been written.
    virtual std::optional<Failure> append(std::string_view text) = 0;
    /// Returns when everything written, and the file's name in its folder, has reached the disk.
    virtual std::optional<Failure> sync() = 0;
};

enum class Access {
    read,    ///< shared with other readers
    extend,  ///< for this command alone; the file is made where it is missing
};

/// The file system as the journal needs it; tests put another in its place.
class Files {
public:
    virtual ~Files() = default;
    virtual std::variant<std::unique_ptr<File>, Failure> open(const std::string& path, Access access) = 0;
};

/// The real one (POSIX: flock, fsync). A lock that somebody else holds is waited for some seconds.
Files& system_files();

/// "harvest.toml" has its journal in "harvest.journal".
std::string path_for(const std::string& plan_path);

struct Loaded {
    Journal journal;  ///< empty where there is none yet
    std::optional<Trouble> trouble;
};
Loaded load(Files& files, const std::string& path);

/// Of its last entry; 0 where it has none.
std::int32_t last_number(const Journal& journal);

struct Recorded {
    std::vector<Entry> entries;     ///< as they now stand in the journal; with trouble none, or the first few
    std::vector<Remnant> remnants;  ///< torn ends that were found and marked by this very call; tell the cook
    std::optional<Trouble> trouble;
};

/// Adds `events` in order, if none of them meets an objection; on the disk when it returns without trouble. A disk that
/// fills up or a power cut may leave the first few. `now` and `zone` are for the record; the journal keeps the zone
/// that it began with. `last_seen`: the number of the last entry that the events were reckoned from, 0 where there was
/// none; where there is a later one by now, nothing is recorded.
Recorded record(Files& files, const std::string& path, const clock::Zone& zone, Instant now,
                const std::vector<Event>& events, std::optional<std::int32_t> last_seen = std::nullopt);

}  // namespace oventide::journal
