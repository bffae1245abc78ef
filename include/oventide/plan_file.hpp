#pragma once
/// Plan text in, plan or diagnostics out.

#include <filesystem>
#include <functional>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "oventide/diagnostic.hpp"
#include "oventide/plan.hpp"

namespace oventide {

/// The outside world, so that tests can be without one. Returns the text, or why it cannot be had.
/// A reader must refuse folders, devices and files over Limits::file_bytes before it takes the memory.
struct FileText {
    std::optional<std::string> text;
    std::string problem;  ///< in the cook's words, when there is no text
};
using FileReader = std::function<FileText(const std::filesystem::path&)>;

/// Reads real files.
FileText read_file(const std::filesystem::path& path);

/// Limits that are checked before memory is taken; plans/plan-file.md lists them.
struct Limits {
    static constexpr std::size_t file_bytes = 1 << 20;
    static constexpr int shared_files = 64;
    static constexpr int nesting = 32;
    static constexpr int components = 1'000;
    static constexpr int steps = 10'000;  ///< of all components together
    static constexpr int orders = 1'000;
    static constexpr int equipment = 200;  ///< and as many people
    static constexpr std::int64_t pieces = 1'000'000;
    static constexpr int activities = 50'000;  ///< after expansion
    static constexpr int horizon_days = 31;    ///< from `from` to the last pickup
    static constexpr int duration_days = 31;
    static constexpr int name_characters = 200;
};

struct PlanReading {
    Sources sources;
    std::optional<Plan> plan;             ///< there when no diagnostic is an error
    std::vector<Diagnostic> diagnostics;  ///< every error at once, in the order of the files
};

/// Reads the plan at `path` and the files that it shares. Never throws for anything in the files.
PlanReading read_plan(const std::filesystem::path& path, const FileReader& reader = read_file);

/// The same for text in memory, as tests do. `name` stands in the messages; shared files come from `reader`.
PlanReading parse_plan(std::string_view text, const std::string& name, const FileReader& reader = read_file);

}  // namespace oventide
