#pragma once
/// Typed access to one table of the file: wrong types, missing keys and unknown keys are told in the cook's words.

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "plan/complaints.hpp"
#include "plan/document.hpp"
#include "plan/quantities.hpp"

namespace oventide::plan_file {

/// A text with its place.
struct Name {
    std::string text;
    Place place;
};

/// Ask for every key that may stand in the table, then call `finish`: what nobody asked for is unknown.
class TableReader {
public:
    /// `what` names the table in messages: "the order 'Village hall'", "the kitchen".
    TableReader(const Node& node, std::string what, Complaints& complaints);

    /// False when it is not a table; that has then been told.
    bool is_table() const { return table_ != nullptr; }
    const Place& place() const { return place_; }
    void call_it(std::string what) { what_ = std::move(what); }
    const std::string& what() const { return what_; }
    Complaints& complaints() const { return complaints_; }

    /// The value of a key; null where it is not written.
    const Node* find(std::string_view key);
    bool has(std::string_view key) { return find(key) != nullptr; }
    /// The place of a key, or of the table where it is not written.
    Place key_place(std::string_view key) const;

    std::optional<Name> text(std::string_view key);
    std::optional<bool> yes_no(std::string_view key);
    std::optional<std::int32_t> whole(std::string_view key, std::int32_t least, std::int32_t most);
    std::optional<Seconds> duration(std::string_view key);
    std::optional<MilliCelsius> temperature(std::string_view key);
    std::optional<MilliCelsius> rate(std::string_view key);
    std::optional<std::int64_t> mass(std::string_view key);
    std::optional<Amount> amount(std::string_view key);
    std::optional<std::int64_t> length(std::string_view key);
    /// One figure, or three from low to high; one alone is taken to be `off` or so much of itself (`share`, in
    /// hundredths) out either way.
    std::optional<Figures<MilliCelsius>> temperatures(std::string_view key, MilliCelsius off);
    std::optional<Figures<std::int64_t>> transfers(std::string_view key, std::int64_t share);
    /// One text, or a list of texts.
    std::vector<Name> texts(std::string_view key);
    /// A list of tables; a single table is told to be one of a list.
    std::vector<const Node*> tables(std::string_view key, std::string_view example);

    /// `finish` will tell that this key is missing, if it is.
    void require(std::string_view key, std::string_view example);
    /// Where `finish` finds this unknown key, it says what to write instead.
    void instead_of(std::string_view key, std::string_view suggestion) {
        instead_.push_back({std::string(key), std::string(suggestion)});
    }
    void finish();

private:
    struct Missing {
        std::string key;
        std::string example;
    };
    bool has_text(std::string_view key);

    const Table* table_ = nullptr;
    Place place_;
    std::string what_;
    Complaints& complaints_;
    std::vector<std::string> known_;
    std::vector<Missing> missing_;
    std::vector<Missing> instead_;  ///< a key that is none, and what to write
};

/// The same for a value that has been found already. `key` names it in messages.
std::optional<Seconds> read_duration(const Node& node, std::string_view key, Complaints& complaints);
std::optional<Amount> read_amount(const Node& node, std::string_view key, Complaints& complaints);
std::optional<Name> read_text(const Node& node, std::string_view key, std::string_view example, Complaints& complaints);

}  // namespace oventide::plan_file
