#include <algorithm>

#include "journal/text.hpp"
#include "oventide/journal.hpp"

namespace oventide::journal {
namespace {

enum class Doing { reading, recording, syncing };

/// The folder that `path` lies in, as a cook would say it.
std::string folder_of(const std::string& path) {
    const std::size_t slash = path.rfind('/');
    return slash == std::string::npos ? "this folder" : "the folder '" + path.substr(0, slash) + "'";
}

/// Trouble with the system, in the cook's words.
Trouble trouble_of(const Failure& failure, const std::string& path, Doing doing) {
    const bool recording = doing != Doing::reading;
    const std::string nothing = doing == Doing::recording ? "; nothing was recorded"
                                : doing == Doing::syncing ? "; what you recorded may be lost in a power cut"
                                                          : "";
    const std::string paper = "note it on paper with the time; ";
    switch (failure.fault) {
        case Fault::missing:
            return {Trouble::Kind::missing, folder_of(path) + " is not there" + nothing, "check the path of the plan",
                    0};
        case Fault::denied:
            return {Trouble::Kind::denied,
                    "the journal '" + path + "' may not be " + (recording ? "written" : "read") + nothing,
                    (recording ? paper : "") +
                        "ask for the right to it, or copy the plan and its journal to a folder of your own",
                    0};
        case Fault::read_only:
            return {Trouble::Kind::denied, folder_of(path) + " is on a disk that can only be read" + nothing,
                    paper + "copy the plan and its journal to a folder of your own and record it there", 0};
        case Fault::full:
            return {Trouble::Kind::full, "the disk is full" + nothing,
                    paper + "make room on the disk that holds " + folder_of(path) + ", then record it again", 0};
        case Fault::busy:
            return {Trouble::Kind::busy, "another Oventide is at work on the journal '" + path + "'" + nothing,
                    "wait for it to finish, or end it, then try again", 0};
        case Fault::not_a_file:
            return {Trouble::Kind::not_journal, "'" + path + "' is no ordinary file" + nothing, "move it elsewhere", 0};
        case Fault::other:
            break;
    }
    return {Trouble::Kind::failed, "the journal '" + path + "' cannot be used: " + failure.detail + nothing,
            recording ? paper + "then try again" : "try again", 0};
}

/// What must stand in front of the next entry: an end for an open line, a remark under a torn end, the first line.
std::string preparation(const Parsed& parsed, const std::string& timezone) {
    std::string text;
    if (parsed.open_line) text += "\n";
    if (!parsed.torn.empty()) text += sealed(kTornRemark);
    if (!parsed.begun) text += header_text(timezone);
    return text;
}

/// A journal is written in one zone from its first line to its last.
clock::Zone zone_of(const Journal& journal, const clock::Zone& given) {
    if (journal.timezone.empty()) return given;
    return clock::Zone::find(journal.timezone).value_or(given);
}

Trouble overtaken() {
    return {Trouble::Kind::overtaken, "another command was quicker to record something; nothing was recorded",
            "try again", 0};
}

/// After an append that stopped midway: says which entries got through, if any did.
Recorded only_some(File& file, const Failure& failure, const std::string& path, Recorded tried) {
    Recorded result;
    result.trouble = trouble_of(failure, path, Doing::recording);
    std::string text;
    if (file.read(text) || file.sync()) return result;
    const std::vector<Entry> there = parse(text).journal.entries;
    for (Entry& entry : tried.entries) {
        if (std::ranges::find(there, entry) != there.end()) result.entries.push_back(std::move(entry));
    }
    if (!result.entries.empty()) {
        result.trouble->message += " but the first " + std::to_string(result.entries.size()) + " of " +
                                   std::to_string(tried.entries.size()) + " entries";
    }
    return result;
}

}  // namespace

std::int32_t last_number(const Journal& journal) { return journal.entries.empty() ? 0 : journal.entries.back().number; }

std::string path_for(const std::string& plan_path) {
    const std::size_t slash = plan_path.rfind('/');
    const std::size_t dot = plan_path.rfind('.');
    const std::size_t name = slash == std::string::npos ? 0 : slash + 1;
    const bool has_ending = dot != std::string::npos && dot > name;
    return (has_ending ? plan_path.substr(0, dot) : plan_path) + ".journal";
}

Loaded load(Files& files, const std::string& path) {
    auto opened = files.open(path, Access::read);
    if (const auto* failure = std::get_if<Failure>(&opened)) {
        if (failure->fault == Fault::missing) return {};
        return {{}, trouble_of(*failure, path, Doing::reading)};
    }
    std::string text;
    if (const auto failure = std::get<std::unique_ptr<File>>(opened)->read(text)) {
        return {{}, trouble_of(*failure, path, Doing::reading)};
    }
    Parsed parsed = parse(text);
    return {std::move(parsed.journal), std::move(parsed.damage)};
}

Recorded record(Files& files, const std::string& path, const clock::Zone& zone, Instant now,
                const std::vector<Event>& events, std::optional<std::int32_t> last_seen) {
    const auto failed = [&](const Failure& failure) {
        return Recorded{{}, {}, trouble_of(failure, path, Doing::recording)};
    };
    if (events.empty()) return {};
    auto opened = files.open(path, Access::extend);
    if (const auto* failure = std::get_if<Failure>(&opened)) return failed(*failure);
    File& file = *std::get<std::unique_ptr<File>>(opened);

    std::string before;
    if (const auto failure = file.read(before)) return failed(*failure);
    Parsed parsed = parse(before);
    if (parsed.damage) return {{}, {}, std::move(parsed.damage)};
    if (last_seen && last_number(parsed.journal) != *last_seen) return {{}, {}, overtaken()};

    Recorded result;
    const clock::Zone written_in = zone_of(parsed.journal, zone);
    std::string text = preparation(parsed, zone.name());
    for (const Event& event : events) {
        if (auto trouble = objection(parsed.journal, written_in, now, event)) return {{}, {}, std::move(trouble)};
        parsed.journal.entries.push_back({parsed.next_number++, now, event});
        result.entries.push_back(parsed.journal.entries.back());
        text += entry_text(result.entries.back(), written_in);
    }
    result.remnants = std::move(parsed.torn);
    if (const auto failure = file.append(text)) return only_some(file, *failure, path, std::move(result));
    if (const auto failure = file.sync()) {
        result.trouble = trouble_of(*failure, path, Doing::syncing);
        result.entries.clear();
    }
    return result;
}

}  // namespace oventide::journal
