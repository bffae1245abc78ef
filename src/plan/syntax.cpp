#include "plan/syntax.hpp"

#include <algorithm>
#include <string>

namespace oventide::plan_file {
namespace {

constexpr std::string_view kRedefined = "cannot redefine", kNoValue = "could not determine value type";

/// A part of the parser's words, and what to say instead. The first that fits counts.
struct SyntaxHint {
    std::string_view says;
    const char* message;
    const char* suggestion;
};

constexpr SyntaxHint kHints[] = {
    {kRedefined, "this stands twice, or was something else before", "leave one of the two out"},
    {"dangling comma", "no comma stands before the '}' of a table", "leave the last comma out"},
    {"expected key or closing '}'", "a table between '{' and '}' stays on one line, with commas between its keys",
     "join the lines, or write the table under a [heading]"},
    {"expected comma or closing '}'", "a comma or the closing '}' is missing",
     "write { name = \"mix\", takes = \"5 min\" }"},
    {"expected comma or closing ']'", "a comma or the closing ']' is missing",
     "put a comma between two entries of a list"},
    {kNoValue, "this is neither text, a number, true, false, nor a date", "put text between quotes: \"45 min\""},
    {"expected a comment or whitespace", "something is left over behind this value",
     "put text between quotes: \"45 min\"; one key on a line"},
    {"control characters other than TAB",
     "the closing quote of this text is missing, or there is a control character in it",
     "a text ends on the line on which it begins"},
    {"unknown escape sequence", "a backslash in text between \" and \" has a meaning of its own",
     "write it twice, or put the text between ' and '"},
    {"not representable in 64 bits", "this number is too large", ""},
    {"parsing date", "there is no such date, or it is not written as year-month-day",
     "write a date and time like 2026-10-03T16:00:00"},
    {"parsing time", "this is no time of day",
     "write a date and time like 2026-10-03T16:00:00, hours as text \"05:00-16:30\""},
    {"expected '='", "a key is followed by '=' and its value",
     "put a key of several words between quotes: \"pear tart\" = 24"},
    {"encountered end-of-file", "the file ends in the middle of something",
     "is a value, a quote or a bracket missing?"},
};

/// The line that a place lies in, as far as its column, and what follows; empty where that is not plain ASCII, since
/// columns are characters and not bytes.
struct Around {
    std::string_view before;
    std::string_view from;
};

Around around(std::string_view text, const Place& place) {
    for (std::uint32_t line = 1; line < place.line; ++line) {
        const std::size_t end = text.find('\n');
        text = end == std::string_view::npos ? std::string_view() : text.substr(end + 1);
    }
    text = text.substr(0, text.find('\n'));
    const std::size_t at = std::min<std::size_t>(text.size(), place.column - 1);
    if (std::any_of(text.begin(), text.begin() + static_cast<std::ptrdiff_t>(at), [](char c) { return c & '\x80'; }))
        return {};
    return {text.substr(0, at), text.substr(at)};
}

bool is_word(char c) {
    return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9') || c == '_' || c == '-';
}

/// The parser marks the value of a key that stands twice; the cook looks for the key.
void mark_key(std::string_view before, Place& place) {
    const std::size_t equals = before.find_last_not_of(" \t=");
    if (equals == std::string_view::npos || before.find('=', equals) == std::string_view::npos) return;
    before = before.substr(0, equals + 1);
    std::size_t from = before.size();
    if (before.back() == '"' || before.back() == '\'')
        from = std::min(before.size() - 1, before.rfind(before.back(), before.size() - 2));
    else
        while (from > 0 && is_word(before[from - 1])) --from;
    if (from == before.size()) return;
    place.column = static_cast<std::uint32_t>(from + 1);
    place.width = static_cast<std::uint32_t>(before.size() - from);
}

void mark_word(std::string_view from, Place& place) {
    const auto end = std::find_if_not(from.begin(), from.end(), is_word);
    place.width = std::max<std::uint32_t>(1, static_cast<std::uint32_t>(end - from.begin()));
}

/// "component" for "[component]" and "[[component]]", which the cook may indent or remark on; empty for any other line.
std::string_view heading_of(std::string_view line, bool& single) {
    line.remove_prefix(std::min(line.find_first_not_of(" \t"), line.size()));
    const std::size_t brackets = std::min(line.find_first_not_of('['), line.size());
    if (brackets != 1 && brackets != 2) return {};
    single = brackets == 1;
    const std::string_view inside = line.substr(brackets);
    const std::size_t end = inside.find(']');
    return end == std::string_view::npos ? std::string_view() : inside.substr(0, end);
}

/// Of which there can be several.
bool is_listed(std::string_view heading) {
    constexpr std::string_view kKitchen = "kitchen.";
    if (heading.substr(0, kKitchen.size()) == kKitchen) heading.remove_prefix(kKitchen.size());
    constexpr std::string_view kLists[] = {"component", "order", "crew", "oven", "mixer", "hob", "fridge", "equipment"};
    return std::find(std::begin(kLists), std::end(kLists), heading) != std::end(kLists);
}

/// One [component] among [[component]]: the parser faults whichever comes last. False where it is not that.
bool tell_single_brackets(std::string_view text, const Place& place, Complaints& complaints) {
    bool single = false;
    std::string_view line = around(text, {place.file, place.line, 1, 1}).from;
    const std::string name(heading_of(line, single));
    if (!is_listed(name)) return false;
    for (std::uint32_t number = 1; number <= place.line; ++number) {
        const std::size_t end = std::min(text.find('\n'), text.size());
        line = text.substr(0, end);
        text.remove_prefix(std::min(end + 1, text.size()));
        if (heading_of(line, single) != name || !single) continue;
        const auto column = static_cast<std::uint32_t>(line.find('[') + 1);
        complaints.error({place.file, number, column, static_cast<std::uint32_t>(name.size() + 2)},
                         "[" + name + "] stands in single brackets, but there can be several of them",
                         "write [[" + name + "]], each time");
        return true;
    }
    return false;
}

}  // namespace

void tell_syntax(std::string_view says, Place place, std::string_view text, Complaints& complaints) {
    const auto has = [&](std::string_view words) { return says.find(words) != std::string_view::npos; };
    const Around near = around(text, place);
    if (has(kRedefined) && tell_single_brackets(text, place, complaints)) return;
    if (has(kRedefined)) mark_key(near.before, place);
    if (has(kNoValue)) mark_word(near.from, place);
    for (const SyntaxHint& hint : kHints)
        if (has(hint.says)) return complaints.error(place, hint.message, hint.suggestion);
    constexpr std::string_view preamble = "Error while parsing ";
    const bool usual = says.substr(0, preamble.size()) == preamble;
    complaints.error(place, "this is not TOML: " + std::string(says.substr(usual ? preamble.size() : 0)));
}

}  // namespace oventide::plan_file
