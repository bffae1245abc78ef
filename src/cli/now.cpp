#include "cli/now.hpp"

#include <cstdlib>
#include <iomanip>
#include <sstream>

namespace oventide::cli {

std::optional<Instant> now() {
    const char* set = std::getenv("OVENTIDE_NOW");
    if (set == nullptr || *set == '\0') return std::chrono::floor<Minutes>(std::chrono::system_clock::now());
    std::tm fields{};
    std::istringstream text(set);
    text >> std::get_time(&fields, "%Y-%m-%dT%H:%MZ");
    if (!text || text.peek() != std::istringstream::traits_type::eof()) return std::nullopt;
    return std::chrono::floor<Minutes>(std::chrono::system_clock::from_time_t(::timegm(&fields)));
}

}  // namespace oventide::cli
