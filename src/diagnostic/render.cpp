/// Diagnostics as text: the line itself, the place marked, what to write instead.

#include <algorithm>
#include <string>
#include <string_view>
#include <vector>

#include "common/text.hpp"
#include "oventide/diagnostic.hpp"

namespace oventide {
namespace {

using text::clean;

const Sources::File* file_of(const Place& place, const Sources& sources) {
    const bool known = place.file >= 0 && static_cast<std::size_t>(place.file) < sources.files.size();
    return known ? &sources.files[static_cast<std::size_t>(place.file)] : nullptr;
}

std::string_view line_of(std::string_view text, std::uint32_t number) {
    for (std::uint32_t line = 1; line < number; ++line) {
        const std::size_t end = text.find('\n');
        if (end == std::string_view::npos) return {};
        text.remove_prefix(end + 1);
    }
    text = text.substr(0, text.find('\n'));
    if (!text.empty() && text.back() == '\r') text.remove_suffix(1);
    return text;
}

/// Where each character of a line begins, and where the line ends. A byte that is no character of its own counts as
/// one only where it does not continue another.
std::vector<std::size_t> characters_of(std::string_view line) {
    std::vector<std::size_t> begins;
    for (std::size_t i = 0; i < line.size(); ++i)
        if (i == 0 || (static_cast<unsigned char>(line[i]) & 0xc0) != 0x80) begins.push_back(i);
    begins.push_back(line.size());
    return begins;
}

/// Printable, tabs as spaces.
std::string shown(std::string_view part) {
    std::string text(part);
    std::replace(text.begin(), text.end(), '\t', ' ');
    return clean(text);
}

std::string spaces(int count) { return std::string(static_cast<std::size_t>(count), ' '); }

std::string where(const Place& place, const Sources& sources) {
    const Sources::File* file = file_of(place, sources);
    if (!file) return {};
    std::string text = clean(file->path);
    if (place.line > 0) text += ':' + std::to_string(place.line) + ':' + std::to_string(place.column);
    return text + ": ";
}

/// The line and, below it, the mark; a long line is cut round the mark.
std::string excerpt(const Place& place, const Sources& sources) {
    constexpr std::size_t most = 96, most_before = 40;
    const Sources::File* file = file_of(place, sources);
    if (!file || place.line == 0) return {};
    const std::string_view line = line_of(file->text, place.line);
    const auto begins = characters_of(line);
    const std::size_t count = begins.size() - 1;
    const std::size_t at = std::min<std::size_t>(place.column > 0 ? place.column - 1 : 0, count);
    const std::size_t first = count > most && at > most_before ? at - most_before : 0;
    const std::size_t last = std::min(count, first + most);
    const std::size_t marked_to = std::min<std::size_t>(last, at + place.width);
    const auto part = [&](std::size_t from, std::size_t to) {
        return shown(line.substr(begins[from], begins[to] - begins[from]));
    };

    const std::string before = (first > 0 ? "..." : "") + part(first, at), marked = part(at, marked_to);
    const std::string after = part(marked_to, last) + (last < count ? "..." : "");
    const std::string number = std::to_string(place.line);
    const int width = std::max(1, text::columns(marked));
    return "  " + number + " | " + before + marked + after + "\n  " + std::string(number.size(), ' ') + " | " +
           spaces(text::columns(before)) + '^' + std::string(static_cast<std::size_t>(width - 1), '~') + '\n';
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
