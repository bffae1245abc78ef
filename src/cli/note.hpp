#pragma once
/// What the cook types about the day, as events of the journal.

#include <string>
#include <vector>

#include "oventide/clock.hpp"
#include "oventide/expand.hpp"
#include "oventide/journal.hpp"
#include "oventide/plan.hpp"

namespace oventide::cli {

/// What a note is read against.
struct NoteContext {
    const Plan& plan;
    const Expansion& expansion;
    const clock::Zone& zone;
    const journal::Journal& journal;
    Instant now;
};

struct NoteReading {
    std::vector<journal::Event> events;
    std::string problem;  ///< in the cook's words, where there are no events
    std::string advice;
    bool nothing_new = false;             ///< there are no events, and that is no mistake
    std::vector<std::string> left_out{};  ///< what is not noted though it was announced, and why
    std::string doubt{};                  ///< it is noted, but perhaps something else was meant
};

/// `words` such as "runs-long", "custard.1.chill", "40".
NoteReading read_note(const std::vector<std::string>& words, const NoteContext& context);

/// The kinds of notes with what belongs to each, for the help.
std::string note_help();

}  // namespace oventide::cli
