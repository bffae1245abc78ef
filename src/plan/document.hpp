#pragma once
/// A TOML text as a tree of values, each with its place, keys in the order written.

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <variant>
#include <vector>

#include "oventide/diagnostic.hpp"
#include "plan/complaints.hpp"

namespace oventide::plan_file {

/// A TOML date, time or date-time, as written.
struct Moment {
    bool has_date = false;
    bool has_time = false;
    bool has_offset = false;
    std::int32_t year = 0;
    std::uint32_t month = 0;
    std::uint32_t day = 0;
    std::int32_t minute = 0;   ///< of the day
    bool whole_minute = true;  ///< no seconds, no fraction
};

struct Node;
struct Entry;
using List = std::vector<Node>;
using Table = std::vector<Entry>;

struct Node {
    std::variant<bool, std::int64_t, double, std::string, Moment, List, Table> value;
    Place place;
};

/// A key with its value.
struct Entry {
    std::string key;
    Place key_place;
    Node node;
};

/// The text as a tree; whatever keeps it from being one is told to `complaints`. Files of any content are safe.
std::optional<Node> parse_document(std::string_view text, std::int32_t file, Complaints& complaints);

/// "a whole number", "a list", ...: what the cook wrote.
std::string kind_of(const Node& node);

}  // namespace oventide::plan_file
