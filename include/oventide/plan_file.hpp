#pragma once
/// Plan text in, plan or diagnostics out.

#include <filesystem>
#include <functional>
#include <optional>
#include <string>
#include <string_view>
#include <utility>
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

struct CoolsReading {
    std::optional<Cools> cools;           ///< there when nothing is wrong
    std::vector<Diagnostic> diagnostics;  ///< without places
};

/// The keys and values of a step's `cools`, given one by one instead of in a file. What they do not say is as in
/// `base`; without one, as where a plan does not say it. `where` may name equipment of `kitchen`, if there is one.
CoolsReading read_cools(const std::vector<std::pair<std::string, std::string>>& words, const Cools* base,
                        const Kitchen* kitchen);

struct WeightReading {
    std::optional<std::int64_t> milligrams;
    std::vector<Diagnostic> diagnostics;  ///< without places
};
/// "1.2 kg", as in a plan.
WeightReading read_weight(const std::string& text);

}  // namespace oventide
