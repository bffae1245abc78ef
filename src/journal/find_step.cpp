#include <algorithm>

#include "oventide/journal.hpp"
#include "oventide/spelling.hpp"

namespace oventide::journal {
namespace {

constexpr std::size_t kMostCandidates = 5;

std::string small(std::string_view text) {
    std::string result(text);
    for (char& letter : result) {
        if (letter >= 'A' && letter <= 'Z') letter = static_cast<char>(letter - 'A' + 'a');
    }
    return result;
}

/// A beginning typed wrong is near to the beginnings of ids rather than to whole ids, so both are tried.
std::vector<std::string> misspelt(std::string_view typed, const std::vector<std::string>& ids) {
    std::vector<std::string> whole = near_misses(typed, ids, kMostCandidates);
    if (!whole.empty()) return whole;
    std::vector<std::string> beginnings;
    for (const std::string& id : ids) beginnings.push_back(id.substr(0, typed.size()));
    std::vector<std::string> result;
    for (const std::string& near : near_misses(typed, beginnings, ids.size())) {
        for (const std::string& id : ids) {
            const bool fresh = std::ranges::find(result, id) == result.end();
            if (id.starts_with(near) && fresh && result.size() < kMostCandidates) result.push_back(id);
        }
    }
    return result;
}

}  // namespace

StepName find_step(std::string_view typed, const std::vector<std::string>& ids) {
    StepName result;
    if (typed.empty()) return result;
    const std::string wanted = small(typed);
    std::vector<std::string> beginning;
    for (const std::string& id : ids) {
        const std::string candidate = small(id);
        if (candidate == wanted) return {id, {}, false};
        if (candidate.starts_with(wanted)) beginning.push_back(id);
    }
    if (beginning.size() == 1) return {beginning.front(), {}, false};
    result.several = !beginning.empty();
    result.candidates = result.several ? std::move(beginning) : misspelt(typed, ids);
    if (result.candidates.size() > kMostCandidates) result.candidates.resize(kMostCandidates);
    return result;
}

}  // namespace oventide::journal
