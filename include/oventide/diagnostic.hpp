#pragma once
/// Where something stands in a plan's files, and what is wrong with it.

#include <cstdint>
#include <string>
#include <vector>

namespace oventide {

/// A stretch of one line of one file. Lines and columns count from 1; columns count characters, not bytes.
/// `line == 0` means "the file as a whole"; `file == -1` means "nowhere" (made by a program).
struct Place {
    std::int32_t file = -1;  ///< index into Sources::files
    std::uint32_t line = 0;
    std::uint32_t column = 0;
    std::uint32_t width = 1;  ///< characters to mark, at least 1
};

/// The text of every file that was read for a plan, so that an error of meaning can point at it.
struct Sources {
    struct File {
        std::string path;  ///< as the cook would type it
        std::string text;
    };
    std::vector<File> files;
};

enum class Severity { error, caution };

struct Note {
    Place place;
    std::string message;
};

/// One thing that is wrong: where, what, and what to write instead.
struct Diagnostic {
    Severity severity = Severity::error;
    Place place;
    std::string message;      ///< in the cook's words, no full stop
    std::string suggestion;   ///< what to write instead; may be empty
    std::vector<Note> notes;  ///< further places, e.g. the steps of a cycle in order
};

/// "file:line:column: error: message", the line, the marked place, the suggestion, the notes.
/// Control characters of the text never reach the result.
std::string render(const Diagnostic& diagnostic, const Sources& sources);

}  // namespace oventide
