/// Diagnostics as text: the line itself, the place marked, what to write instead.

#include <algorithm>
#include <string>
#include <string_view>
#include <vector>

#include "oventide/diagnostic.hpp"

namespace oventide {
namespace {

/// The characters of a line, as UTF-8; what is no character of its own is a question mark.
std::vector<std::string> characters_of(std::string_view text) {
    std::vector<std::string> characters;
    for (std::size_t i = 0; i < text.size();) {
        const auto lead = static_cast<unsigned char>(text[i]);
        const std::size_t size = lead < 0x80                   ? 1
                                 : lead >= 0xf0 && lead < 0xf5 ? 4
                                 : lead >= 0xe0                ? 3
                                 : lead >= 0xc2                ? 2
                                                               : 0;
        bool whole = size > 0 && lead < 0xf5 && i + size <= text.size();
        for (std::size_t k = 1; whole && k < size; ++k)
            whole = (static_cast<unsigned char>(text[i + k]) & 0xc0) == 0x80;
        if (!whole) {
            characters.emplace_back("?");
            ++i;
            continue;
        }
        std::string character(text.substr(i, size));
        const bool control =
            lead < 0x20 || lead == 0x7f || (lead == 0xc2 && static_cast<unsigned char>(character[1]) < 0xa0);
        if (control) character = lead == '\t' ? " " : "?";
        characters.push_back(std::move(character));
        i += size;
    }
    return characters;
}

std::string clean(std::string_view text) {
    std::string result;
    for (const std::string& character : characters_of(text)) result += character;
    return result;
}

std::string_view line_of(std::string_view text, std::uint32_t number) {
    std::size_t from = 0;
    for (std::uint32_t line = 1; line < number; ++line) {
        from = text.find('\n', from);
        if (from == std::string_view::npos) return {};
        ++from;
    }
    std::string_view line = text.substr(from, text.find('\n', from) - from);
    if (!line.empty() && line.back() == '\r') line.remove_suffix(1);
    return line;
}

std::string where(const Place& place, const Sources& sources) {
    if (place.file < 0 || static_cast<std::size_t>(place.file) >= sources.files.size()) return {};
    std::string text = clean(sources.files[static_cast<std::size_t>(place.file)].path);
    if (place.line > 0) text += ':' + std::to_string(place.line) + ':' + std::to_string(place.column);
    return text + ": ";
}

/// The line and, below it, the mark; a long line is cut round the mark.
std::string excerpt(const Place& place, const Sources& sources) {
    constexpr std::size_t widest = 96, before = 40;
    if (place.line == 0 || place.file < 0 || static_cast<std::size_t>(place.file) >= sources.files.size()) return {};
    const auto characters =
        characters_of(line_of(sources.files[static_cast<std::size_t>(place.file)].text, place.line));
    std::size_t column = place.column > 0 ? place.column - 1 : 0;
    column = std::min(column, characters.size());
    const std::size_t width = std::max<std::size_t>(1, std::min<std::size_t>(place.width, characters.size() - column));

    const std::size_t from = characters.size() > widest && column > before ? column - before : 0;
    const std::size_t to = std::min(characters.size(), from + widest);
    std::string line = from > 0 ? "..." : "", mark(line.size() + column - from, ' ');
    for (std::size_t i = from; i < to; ++i) line += characters[i];
    if (to < characters.size()) line += "...";
    mark += '^' + std::string(std::min(width, std::max(to, column + 1) - column) - 1, '~');

    const std::string number = std::to_string(place.line);
    return "  " + number + " | " + line + "\n  " + std::string(number.size(), ' ') + " | " + mark + '\n';
}

}  // namespace

std::string render(const Diagnostic& diagnostic, const Sources& sources) {
    std::string text = where(diagnostic.place, sources);
    text += diagnostic.severity == Severity::error ? "error: " : "caution: ";
    text += clean(diagnostic.message) + '\n' + excerpt(diagnostic.place, sources);
    if (!diagnostic.suggestion.empty()) text += "  " + clean(diagnostic.suggestion) + '\n';
    for (const Note& note : diagnostic.notes)
        text += where(note.place, sources) + "note: " + clean(note.message) + '\n' + excerpt(note.place, sources);
    return text;
}

}  // namespace oventide
