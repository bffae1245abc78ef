#include "journal/text.hpp"

#include <boost/crc.hpp>
#include <optional>

#include "oventide/journal.hpp"

namespace oventide::journal {
namespace {

constexpr std::string_view kHex = "0123456789abcdef";
constexpr std::size_t kSealLength = 10;  // " #" and eight digits

std::string hex(std::uint64_t value, int digits) {
    std::string text;
    for (int i = digits - 1; i >= 0; --i) text += kHex[(value >> (4 * i)) & 15];
    return text;
}

std::string seal_of(std::string_view text) {
    boost::crc_32_type crc;
    crc.process_bytes(text.data(), text.size());
    return " #" + hex(crc.checksum(), 8);
}

bool looks_sealed(std::string_view text) {
    if (text.size() < kSealLength) return false;
    const std::string_view end = text.substr(text.size() - kSealLength);
    return end.starts_with(" #") && end.substr(2).find_first_not_of(kHex) == std::string_view::npos;
}

Group group_of(std::uint32_t line, std::string_view all) {
    Group group{line, all, all, Group::Seal::none};
    if (!looks_sealed(all)) return group;
    group.text.remove_suffix(kSealLength);
    group.seal = all.substr(group.text.size()) == seal_of(group.text) ? Group::Seal::right : Group::Seal::wrong;
    return group;
}

bool is_plain(unsigned char letter) { return letter > ' ' && letter != '"' && letter != '\\' && letter != 0x7f; }

/// After the backslash at `at`; moves `at` to the last character of the escape.
std::optional<char> escaped(std::string_view line, std::size_t& at) {
    if (++at >= line.size()) return std::nullopt;
    if (line[at] == '"' || line[at] == '\\') return line[at];
    if (line[at] != 'x' || at + 2 >= line.size()) return std::nullopt;
    const std::size_t high = kHex.find(line[at + 1]);
    const std::size_t low = kHex.find(line[at + 2]);
    if (high == std::string_view::npos || low == std::string_view::npos) return std::nullopt;
    at += 2;
    return static_cast<char>(high * 16 + low);
}

/// The quoted word that begins at `at`; moves `at` behind it.
std::optional<std::string> quoted_word(std::string_view line, std::size_t& at) {
    std::string word;
    for (++at; at < line.size(); ++at) {
        if (line[at] == '"') {
            ++at;
            return word;
        }
        if (line[at] != '\\') {
            word += line[at];
        } else if (const auto letter = escaped(line, at)) {
            word += *letter;
        } else {
            return std::nullopt;
        }
    }
    return std::nullopt;
}

}  // namespace

std::string sealed(std::string_view text) { return std::string(text) + seal_of(text) + "\n"; }

std::string quoted(std::string_view word) {
    bool plain = !word.empty();
    std::string text = "\"";
    for (const char letter : word) {
        const auto byte = static_cast<unsigned char>(letter);
        plain = plain && is_plain(byte);
        if (letter == '"' || letter == '\\') {
            text += {'\\', letter};
        } else if (byte < ' ' || byte == 0x7f) {
            text += "\\x" + hex(byte, 2);
        } else {
            text += letter;
        }
    }
    return plain ? std::string(word) : text + "\"";
}

std::vector<std::string> split_words(std::string_view line, bool& well_formed) {
    std::vector<std::string> words;
    well_formed = true;
    for (std::size_t at = 0; at < line.size();) {
        if (line[at] == ' ') {
            ++at;
        } else if (line[at] == '"') {
            auto word = quoted_word(line, at);
            well_formed = word && (at == line.size() || line[at] == ' ');
            if (!well_formed) return {};
            words.push_back(std::move(*word));
        } else {
            const std::size_t end = std::min(line.find(' ', at), line.size());
            words.emplace_back(line.substr(at, end - at));
            at = end;
        }
    }
    return words;
}

std::vector<Group> split_groups(std::string_view text) {
    std::vector<Group> groups;
    std::uint32_t line = 0;
    std::uint32_t first_line = 0;
    std::size_t begin = 0;
    const auto close = [&](std::size_t end) {
        if (end > begin) groups.push_back(group_of(first_line, text.substr(begin, end - begin)));
    };
    for (std::size_t at = 0; at < text.size();) {
        ++line;
        const std::size_t end = std::min(text.find('\n', at), text.size());
        const bool belongs = at > 0 && text.substr(at, 2) == "  ";
        if (!belongs) {
            if (at > 0) close(at - 1);
            begin = at;
            first_line = line;
        }
        at = end + 1;
    }
    if (!text.empty()) close(text.ends_with('\n') ? text.size() - 1 : text.size());
    return groups;
}

std::string fingerprint(const Sources& sources) {
    boost::crc_optimal<64, 0x42F0E1EBA9EA3693ULL, 0, 0, false, false> crc;
    for (const Sources::File& file : sources.files) {
        crc.process_bytes(file.text.data(), file.text.size());
        crc.process_byte(0);  // so that text moved from one file to the next counts as a change
    }
    return hex(crc.checksum(), 16);
}

}  // namespace oventide::journal
