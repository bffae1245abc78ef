#pragma once
/// Output to files: replaced whole, or not at all.

#include <string>
#include <string_view>

namespace oventide::cli {

/// Puts `text` in place of what is at `path`. Empty when it is on disk; otherwise why not, and the old file is
/// untouched.
std::string replace_file(const std::string& path, std::string_view text);

/// Puts `text` at `path`, where nothing may be yet. Empty when it is on disk; otherwise why not.
std::string create_file(const std::string& path, std::string_view text);

}  // namespace oventide::cli
