#include "plan/text_check.hpp"

#include <algorithm>
#include <cstddef>
#include <string>

#include "oventide/limits.hpp"

namespace oventide::plan_file {
namespace {

unsigned char byte_at(std::string_view text, std::size_t at) {
    return at < text.size() ? static_cast<unsigned char>(text[at]) : 0;
}

/// The length of the well-formed UTF-8 sequence at `at`; 0 if there is none (Unicode 15, table 3-7).
std::size_t sequence_length(std::string_view text, std::size_t at) {
    const unsigned char lead = byte_at(text, at), second = byte_at(text, at + 1);
    const auto follows = [&](std::size_t k) { return (byte_at(text, at + k) & 0xc0) == 0x80; };
    if (lead < 0x80) return 1;
    if (lead >= 0xc2 && lead <= 0xdf) return follows(1) ? 2 : 0;
    if (lead >= 0xe0 && lead <= 0xef) {
        const bool overlong = lead == 0xe0 && second < 0xa0, surrogate = lead == 0xed && second > 0x9f;
        return follows(1) && follows(2) && !overlong && !surrogate ? 3 : 0;
    }
    if (lead >= 0xf0 && lead <= 0xf4) {
        const bool overlong = lead == 0xf0 && second < 0x90, too_large = lead == 0xf4 && second > 0x8f;
        return follows(1) && follows(2) && follows(3) && !overlong && !too_large ? 4 : 0;
    }
    return 0;
}

/// Walks over the text, keeping count of the place.
class Walk {
public:
    Walk(std::string_view text, std::int32_t file) : text_(text), place_{file, 1, 1, 1} {}

    bool at_end() const { return at_ >= text_.size(); }
    char here() const { return at_end() ? '\0' : text_[at_]; }
    bool starts(std::string_view word) const { return text_.substr(at_, word.size()) == word; }
    std::size_t length() const { return sequence_length(text_, at_); }
    const Place& place() const { return place_; }

    void step() {
        if (here() == '\n') {
            ++place_.line;
            place_.column = 1;
        } else {
            ++place_.column;
        }
        at_ += std::max<std::size_t>(1, length());
    }
    void step(std::size_t times) {
        for (; times > 0 && !at_end(); --times) step();
    }

private:
    std::string_view text_;
    std::size_t at_ = 0;
    Place place_;
};

bool check_bytes(std::string_view text, std::int32_t file, Complaints& complaints) {
    if (text.substr(0, 2) == "\xff\xfe" || text.substr(0, 2) == "\xfe\xff") {
        complaints.error({file, 0, 0, 1}, "this file is UTF-16, but a plan is UTF-8", "save it as UTF-8");
        return false;
    }
    for (Walk walk(text, file); !walk.at_end(); walk.step()) {
        if (walk.here() == '\0') {
            complaints.error(walk.place(), "there is a zero byte here, so this is not a text", "is it the right file?");
            return false;
        }
        if (walk.length() == 0) {
            complaints.error(walk.place(), "this is not UTF-8", "save the file as UTF-8");
            return false;
        }
    }
    return true;
}

/// Passes over a string or a comment, if one begins here.
bool pass_over(Walk& walk) {
    if (walk.here() == '#') {
        while (!walk.at_end() && walk.here() != '\n') walk.step();
        return true;
    }
    for (const std::string_view quote : {"\"\"\"", "'''", "\"", "'"}) {
        if (!walk.starts(quote)) continue;
        const bool escapes = quote[0] == '"', one_line = quote.size() == 1;
        walk.step(quote.size());
        while (!walk.at_end() && !walk.starts(quote) && !(one_line && walk.here() == '\n'))
            walk.step(escapes && walk.here() == '\\' ? 2 : 1);
        if (walk.starts(quote)) walk.step(quote.size());
        return true;
    }
    return false;
}

bool check_nesting(std::string_view text, std::int32_t file, Complaints& complaints) {
    int brackets = 0, dots = 0;
    for (Walk walk(text, file); !walk.at_end();) {
        if (pass_over(walk)) continue;
        const char c = walk.here();
        if (c == '[' || c == '{') ++brackets;
        if ((c == ']' || c == '}') && brackets > 0) --brackets;
        if (c == '.')
            ++dots;
        else if (std::string_view("=,[]{}\n").find(c) != std::string_view::npos)
            dots = 0;
        if (brackets > Limits::nesting || dots > Limits::nesting) {
            complaints.error(walk.place(), "tables and lists lie inside each other more than " +
                                               std::to_string(Limits::nesting) + " deep");
            return false;
        }
        walk.step();
    }
    return true;
}

}  // namespace

bool check_text(std::string_view text, std::int32_t file, Complaints& complaints) {
    return check_bytes(text, file, complaints) && check_nesting(text, file, complaints);
}

}  // namespace oventide::plan_file
