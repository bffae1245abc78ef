#pragma once
/// How entries are written, word by word. Inside of the journal.

#include <cstdint>
#include <string>
#include <string_view>
#include <vector>

namespace oventide::journal {

/// Stands below lines that were cut short.
inline constexpr std::string_view kTornRemark = "! what stands above this line was cut short and does not count";
inline constexpr std::string_view kMagic = "oventide journal ";
inline constexpr int kVersion = 1;

/// `text` with its check and the end of the line.
std::string sealed(std::string_view text);

/// One word, or in double quotes where it must be.
std::string quoted(std::string_view word);

/// The words of a line, quotes undone; empty where a quote is not closed or an escape is unknown.
std::vector<std::string> split_words(std::string_view line, bool& well_formed);

/// An entry with the lines that belong to it, or anything else that stands in the file.
struct Group {
    enum class Seal { none, wrong, right };
    std::uint32_t line = 0;  ///< of its first line, from 1
    std::string_view all;    ///< with its check, without the last line end
    std::string_view text;   ///< without its check
    Seal seal = Seal::none;
};
std::vector<Group> split_groups(std::string_view text);

}  // namespace oventide::journal
