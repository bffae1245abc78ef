#include "plan/complaints.hpp"

#include <algorithm>
#include <tuple>
#include <utility>

#include "oventide/limits.hpp"
#include "oventide/spelling.hpp"

namespace oventide::plan_file {

std::string in_quotes(std::string_view text) {
    constexpr std::size_t most = 60;
    if (text.size() <= most) return "'" + std::string(text) + "'";
    std::size_t end = most;
    while (end > 0 && (static_cast<unsigned char>(text[end]) & 0xc0) == 0x80) --end;  // not inside a character
    return "'" + std::string(text.substr(0, end)) + "...'";
}

std::string did_you_mean(const std::string& guess) {
    return guess.empty() ? std::string() : "did you mean " + in_quotes(guess) + "?";
}

void Complaints::add(Diagnostic diagnostic) {
    if (diagnostic.severity == Severity::error) ++errors_;
    if (diagnostics_.size() < kMost)
        diagnostics_.push_back(std::move(diagnostic));
    else
        ++left_out_;
}

void Complaints::error(const Place& place, std::string message, std::string suggestion, std::vector<Note> notes) {
    if (notes.size() > kMostNotes) {
        const std::size_t cut = notes.size() - kMostNotes + 1, from = kMostNotes / 2;
        notes[from] = {{}, "... and " + std::to_string(cut) + " more, and then"};
        notes.erase(notes.begin() + from + 1, notes.begin() + static_cast<std::ptrdiff_t>(from + cut));
    }
    add({Severity::error, place, std::move(message), std::move(suggestion), std::move(notes)});
}

void Complaints::caution(const Place& place, std::string message, std::string suggestion) {
    add({Severity::caution, place, std::move(message), std::move(suggestion), {}});
}

std::string Complaints::guess(std::string_view name, const std::vector<std::string>& known) {
    constexpr std::size_t longest = 4 * Limits::name_characters;
    if (name.size() > longest) return {};
    const std::size_t work = name.size() * name.size() * (known.size() + 1);
    if (work > guessing_left_) return {};
    guessing_left_ -= work;
    const auto near = near_misses(name, known);
    return near.empty() ? std::string() : near.front();
}

std::string Complaints::did_you_mean(std::string_view name, const std::vector<std::string>& known) {
    return plan_file::did_you_mean(guess(name, known));
}

std::vector<Diagnostic> Complaints::in_order() && {
    const auto key = [](const Diagnostic& d) { return std::tie(d.place.file, d.place.line, d.place.column); };
    std::stable_sort(diagnostics_.begin(), diagnostics_.end(),
                     [&](const Diagnostic& a, const Diagnostic& b) { return key(a) < key(b); });
    if (left_out_ > 0)
        diagnostics_.push_back({Severity::error, {}, "and " + std::to_string(left_out_) + " more like these", {}, {}});
    return std::move(diagnostics_);
}

}  // namespace oventide::plan_file
