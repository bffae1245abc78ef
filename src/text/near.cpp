#include "text/near.hpp"

#include <algorithm>
#include <array>

namespace oventide::text {
namespace {

char lower(char c) { return c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c; }

}  // namespace

std::size_t slips(std::string_view a, std::string_view b, std::size_t limit) {
    if (a.size() > b.size()) std::swap(a, b);
    if (b.size() - a.size() > limit) return limit + 1;
    std::vector<std::size_t> before_last, last(a.size() + 1), row(a.size() + 1);
    for (std::size_t i = 0; i <= a.size(); ++i) last[i] = i;
    for (std::size_t j = 1; j <= b.size(); ++j) {
        row[0] = j;
        std::size_t least = j;
        for (std::size_t i = 1; i <= a.size(); ++i) {
            const bool same = lower(a[i - 1]) == lower(b[j - 1]);
            row[i] = std::min({last[i] + 1, row[i - 1] + 1, last[i - 1] + (same ? 0 : 1)});
            if (i > 1 && j > 1 && lower(a[i - 1]) == lower(b[j - 2]) && lower(a[i - 2]) == lower(b[j - 1]))
                row[i] = std::min(row[i], before_last[i - 2] + 1);
            least = std::min(least, row[i]);
        }
        if (least > limit) return limit + 1;
        before_last = last;
        std::swap(last, row);
    }
    return std::min(last[a.size()], limit + 1);
}

std::size_t tolerance(std::string_view name) { return std::clamp<std::size_t>(name.size() / 3, 1, 3); }

std::string nearest(std::string_view name, const std::vector<std::string>& names) {
    std::size_t fewest = tolerance(name) + 1;
    const std::string* best = nullptr;
    for (const std::string& candidate : names) {
        const std::size_t count = slips(name, candidate, fewest - 1);
        // As many slips as the candidate has characters would turn anything into it.
        if (count >= fewest || count >= candidate.size()) continue;
        fewest = count;
        best = &candidate;
        if (fewest == 0) break;
    }
    return best ? *best : std::string();
}

}  // namespace oventide::text
