#include "common/text.hpp"

#include <algorithm>
#include <cstdint>
#include <iterator>

namespace oventide::text {
namespace {

struct Range {
    char32_t from;
    char32_t to;  ///< inclusive
};

#include "common/text_tables.inc"

template <std::size_t n>
bool contains(const Range (&ranges)[n], char32_t c) {
    const auto after = std::upper_bound(std::begin(ranges), std::end(ranges), c,
                                        [](char32_t value, const Range& range) { return value < range.from; });
    return after != std::begin(ranges) && c <= std::prev(after)->to;
}

constexpr char32_t kReplacement = 0xFFFD;
constexpr char32_t kJoiner = 0x200D;
constexpr char32_t kEmojiSelector = 0xFE0F;

/// The character at `at`, which goes behind it; the replacement mark for a byte that belongs to none (RFC 3629).
char32_t next_character(std::string_view text, std::size_t& at) {
    const auto byte = [&](std::size_t k) { return static_cast<unsigned char>(text[k]); };
    const unsigned char first = byte(at++);
    if (first < 0x80) return first;
    const int more = first >= 0xF0 && first <= 0xF4 ? 3 : first >= 0xE0 ? 2 : first >= 0xC2 ? 1 : 0;
    if (more == 0 || first > 0xF4 || at + static_cast<std::size_t>(more) > text.size()) return kReplacement;
    char32_t c = first & (0x3F >> more);
    for (int k = 0; k < more; ++k) {
        const unsigned char follows = byte(at + static_cast<std::size_t>(k));
        if ((follows & 0xC0) != 0x80) return kReplacement;
        c = c << 6 | (follows & 0x3F);
    }
    constexpr char32_t kLeast[] = {0, 0x80, 0x800, 0x10000};
    if (c < kLeast[more] || c > 0x10FFFF || (c >= 0xD800 && c <= 0xDFFF)) return kReplacement;
    at += static_cast<std::size_t>(more);
    return c;
}

void append(std::string& text, char32_t c) {
    const auto put = [&](char32_t byte) { text.push_back(static_cast<char>(byte)); };
    if (c < 0x80) return put(c);
    if (c < 0x800) return put(0xC0 | c >> 6), put(0x80 | (c & 0x3F));
    if (c < 0x10000) return put(0xE0 | c >> 12), put(0x80 | (c >> 6 & 0x3F)), put(0x80 | (c & 0x3F));
    put(0xF0 | c >> 18), put(0x80 | (c >> 12 & 0x3F)), put(0x80 | (c >> 6 & 0x3F)), put(0x80 | (c & 0x3F));
}

/// Moves the cursor, turns the direction of writing, or cannot be seen at all.
bool is_control(char32_t c) {
    return c < 0x20 || (c >= 0x7F && c < 0xA0) || c == 0xAD || c == 0x61C || c == 0x180E ||
           (c >= 0x200B && c <= 0x200F && c != kJoiner) || (c >= 0x2028 && c <= 0x202E) ||
           (c >= 0x2060 && c <= 0x206F) || c == 0xFEFF || (c >= 0xFFF9 && c <= 0xFFFB) ||
           (c >= 0xFDD0 && c <= 0xFDEF) || (c & 0xFFFE) == 0xFFFE || c == 0xE0001;
}

void append_plain(std::string& text, char32_t c) {
    if (c < 0x80) return text.push_back(static_cast<char>(c));
    if (c >= 0xC0 && c < 0x180) return void(text += kPlain[c - 0xC0]);
    if (contains(kZero, c) || c == kEmojiSelector) return;
    switch (c) {
        case 0xA0:
            return text.push_back(' ');
        case 0xB0:
            return;  // the degree sign of "180 °C"
        case 0x2010:
        case 0x2011:
        case 0x2012:
        case 0x2013:
        case 0x2014:
            return text.push_back('-');
        case 0x2018:
        case 0x2019:
            return text.push_back('\'');
        case 0x201C:
        case 0x201D:
            return text.push_back('"');
        default:
            return text.push_back('?');
    }
}

/// What is not to be parted: a character and all that joins it.
struct Cluster {
    std::string_view bytes;
    int columns = 0;
};

std::vector<Cluster> clusters(std::string_view text) {
    std::vector<Cluster> all;
    bool joined = false;
    for (std::size_t at = 0; at < text.size();) {
        const std::size_t begin = at;
        const char32_t c = next_character(text, at);
        const bool skin_colour = c >= 0x1F3FB && c <= 0x1F3FF;
        const bool mark = contains(kZero, c);
        if (!all.empty() && (mark || joined || (skin_colour && all.back().columns == 2))) {
            Cluster& last = all.back();
            last.bytes = {last.bytes.data(), last.bytes.size() + (at - begin)};
            if (c == kEmojiSelector) last.columns = 2;
        } else {
            all.push_back({text.substr(begin, at - begin), mark ? 0 : contains(kWide, c) ? 2 : 1});
        }
        // A joiner binds what follows only behind an emoji; elsewhere (Indic scripts) each letter keeps its width.
        joined = c == kJoiner && all.back().columns == 2;
    }
    return all;
}

/// Words with their widths, cut where one alone is wider than a line.
struct Word {
    std::string text;
    int columns = 0;
};

std::vector<Word> words(std::string_view text, int width) {
    std::vector<Word> all;
    bool inside = false;
    for (const Cluster& cluster : clusters(text)) {
        if (cluster.bytes == " ") {
            inside = false;
            continue;
        }
        if (!inside) all.emplace_back();
        inside = true;
        all.back().text += cluster.bytes;
        all.back().columns += cluster.columns;
    }
    std::vector<Word> cut;
    for (const Word& word : all) {
        cut.emplace_back();
        if (word.columns <= width) {
            cut.back() = word;
            continue;
        }
        for (const Cluster& cluster : clusters(word.text)) {
            if (cut.back().columns > 0 && cut.back().columns + cluster.columns > width) cut.emplace_back();
            cut.back().text += cluster.bytes;
            cut.back().columns += cluster.columns;
        }
    }
    return cut;
}

}  // namespace

std::string clean(std::string_view text, bool ascii) {
    std::string result;
    result.reserve(text.size());
    for (std::size_t at = 0; at < text.size();) {
        char32_t c = next_character(text, at);
        if (is_control(c)) c = kReplacement;
        ascii ? append_plain(result, c) : append(result, c);
    }
    return result;
}

int columns(std::string_view text) {
    int sum = 0;
    for (const Cluster& cluster : clusters(text)) sum += cluster.columns;
    return sum;
}

std::vector<std::string> wrap(std::string_view text, int width, int more) {
    std::vector<std::string> lines(1);
    int used = 0;
    for (const Word& word : words(text, width)) {
        const int gap = used > 0 ? 1 : 0;
        const int room = lines.size() == 1 ? width + more : width;
        if (used + gap + word.columns > room && used > 0) {
            lines.emplace_back();
            used = 0;
        } else if (gap == 1) {
            lines.back().push_back(' ');
            used += 1;
        }
        lines.back() += word.text;
        used += word.columns;
    }
    return lines;
}

std::string pad(std::string_view text, int width, Align align) {
    const std::string filling(static_cast<std::size_t>(std::max(0, width - columns(text))), ' ');
    return align == Align::left ? std::string(text) + filling : filling + std::string(text);
}

}  // namespace oventide::text
