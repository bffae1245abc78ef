#include "plan/document.hpp"

#include <toml++/toml.h>

#include <algorithm>
#include <utility>

#include "oventide/limits.hpp"
#include "plan/text_check.hpp"

namespace oventide::plan_file {
namespace {

Place place_of(const toml::source_region& region, std::int32_t file) {
    Place place{file, region.begin.line, region.begin.column, 1};
    if (region.end.line == region.begin.line && region.end.column > region.begin.column)
        place.width = region.end.column - region.begin.column;
    return place;
}

Moment moment_of(const toml::date& date) {
    Moment moment;
    moment.has_date = true;
    moment.year = date.year;
    moment.month = date.month;
    moment.day = date.day;
    return moment;
}

void set_time(Moment& moment, const toml::time& time) {
    moment.has_time = true;
    moment.minute = time.hour * 60 + time.minute;
    moment.whole_minute = time.second == 0 && time.nanosecond == 0;
}

/// Copies the tree of toml++, and puts keys back into the order in which they were written: toml++ sorts them.
class Copier {
public:
    explicit Copier(std::int32_t file) : file_(file) {}

    Node node(const toml::node& from, int depth) {
        Node to;
        to.place = place_of(from.source(), file_);
        if (depth > Limits::nesting) {
            if (!too_deep_) too_deep_ = to.place;
            return to;
        }
        if (const auto* table = from.as_table())
            to.value = entries(*table, depth);
        else if (const auto* array = from.as_array())
            to.value = elements(*array, depth);
        else if (const auto* text = from.as_string())
            to.value = text->get();
        else if (const auto* whole = from.as_integer())
            to.value = whole->get();
        else if (const auto* number = from.as_floating_point())
            to.value = number->get();
        else if (const auto* yes = from.as_boolean())
            to.value = yes->get();
        else
            to.value = moment(from);
        return to;
    }

    const std::optional<Place>& too_deep() const { return too_deep_; }

private:
    static Moment moment(const toml::node& from) {
        Moment moment;
        if (const auto* date = from.as_date()) {
            moment = moment_of(date->get());
        } else if (const auto* time = from.as_time()) {
            set_time(moment, time->get());
        } else if (const auto* both = from.as_date_time()) {
            moment = moment_of(both->get().date);
            set_time(moment, both->get().time);
            moment.has_offset = both->get().offset.has_value();
        }
        return moment;
    }

    Table entries(const toml::table& from, int depth) {
        Table to;
        to.reserve(from.size());
        for (const auto& [key, value] : from)
            to.push_back({std::string(key.str()), place_of(key.source(), file_), node(value, depth + 1)});
        std::sort(to.begin(), to.end(), [](const Entry& a, const Entry& b) {
            return std::pair(a.key_place.line, a.key_place.column) < std::pair(b.key_place.line, b.key_place.column);
        });
        return to;
    }

    List elements(const toml::array& from, int depth) {
        List to;
        to.reserve(from.size());
        for (const toml::node& element : from) to.push_back(node(element, depth + 1));
        return to;
    }

    std::int32_t file_;
    std::optional<Place> too_deep_;
};

/// What the parser says, in the cook's words, by a part of its own.
struct SyntaxHint {
    std::string_view says;
    const char* message;
    const char* suggestion;
};

constexpr SyntaxHint kHints[] = {
    {"cannot redefine", "this stands twice, or was something else before", "leave one of the two out"},
    {"dangling comma", "no comma stands before the '}' of a table", "leave the last comma out"},
    {"expected key or closing '}'", "a table between '{' and '}' stays on one line, with commas between its keys",
     "join the lines, or write the table under a [heading]"},
    {"expected comma or closing '}'", "a comma or the closing '}' is missing",
     "write { name = \"mix\", takes = \"5 min\" }"},
    {"expected comma or closing ']'", "a comma or the closing ']' is missing",
     "put a comma between two entries of a list"},
    {"could not determine value type", "this is neither text, a number, true, false, nor a date",
     "put text between quotes: \"45 min\""},
    {"expected a comment or whitespace", "something is left over behind this value",
     "put text between quotes: \"45 min\"; one key on a line"},
    {"literal string: control characters", "the closing ' is missing on this line", "write '...'"},
    {"string: control characters", "the closing \" is missing on this line", "write \"...\""},
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

void complain_of_syntax(const toml::parse_error& error, std::int32_t file, Complaints& complaints) {
    const std::string_view says = error.description();
    for (const SyntaxHint& hint : kHints) {
        if (says.find(hint.says) == std::string_view::npos) continue;
        complaints.error(place_of(error.source(), file), hint.message, hint.suggestion);
        return;
    }
    constexpr std::string_view preamble = "Error while parsing ";
    const bool usual = says.substr(0, preamble.size()) == preamble;
    complaints.error(place_of(error.source(), file),
                     "this is not TOML: " + std::string(says.substr(usual ? preamble.size() : 0)));
}

}  // namespace

std::optional<Node> parse_document(std::string_view text, std::int32_t file, Complaints& complaints) {
    if (!check_text(text, file, complaints)) return std::nullopt;
    try {
        const toml::table root = toml::parse(text);
        Copier copier(file);
        Node node = copier.node(root, 0);
        if (copier.too_deep()) {
            complaints.error(*copier.too_deep(), "tables and lists lie inside each other more than " +
                                                     std::to_string(Limits::nesting) + " deep");
            return std::nullopt;
        }
        node.place = {file, 0, 0, 1};  // the file as a whole
        return node;
    } catch (const toml::parse_error& error) {
        complain_of_syntax(error, file, complaints);
        return std::nullopt;
    }
}

std::string kind_of(const Node& node) {
    struct Kind {
        std::string operator()(bool) const { return "yes or no (true or false)"; }
        std::string operator()(std::int64_t) const { return "a whole number"; }
        std::string operator()(double) const { return "a number with a decimal point"; }
        std::string operator()(const std::string&) const { return "text"; }
        std::string operator()(const Moment& moment) const {
            if (moment.has_offset) return "a date and time with an offset";
            if (moment.has_date) return moment.has_time ? "a date and time" : "a date";
            return "a time of day";
        }
        std::string operator()(const List&) const { return "a list"; }
        std::string operator()(const Table&) const { return "a table"; }
    };
    return std::visit(Kind{}, node.value);
}

}  // namespace oventide::plan_file
