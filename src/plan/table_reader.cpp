#include "plan/table_reader.hpp"

#include <algorithm>
#include <utility>

#include "oventide/plan_file.hpp"

namespace oventide::plan_file {
namespace {

void complain_of_kind(const Node& node, std::string_view key, const std::string& expected, const std::string& example,
                      Complaints& complaints) {
    complaints.error(node.place, in_quotes(key) + " is " + kind_of(node) + ", but should be " + expected, example);
}

/// A text that is read further by `parse`.
template <class T>
std::optional<T> read_parsed(const Node& node, std::string_view key, Parsed<T> (*parse)(std::string_view),
                             const std::string& expected, const std::string& example, Complaints& complaints) {
    const auto* text = std::get_if<std::string>(&node.value);
    if (!text) {
        complain_of_kind(node, key, expected, example, complaints);
        return std::nullopt;
    }
    Parsed<T> parsed = parse(*text);
    if (!parsed.value)
        complaints.error(node.place, in_quotes(key) + ": " + parsed.problem, std::move(parsed.suggestion));
    return parsed.value;
}

/// One figure, which `spread` says how far to trust, or three.
template <class Read, class Spread>
std::optional<Figures<std::int64_t>> read_figures(const Node* node, std::string_view key, const Read& read,
                                                  const Spread& spread, Complaints& complaints) {
    if (!node) return std::nullopt;
    const auto* list = std::get_if<List>(&node->value);
    if (!list) {
        const auto usual = read(*node);
        if (!usual) return std::nullopt;
        return Figures<std::int64_t>{*usual - spread(*usual), *usual, *usual + spread(*usual)};
    }
    if (list->size() != 3) {
        complaints.error(node->place, in_quotes(key) + " has " + std::to_string(list->size()) + " figures",
                         "write one, or three: the lowest, the usual, the highest");
        return std::nullopt;
    }
    const auto low = read((*list)[0]), usual = read((*list)[1]), high = read((*list)[2]);
    if (!low || !usual || !high) return std::nullopt;
    if (*low > *usual || *usual > *high)
        complaints.error(node->place, "the three figures of " + in_quotes(key) + " are out of order",
                         "write the lowest first, then the usual, then the highest");
    return Figures<std::int64_t>{*low, *usual, *high};
}

}  // namespace

std::optional<Seconds> read_duration(const Node& node, std::string_view key, Complaints& complaints) {
    std::string example = "write " + std::string(key) + " = \"45 min\"";
    if (const auto* whole = std::get_if<std::int64_t>(&node.value); whole && *whole >= 0)
        example = "write " + std::string(key) + " = \"" + std::to_string(*whole) + " min\"";
    return read_parsed(node, key, parse_duration, "a time with its unit", example, complaints);
}

std::optional<Amount> read_amount(const Node& node, std::string_view key, Complaints& complaints) {
    if (const auto* pieces = std::get_if<std::int64_t>(&node.value)) {
        if (*pieces >= 1 && *pieces <= Limits::pieces) return Amount{Amount::Unit::pieces, *pieces};
        complaints.error(node.place, in_quotes(key) + " is " + std::to_string(*pieces) + ", but should be 1 to " +
                                         std::to_string(Limits::pieces) + " pieces");
        return std::nullopt;
    }
    return read_parsed(node, key, parse_amount, "pieces or a weight", "write 24, or \"1.2 kg\"", complaints);
}

std::optional<Name> read_text(const Node& node, std::string_view key, std::string_view example,
                              Complaints& complaints) {
    if (const auto* text = std::get_if<std::string>(&node.value)) return Name{*text, node.place};
    complain_of_kind(node, key, "text", std::string(example), complaints);
    return std::nullopt;
}

TableReader::TableReader(const Node& node, std::string what, Complaints& complaints)
    : table_(std::get_if<Table>(&node.value)), place_(node.place), what_(std::move(what)), complaints_(complaints) {
    if (!table_) complaints_.error(node.place, what_ + " is " + kind_of(node) + ", but should be a table");
}

const Node* TableReader::find(std::string_view key) {
    if (std::find(known_.begin(), known_.end(), key) == known_.end()) known_.emplace_back(key);
    if (!table_) return nullptr;
    const auto entry = std::find_if(table_->begin(), table_->end(), [&](const Entry& e) { return e.key == key; });
    return entry == table_->end() ? nullptr : &entry->node;
}

Place TableReader::key_place(std::string_view key) const {
    if (table_)
        for (const Entry& entry : *table_)
            if (entry.key == key) return entry.key_place;
    return place_;
}

std::optional<Name> TableReader::text(std::string_view key) {
    const Node* node = find(key);
    return node ? read_text(*node, key, "write " + std::string(key) + " = \"...\"", complaints_) : std::nullopt;
}

std::optional<bool> TableReader::yes_no(std::string_view key) {
    const Node* node = find(key);
    if (!node) return std::nullopt;
    if (const bool* value = std::get_if<bool>(&node->value)) return *value;
    complain_of_kind(*node, key, "true or false", "write " + std::string(key) + " = true", complaints_);
    return std::nullopt;
}

std::optional<std::int32_t> TableReader::whole(std::string_view key, std::int32_t least, std::int32_t most) {
    const Node* node = find(key);
    if (!node) return std::nullopt;
    const auto* value = std::get_if<std::int64_t>(&node->value);
    if (!value) {
        complain_of_kind(*node, key, "a whole number", "write " + std::string(key) + " = 2", complaints_);
        return std::nullopt;
    }
    if (*value >= least && *value <= most) return static_cast<std::int32_t>(*value);
    complaints_.error(node->place, in_quotes(key) + " is " + std::to_string(*value) + ", but should be " +
                                       std::to_string(least) + " to " + std::to_string(most));
    return std::nullopt;
}

std::optional<Seconds> TableReader::duration(std::string_view key) {
    const Node* node = find(key);
    return node ? read_duration(*node, key, complaints_) : std::nullopt;
}

std::optional<MilliCelsius> TableReader::temperature(std::string_view key) {
    const Node* node = find(key);
    if (!node) return std::nullopt;
    return read_parsed(*node, key, parse_temperature, "a temperature with its unit",
                       "write " + std::string(key) + " = \"180 C\"", complaints_);
}

std::optional<MilliCelsius> TableReader::rate(std::string_view key) {
    const Node* node = find(key);
    if (!node) return std::nullopt;
    return read_parsed(*node, key, parse_rate, "a rate with its unit", "write " + std::string(key) + " = \"12 C/min\"",
                       complaints_);
}

std::optional<std::int64_t> TableReader::mass(std::string_view key) {
    const Node* node = find(key);
    if (!node) return std::nullopt;
    return read_parsed(*node, key, parse_mass, "a weight with its unit", "write " + std::string(key) + " = \"1.2 kg\"",
                       complaints_);
}

std::optional<Amount> TableReader::amount(std::string_view key) {
    const Node* node = find(key);
    return node ? read_amount(*node, key, complaints_) : std::nullopt;
}

std::optional<std::int64_t> TableReader::length(std::string_view key) {
    const Node* node = find(key);
    if (!node) return std::nullopt;
    return read_parsed(*node, key, parse_length, "a length with its unit", "write " + std::string(key) + " = \"5 cm\"",
                       complaints_);
}

std::optional<Figures<MilliCelsius>> TableReader::temperatures(std::string_view key, MilliCelsius off) {
    const auto read = [&](const Node& node) {
        return read_parsed(node, key, parse_temperature, "a temperature with its unit",
                           "write " + std::string(key) + " = \"3 C\"", complaints_);
    };
    return read_figures(
        find(key), key, read, [&](MilliCelsius) { return off; }, complaints_);
}

std::optional<Figures<std::int64_t>> TableReader::transfers(std::string_view key, std::int64_t share) {
    const auto read = [&](const Node& node) {
        return read_parsed(node, key, parse_transfer, "text with its unit",
                           "write " + std::string(key) + " = \"16 W/m2K\"", complaints_);
    };
    return read_figures(
        find(key), key, read, [&](std::int64_t usual) { return usual * share / 100; }, complaints_);
}

std::vector<Name> TableReader::texts(std::string_view key) {
    std::vector<Name> result;
    const Node* node = find(key);
    if (!node) return result;
    const std::string example = "write " + std::string(key) + " = \"...\", or a list [\"...\", \"...\"]";
    if (const auto* list = std::get_if<List>(&node->value)) {
        for (const Node& element : *list)
            if (auto name = read_text(element, key, example, complaints_)) result.push_back(std::move(*name));
    } else if (auto name = read_text(*node, key, example, complaints_)) {
        result.push_back(std::move(*name));
    }
    return result;
}

std::vector<const Node*> TableReader::tables(std::string_view key, std::string_view example) {
    std::vector<const Node*> result;
    const Node* node = find(key);
    if (!node) return result;
    if (const auto* list = std::get_if<List>(&node->value)) {
        for (const Node& element : *list) result.push_back(&element);
    } else {
        complain_of_kind(*node, key, "a list of tables", std::string(example), complaints_);
    }
    return result;
}

void TableReader::require(std::string_view key, std::string_view example) {
    if (table_ && !has(key)) missing_.push_back({std::string(key), std::string(example)});
}

void TableReader::finish() {
    if (!table_) return;
    for (const Entry& entry : *table_) {
        if (std::find(known_.begin(), known_.end(), entry.key) != known_.end()) continue;
        const std::string guess = complaints_.guess(entry.key, known_);
        const auto instead =
            std::find_if(instead_.begin(), instead_.end(), [&](const Missing& one) { return one.key == entry.key; });
        complaints_.error(entry.key_place, what_ + " has no key " + in_quotes(entry.key),
                          instead != instead_.end() ? instead->example : did_you_mean(guess));
        // A misspelt key is one mistake, not two.
        std::erase_if(missing_, [&](const Missing& missing) { return missing.key == guess; });
    }
    const Place place = has_text("name") ? find("name")->place : place_;
    for (const Missing& missing : missing_)
        complaints_.error(place, what_ + " has no " + in_quotes(missing.key), "write " + missing.example);
}

bool TableReader::has_text(std::string_view key) {
    const Node* node = find(key);
    return node && std::holds_alternative<std::string>(node->value);
}

}  // namespace oventide::plan_file
