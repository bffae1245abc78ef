#pragma once
/// A text read from left to right: numbers, words, signs.

#include <algorithm>
#include <cstdint>
#include <string_view>

namespace oventide::plan_file {

inline constexpr std::int64_t kMicro = 1'000'000;
inline constexpr std::int64_t kMostWhole = 9'999'999;
inline constexpr int kMostDecimals = 6;

inline bool is_digit(char c) { return c >= '0' && c <= '9'; }
inline bool is_space(char c) { return c == ' ' || c == '\t'; }

struct Number {
    bool found = false;
    bool too_large = false;  ///< then `millionths` is the most that it can be
    std::int64_t millionths = 0;
};

/// Reads a text from left to right.
class Cursor {
public:
    explicit Cursor(std::string_view text) : text_(text) { skip_space(); }

    bool at_end() const { return at_ == text_.size(); }
    char peek() const { return at_end() ? '\0' : text_[at_]; }

    void skip_space() {
        while (!at_end() && is_space(text_[at_])) ++at_;
    }

    bool take(std::string_view word) {
        if (text_.substr(at_, word.size()) != word) return false;
        at_ += word.size();
        return true;
    }

    /// A number without a sign, in millionths.
    Number number() {
        Number number;
        std::int64_t whole = 0, millionths = 0;
        for (; is_digit(peek()); ++at_) {
            number.found = true;
            if (whole > kMostWhole) continue;
            whole = whole * 10 + (peek() - '0');
        }
        // A comma is a decimal point in half of Europe.
        if (number.found && (peek() == '.' || peek() == ',')) {
            ++at_;
            int decimals = 0;
            for (; is_digit(peek()); ++at_, ++decimals)
                if (decimals < kMostDecimals) millionths = millionths * 10 + (peek() - '0');
            number.found = decimals > 0 && decimals <= kMostDecimals;
            for (int i = decimals; i < kMostDecimals; ++i) millionths *= 10;
        }
        skip_space();
        number.too_large = whole > kMostWhole;
        number.millionths = std::min(whole, kMostWhole) * kMicro + millionths;
        return number;
    }

    /// Letters (and the degree sign) up to the next digit, space or sign.
    std::string_view word() {
        const std::size_t from = at_;
        while (!at_end() && !is_digit(peek()) && !is_space(peek()) && peek() != '/' && peek() != '.') ++at_;
        const std::string_view found = text_.substr(from, at_ - from);
        skip_space();
        return found;
    }

    std::string_view rest() const { return text_.substr(at_); }

private:
    std::string_view text_;
    std::size_t at_ = 0;
};

}  // namespace oventide::plan_file
