#include "oventide/spelling.hpp"

#include <algorithm>
#include <utility>

namespace oventide {
namespace {

char small(char letter) { return letter >= 'A' && letter <= 'Z' ? static_cast<char>(letter - 'A' + 'a') : letter; }

std::size_t distance(std::string_view a, std::string_view b) {
    // Three rows of the table suffice: a swap looks back two.
    std::vector<std::size_t> before(b.size() + 1), last(b.size() + 1), row(b.size() + 1);
    for (std::size_t j = 0; j <= b.size(); ++j) row[j] = j;
    for (std::size_t i = 1; i <= a.size(); ++i) {
        before = std::exchange(last, row);
        row[0] = i;
        for (std::size_t j = 1; j <= b.size(); ++j) {
            const bool same = small(a[i - 1]) == small(b[j - 1]);
            row[j] = std::min({last[j] + 1, row[j - 1] + 1, last[j - 1] + (same ? 0 : 1)});
            const bool swapped =
                i > 1 && j > 1 && small(a[i - 1]) == small(b[j - 2]) && small(a[i - 2]) == small(b[j - 1]);
            if (swapped) row[j] = std::min(row[j], before[j - 2] + 1);
        }
    }
    return row[b.size()];
}

}  // namespace

std::vector<std::string> near_misses(std::string_view word, const std::vector<std::string>& known, std::size_t count) {
    const std::size_t allowed = std::max<std::size_t>(1, word.size() / 3);
    std::vector<std::pair<std::size_t, const std::string*>> near;
    for (const std::string& candidate : known) {
        const std::size_t longer = std::max(candidate.size(), word.size());
        const std::size_t shorter = std::min(candidate.size(), word.size());
        if (longer - shorter > allowed) continue;  // too far already; keeps long words cheap
        const std::size_t slips = distance(word, candidate);
        if (slips <= allowed && slips < longer) near.emplace_back(slips, &candidate);
    }
    std::stable_sort(near.begin(), near.end(), [](const auto& a, const auto& b) { return a.first < b.first; });
    std::vector<std::string> words;
    for (std::size_t i = 0; i < near.size() && i < count; ++i) words.push_back(*near[i].second);
    return words;
}

}  // namespace oventide
