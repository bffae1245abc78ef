#include "cli/day.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "cli/day_chills.hpp"
#include "cli/note.hpp"
#include "cli/now.hpp"
#include "cli/output.hpp"
#include "cli/terminal.hpp"
#include "journal/machine_names.hpp"
#include "oventide/clock.hpp"
#include "oventide/journal.hpp"
#include "oventide/replan.hpp"
#include "oventide/report.hpp"
#include "report/need_note.hpp"

namespace oventide::cli {
namespace {

ExitCode refuse(const std::string& problem, const std::string& advice, ExitCode code = ExitCode::wrong) {
    write_error(fmt::format("oventide: {}\n{}{}", problem, advice, advice.empty() ? "" : "\n"));
    return code;
}

ExitCode refuse(const journal::Trouble& trouble) {
    const bool of_the_note = trouble.kind == journal::Trouble::Kind::refused;
    const std::string where = trouble.line > 0 ? fmt::format("line {}: ", trouble.line) : "";
    return refuse(where + trouble.message, trouble.remedy, of_the_note ? ExitCode::wrong : ExitCode::unwritten);
}

/// Everything that a command of the day begins with.
struct Desk {
    const Reading& reading;
    const Arguments& arguments;
    clock::Zone zone;
    Instant now;
    std::string path;
    journal::Journal journal;

    /// What was reckoned from the journal as it was read is recorded only where that is still all.
    journal::Recorded record(const std::vector<journal::Event>& events) {
        return record(events, journal::last_number(journal));
    }

    journal::Recorded record(const std::vector<journal::Event>& events, std::optional<std::int32_t> last_seen) {
        journal::Recorded recorded = journal::record(journal::system_files(), path, zone, now, events, last_seen);
        for (const journal::Remnant& remnant : recorded.remnants)
            write_error(
                fmt::format("oventide: line {} of the journal is cut short and does not count\n", remnant.line));
        journal.entries.insert(journal.entries.end(), recorded.entries.begin(), recorded.entries.end());
        return recorded;
    }
};

/// False where `code` says why.
bool read_journal(Desk& desk, ExitCode& code) {
    journal::Loaded loaded = journal::load(journal::system_files(), desk.path);
    if (loaded.trouble) {
        code = refuse(*loaded.trouble);
        return false;
    }
    desk.journal = std::move(loaded.journal);
    for (const journal::Renamed& one : journal::name_machines(desk.journal, desk.reading.plan->kitchen))
        write_error(fmt::format("oventide: what is noted of '{}' counts for {}, the first {} in the plan\n", one.noted,
                                one.now, one.noted));
    return true;
}

/// Empty where `code` says why.
std::optional<Desk> open_desk(const Reading& reading, const Arguments& arguments, ExitCode& code) {
    if (arguments.plan == "-") {
        code = refuse("a plan from standard input has no journal", "save the plan as a file");
        return std::nullopt;
    }
    const auto time = now();
    if (!time) {
        code = refuse("OVENTIDE_NOW is set, but not to a time like 2026-10-03T05:10Z", "");
        return std::nullopt;
    }
    Desk desk{reading, arguments, *clock::Zone::find(reading.plan->timezone), *time, journal::path_for(arguments.plan),
              {}};
    if (!read_journal(desk, code)) return std::nullopt;
    return desk;
}

/// So often something is reckoned anew because another command was quicker.
constexpr int kMostTries = 20;

/// Records what `reckon` makes of the journal: anew from what is in it by then, where another command was quicker.
/// Absent where `code` says why.
template <class Reckon>
std::optional<journal::Recorded> record_reckoned(Desk& desk, ExitCode& code, Reckon reckon) {
    for (int tries = 1;; ++tries) {
        const std::optional<std::vector<journal::Event>> events = reckon();
        if (!events) return std::nullopt;
        journal::Recorded recorded = desk.record(*events);
        const bool overtaken = recorded.trouble && recorded.trouble->kind == journal::Trouble::Kind::overtaken;
        if (!overtaken || tries == kMostTries) return recorded;
        if (!read_journal(desk, code)) return std::nullopt;
    }
}

/// The journal's own line about an entry, without its check.
std::string entry_line(const journal::Entry& entry, const clock::Zone& zone) {
    const std::string text = journal::entry_text(entry, zone);
    const std::string line = text.substr(0, text.find('\n'));
    return line.substr(0, line.rfind(" #"));
}

/// What a correction takes back is said: its number is easily mistaken.
std::string noted_line(const journal::Entry& entry, const Desk& desk) {
    std::string text = fmt::format("noted: {}\n", entry_line(entry, desk.zone));
    if (const auto* taken = std::get_if<journal::TakenBack>(&entry.event))
        for (const journal::Entry& other : desk.journal.entries)
            if (other.number == taken->number) text += fmt::format("  it was: {}\n", entry_line(other, desk.zone));
    return text;
}

/// Absent where `code` says why.
std::optional<std::vector<journal::Event>> events_of(const Desk& desk, const std::vector<std::string>& words,
                                                     ExitCode& code) {
    NoteReading note =
        read_note(words, {*desk.reading.plan, *desk.reading.expansion, desk.zone, desk.journal, desk.now});
    for (const std::string& step : note.left_out) write_error(fmt::format("oventide: not noted: {}\n", step));
    if (!note.doubt.empty()) write_error(fmt::format("oventide: {}\n", note.doubt));
    if (note.events.empty() && note.nothing_new)
        write_error(fmt::format("oventide: {}\n", note.problem));
    else if (note.events.empty())
        code = refuse(note.problem, note.advice);
    if (note.events.empty() && !note.nothing_new) return std::nullopt;
    return std::move(note.events);
}

constexpr std::size_t kFew = 3;  ///< entries that are shown one by one

std::string entry_lines(const std::vector<journal::Entry>& entries, const Desk& desk) {
    if (entries.size() > kFew)
        return fmt::format("noted: entries {} to {}, as announced\n", entries.front().number, entries.back().number);
    std::string text;
    for (const journal::Entry& entry : entries) text += noted_line(entry, desk);
    return text;
}

ExitCode take_note(Desk& desk) {
    ExitCode code = ExitCode::wrong;
    const auto recorded = record_reckoned(desk, code, [&] { return events_of(desk, desk.arguments.words, code); });
    if (!recorded) return code;
    const std::string noted = recorded->entries.empty() ? "" : entry_lines(recorded->entries, desk);
    if (!recorded->trouble) return print(noted, ExitCode::timetable);
    print(noted, ExitCode::unwritten);
    return refuse(*recorded->trouble);
}

std::vector<std::string> words_of(const std::string& text) {
    std::vector<std::string> words;
    for (std::size_t from = 0; from < text.size();) {
        const std::size_t to = std::min(text.find(' ', from), text.size());
        if (to > from) words.push_back(text.substr(from, to - from));
        from = to + 1;
    }
    return words;
}

bool think(Desk& desk, const std::vector<journal::Event>& events, ExitCode& code) {
    for (const journal::Event& event : events) {
        if (const auto trouble = journal::objection(desk.journal, desk.zone, desk.now, event)) {
            code = refuse(*trouble);
            return false;
        }
        const auto number = static_cast<std::int32_t>(desk.journal.entries.size()) + 1;
        desk.journal.entries.push_back({number, desk.now, event});
    }
    return true;
}

/// What is said of one step comes before what is said of all the others: 'on-time' is of those.
std::vector<std::vector<std::string>> in_order(const std::vector<std::string>& notes) {
    std::vector<std::vector<std::string>> ordered;
    for (const std::string& note : notes) ordered.push_back(words_of(note));
    std::ranges::stable_partition(ordered, [](const std::vector<std::string>& words) {
        return !words.empty() && (words.front() == "started" || words.front() == "finished");
    });
    return ordered;
}

using Notes = std::vector<std::vector<journal::Event>>;

/// What the notes that came with the command say, each on top of those before it. Absent where `code` says why.
std::optional<Notes> read_notes(Desk& thought, ExitCode& code) {
    Notes notes;
    for (const std::vector<std::string>& words : in_order(thought.arguments.notes)) {
        auto events = events_of(thought, words, code);
        if (!events || !think(thought, *events, code)) return std::nullopt;
        notes.push_back(std::move(*events));
    }
    return notes;
}

/// Note by note, as far as they were recorded.
std::string notes_lines(const Notes& notes, const std::vector<journal::Entry>& entries, const Desk& desk) {
    std::string text;
    auto next = entries.begin();
    for (const auto& events : notes) {
        const auto count = std::min<std::ptrdiff_t>(std::ssize(events), entries.end() - next);
        if (count > 0) text += entry_lines({next, next + count}, desk);
        next += count;
    }
    return text;
}

/// None is recorded before all are read, and all at once. With --dry-run they are only thought.
bool take_notes(Desk& desk, ExitCode& code) {
    if (desk.arguments.dry_run) return read_notes(desk, code).has_value();
    std::optional<Notes> notes;
    const auto recorded = record_reckoned(desk, code, [&]() -> std::optional<std::vector<journal::Event>> {
        Desk thought = desk;
        notes = read_notes(thought, code);
        if (!notes) return std::nullopt;
        std::vector<journal::Event> all;
        for (const auto& events : *notes) all.insert(all.end(), events.begin(), events.end());
        return all;
    });
    if (!recorded) return false;
    if (!desk.arguments.json) write_error(notes_lines(*notes, recorded->entries, desk));
    if (recorded->trouble) code = refuse(*recorded->trouble);
    return !recorded->trouble;
}

/// What is announced now: of what has happened, who did it with what stays as it was said.
journal::Published announcement(const Desk& desk, const replan::Situation& situation, const replan::Replanned& result) {
    const journal::Published& before = *desk.journal.published();
    journal::Published next =
        journal::publication(situation.today, *result.timetable, journal::fingerprint(desk.reading.sources));
    for (journal::PublishedStep& step : next.steps) {
        const auto old = std::ranges::find(before.steps, step.id, &journal::PublishedStep::id);
        const auto id = std::ranges::find(desk.reading.expansion->project.activities, step.id, &Activity::name) -
                        desk.reading.expansion->project.activities.begin();
        if (old == before.steps.end() || situation.steps[id].state == replan::State::waiting) continue;
        step.uses = old->uses;
        const auto row = std::ranges::find(result.timetable->rows, step.id, &Row::id);
        const auto to_come = [&](const HandsUse& hands) { return hands.span.from >= situation.now; };
        if (std::ranges::none_of(row->hands, to_come)) step.who = old->who;
    }
    return next;
}

DayChills chills_of(const Desk& desk) { return {*desk.reading.plan, *desk.reading.expansion, desk.journal}; }

/// Where there is no timetable for all that is ordered, there may be one for less.
void take_fewer(const Desk& desk, const replan::Options& options, Standing& standing) {
    const Reading& reading = desk.reading;
    const auto forecast = [&](const Plan& plan, const Expansion& expansion) {
        return DayChills(plan, expansion, desk.journal).forecast();
    };
    standing.instead = replan::with_fewer(*reading.plan, *reading.expansion, desk.journal, standing.situation,
                                          standing.result, forecast, options);
    if (!standing.instead) return;
    standing.situation = standing.instead->situation;
    standing.result = std::move(standing.instead->result);
}

/// Absent where `code` says why.
std::optional<Standing> stand(const Desk& desk, ExitCode& code) {
    const Reading& reading = desk.reading;
    const bool edited = desk.journal.published()->fingerprint != journal::fingerprint(reading.sources);
    if (edited) write_error("oventide: the plan was edited after it was published; steps are matched by their ids\n");
    Standing standing{
        replan::situation(*reading.plan, *reading.expansion, desk.journal, desk.now, chills_of(desk).forecast()), {}};
    standing.situation.edited = edited;
    replan::Options options;
    options.keep_margins = desk.arguments.keep_margins;
    standing.result = replan::replan(*reading.plan, *reading.expansion, desk.journal, standing.situation, options);
    take_fewer(desk, options, standing);
    if (standing.result.unsound.empty()) return standing;
    write_error("oventide: an error of this program: its timetable breaks a rule, so it is not printed\n");
    for (const std::string& fault : standing.result.unsound) write_error(fault + "\n");
    code = ExitCode::internal_error;
    return std::nullopt;
}

ExitCode refuse_unpublished(const Desk& desk) {
    return refuse("no timetable has been published for this plan",
                  fmt::format("'oventide publish {}' says what is announced", desk.arguments.plan));
}

bool is_as_things_are(const replan::Replanned& result) {
    return result.timetable && result.way != replan::Replanned::Way::conditional;
}

bool changes_anything(const replan::Replanned& result) {
    return !result.changes.empty() || !result.turns.empty() || !result.washing.empty();
}

ExitCode replan_day(Desk& desk) {
    if (desk.journal.published() == nullptr) return refuse_unpublished(desk);
    ExitCode code = ExitCode::wrong;
    if (!take_notes(desk, code)) return code;
    std::optional<Standing> standing;
    const auto recorded = record_reckoned(desk, code, [&]() -> std::optional<std::vector<journal::Event>> {
        standing = stand(desk, code);
        if (!standing) return std::nullopt;
        if (!standing->instead)
            replan::offer_spreading(*desk.reading.plan, *desk.reading.expansion, desk.journal, standing->situation,
                                    chills_of(desk).cold_if_spread(standing->situation), standing->result);
        if (desk.arguments.dry_run || !is_as_things_are(standing->result) || !changes_anything(standing->result))
            return std::vector<journal::Event>{};
        return std::vector<journal::Event>{announcement(desk, standing->situation, standing->result)};
    });
    if (!recorded) return code;
    if (recorded->trouble) return refuse(*recorded->trouble);
    const replan::Situation& situation = standing->situation;
    const replan::Replanned& result = standing->result;
    const replan::Instead* instead = standing->instead.get();
    const Expansion& expansion = instead != nullptr ? instead->expansion : *desk.reading.expansion;
    const DayChills chills(instead != nullptr ? instead->plan : *desk.reading.plan, expansion, desk.journal);
    const report::Day day{expansion, desk.zone, situation, result, chills.under_way(situation, result)};
    const std::string text = desk.arguments.json
                                 ? report::replan_json(day)
                                 : report::replan_text(day, page_style(desk.arguments.width, desk.arguments.ascii));
    return print(text, is_as_things_are(result) ? ExitCode::timetable : ExitCode::none);
}

}  // namespace

bool is_of_the_day(Command command) { return command == Command::note || command == Command::replan; }

ExitCode publish(const Reading& reading, const Answer& answer, const Arguments& arguments) {
    ExitCode code = ExitCode::wrong;
    auto desk = open_desk(reading, arguments, code);
    if (!desk) return code;
    const journal::Recorded recorded = desk->record(
        {journal::publication(*reading.plan, *answer.timetable, journal::fingerprint(reading.sources))}, std::nullopt);
    if (recorded.trouble) return refuse(*recorded.trouble);
    return print(fmt::format("published: {} steps, entry {} of {}\n", answer.timetable->rows.size(),
                             recorded.entries.front().number, desk->path),
                 ExitCode::timetable);
}

ExitCode run_day(const Reading& reading, const Arguments& arguments) {
    ExitCode code = ExitCode::wrong;
    auto desk = open_desk(reading, arguments, code);
    if (!desk) return code;
    return arguments.command == Command::note ? take_note(*desk) : replan_day(*desk);
}

namespace {

/// What would make one, where that is known: it may be that it only is not noted yet.
std::string what_to_note(const Desk& desk, const replan::Replanned& result) {
    if (result.way != replan::Replanned::Way::conditional) return "";
    const Kitchen& kitchen = desk.reading.plan->kitchen;
    if (!result.fewer.empty()) return "there is one with less of what is ordered\n";
    std::vector<std::string> notes;
    for (const replan::Need& need : result.needs) {
        const bool equipment = need.kind == replan::Need::Kind::mended;
        notes.push_back(report::need_note(need.kind,
                                          equipment ? kitchen.equipment[need.what].name : kitchen.crew[need.what].name,
                                          clock::clock_text(desk.zone.local(need.at))));
    }
    return fmt::format("there is one once this is so, and noted: {}\n", fmt::join(notes, ", "));
}

}  // namespace

std::optional<Standing> as_it_stands(const Reading& reading, const Arguments& arguments, ExitCode& code) {
    const auto desk = open_desk(reading, arguments, code);
    if (!desk) return std::nullopt;
    if (desk->journal.published() == nullptr) {
        code = refuse_unpublished(*desk);
        return std::nullopt;
    }
    auto standing = stand(*desk, code);
    if (!standing) return std::nullopt;
    standing->open = replan::open_day(standing->situation, standing->result);
    if (standing->open) return standing;
    if (!is_as_things_are(standing->result)) {
        code = refuse("as things are, no timetable was found for what is left",
                      fmt::format("{}'oventide replan {}' says what there is, and what would make one",
                                  what_to_note(*desk, standing->result), arguments.plan),
                      ExitCode::none);
        return std::nullopt;
    }
    if (changes_anything(standing->result))
        write_error(fmt::format("oventide: not all of this is announced yet: 'oventide replan {}' says what changes\n",
                                arguments.plan));
    return standing;
}

bool has_moved_on(const std::string& plan) {
    if (plan == "-") return false;
    const journal::Loaded loaded = journal::load(journal::system_files(), journal::path_for(plan));
    const auto happened = [](const journal::Entry* entry) {
        return !std::holds_alternative<journal::Published>(entry->event);
    };
    return loaded.journal.published() != nullptr && std::ranges::any_of(loaded.journal.standing(), happened);
}

}  // namespace oventide::cli
