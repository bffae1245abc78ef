#include "plan/complaints.hpp"

#include <algorithm>
#include <tuple>
#include <utility>

#include "text/near.hpp"

namespace oventide::plan_file {

std::string in_quotes(std::string_view text) {
    constexpr std::size_t most = 60;
    if (text.size() <= most) return "'" + std::string(text) + "'";
    std::size_t end = most;
    while (end > 0 && (static_cast<unsigned char>(text[end]) & 0xc0) == 0x80) --end;  // not inside a character
    return "'" + std::string(text.substr(0, end)) + "...'";
}

void Complaints::add(Diagnostic diagnostic) {
    if (diagnostic.severity == Severity::error) ++errors_;
    if (diagnostics_.size() < kMost)
        diagnostics_.push_back(std::move(diagnostic));
    else
        ++left_out_;
}

void Complaints::error(const Place& place, std::string message, std::string suggestion, std::vector<Note> notes) {
    add({Severity::error, place, std::move(message), std::move(suggestion), std::move(notes)});
}

void Complaints::caution(const Place& place, std::string message, std::string suggestion) {
    add({Severity::caution, place, std::move(message), std::move(suggestion), {}});
}

std::string Complaints::did_you_mean(const std::string& name, const std::vector<std::string>& known) {
    if (guesses_left_ <= 0) return {};
    --guesses_left_;
    const std::string guess = text::nearest(name, known);
    return guess.empty() ? guess : "did you mean '" + guess + "'?";
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
