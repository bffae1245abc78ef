#include "cli/terminal.hpp"

#include <sys/ioctl.h>
#include <unistd.h>

#include <algorithm>
#include <cctype>
#include <charconv>
#include <cstdlib>
#include <string>
#include <string_view>

namespace oventide::cli {
namespace {

constexpr int kUsual = 80;

std::string_view environment(const char* name) {
    const char* value = std::getenv(name);
    return value == nullptr ? std::string_view() : value;
}

/// A terminal that does more than print.
bool capable_terminal(int stream) {
    const std::string_view kind = environment("TERM");
    return ::isatty(stream) != 0 && !kind.empty() && kind != "dumb";
}

/// The first of these that is set says what a terminal shows (POSIX).
bool shows_utf8() {
    for (const char* name : {"LC_ALL", "LC_CTYPE", "LANG"}) {
        std::string value(environment(name));
        if (value.empty()) continue;
        std::transform(value.begin(), value.end(), value.begin(), [](unsigned char c) { return std::tolower(c); });
        return value.find("utf-8") != std::string::npos || value.find("utf8") != std::string::npos;
    }
    return false;
}

std::optional<int> columns_of_environment() {
    const std::string_view text = environment("COLUMNS");
    int columns = 0;
    const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), columns);
    if (error != std::errc() || end != text.data() + text.size() || columns <= 0) return {};
    return columns;
}

std::optional<int> columns_of_terminal() {
    winsize size{};
    if (::ioctl(STDOUT_FILENO, TIOCGWINSZ, &size) != 0 || size.ws_col == 0) return {};
    return size.ws_col;
}

int page_width() {
    auto columns = columns_of_environment();
    if (!columns) columns = columns_of_terminal();
    return std::clamp(columns.value_or(kUsual), kNarrowestPage, kUsual);
}

}  // namespace

report::Style page_style(std::optional<int> columns, bool ascii) {
    report::Style style;
    style.colour = capable_terminal(STDOUT_FILENO) && environment("NO_COLOR").empty();
    style.width = columns ? *columns : page_width();
    style.ascii = ascii || (::isatty(STDOUT_FILENO) != 0 && !shows_utf8());
    return style;
}

bool can_show_progress() { return capable_terminal(STDERR_FILENO); }

}  // namespace oventide::cli
