#include "plan/document.hpp"

#include <toml++/toml.h>

#include <algorithm>
#include <utility>

#include "oventide/limits.hpp"
#include "plan/syntax.hpp"
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
        tell_syntax(error.description(), place_of(error.source(), file), text, complaints);
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
