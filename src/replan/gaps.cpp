#include "replan/gaps.hpp"

#include <algorithm>
#include <tuple>
#include <utility>

namespace oventide::replan {
namespace {

/// Common sense, no source: longer after it was to be mended, it is called mended only because somebody thinks of it.
constexpr Minutes kJustAfter{30};

auto said(const Gap& gap) { return std::tuple(gap.recorded, gap.news, gap.entry); }

}  // namespace

std::vector<Gap> Gaps::find() const {
    std::vector<Gap> gaps = said_to_be();
    for (const There& one : there_) clip(one, gaps);
    return gaps;
}

std::vector<Gap> Gaps::said_to_be() const {
    std::vector<std::pair<std::size_t, Gap>> begun;
    for (const Gap& gap : begun_) begun.emplace_back(begun.size(), gap);
    std::ranges::stable_sort(begun, {}, [](const auto& one) { return one.second.from; });
    std::vector<End> ended = ended_;
    std::ranges::stable_sort(ended, {}, &End::at);
    std::vector<Gap> gaps;
    auto end_next = ended.begin();
    for (const auto& [index, gap] : begun) {
        const auto before = [&](const End& one) {
            return one.at < gap.from || (one.at == gap.from && one.after <= index);  // of one minute: as entered
        };
        for (; end_next != ended.end() && before(*end_next); ++end_next) end(*end_next, gaps);
        say(gap, gaps);
    }
    for (; end_next != ended.end(); ++end_next) end(*end_next, gaps);
    std::erase_if(gaps, [](const Gap& gap) { return gap.from >= gap.to; });
    std::ranges::stable_sort(gaps, {}, &Gap::from);
    return gaps;
}

/// Of the same time: it began when it was first said to, and ends when it was said to last.
void Gaps::say(Gap gap, std::vector<Gap>& gaps) {
    std::erase_if(gaps, [&](const Gap& before) {
        const bool same = before.from < gap.to && gap.from < before.to && before.from < before.to;
        if (!same) return false;
        const Instant from = std::min(gap.from, before.from);
        if (said(gap) < said(before)) gap = before;
        gap.from = from;
        return true;
    });
    gaps.push_back(gap);
}

/// What is to begin later still begins.
void Gaps::end(const End& one, std::vector<Gap>& gaps) {
    for (Gap& gap : gaps) {
        if (gap.from >= gap.to) continue;
        if (one.lasted && gap.to < one.at && one.at <= gap.to + kJustAfter) gap.to = one.at;
        if (gap.from <= one.at) gap.to = std::min(gap.to, one.at);
    }
}

void Gaps::clip(const There& one, std::vector<Gap>& gaps) {
    std::vector<Gap> rest;
    for (const Gap& gap : gaps) {
        if (std::tuple(one.recorded, one.span.from, one.entry) < std::tuple(gap.recorded, gap.from, gap.entry)) {
            rest.push_back(gap);
            continue;
        }
        Gap before = gap, after = gap;
        before.to = std::min(gap.to, one.span.from);
        after.from = std::max(gap.from, one.span.to);
        if (before.from < before.to) rest.push_back(before);
        if (after.from < after.to) rest.push_back(after);
    }
    gaps = std::move(rest);
}

}  // namespace oventide::replan
