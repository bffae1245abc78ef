#pragma once
/// Plan text in, plan or diagnostics out.

#include <filesystem>
#include <functional>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "oventide/diagnostic.hpp"
#include "oventide/limits.hpp"
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
