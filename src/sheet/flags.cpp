#include "sheet/flags.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <optional>
#include <tuple>
#include <utility>

#include "common/text.hpp"
#include "oventide/sheet.hpp"

namespace oventide::sheet {
namespace {

constexpr double kColumn = 7.2;
constexpr double kRow = 14;
constexpr double kAside = 3;   ///< from pole to name
constexpr double kGap = 4;     ///< between what stands in one row
constexpr double kCrowd = 45;  ///< flags that are closer to each other than this stand in one crowd
constexpr std::size_t kRows = 11;

}  // namespace

double Flags::Flag::from() const { return std::min(left, x); }
double Flags::Flag::to() const { return std::max(left + width, x); }

void Flags::add(double x, std::string name, std::string short_name) {
    flags_.push_back({x, std::move(name), std::move(short_name)});
}

bool Flags::fits(const Flag& flag, const std::vector<Flag>& others, bool poles_too) {
    const double from = flag.from() - kGap, to = flag.to() + kGap;
    return std::none_of(others.begin(), others.end(), [&](const Flag& other) {
        if (other.row == flag.row) return from < other.to() && other.from() < to;
        if (!poles_too) return false;
        if (other.row > flag.row) return from < other.x && other.x < to;
        return other.from() - kGap < flag.x && flag.x < other.to() + kGap;
    });
}

void Flags::hoist(Flag& flag, bool cut) const {
    flag.cut = cut;
    flag.width = kColumn * text::columns(flag.said());
    const double to_the_left = flag.x - kAside - flag.width, to_the_right = flag.x + kAside;
    const bool flies_left = flag.to_the_left ? to_the_left >= left_ : to_the_right + flag.width > right_;
    flag.left = flies_left ? std::max(left_, to_the_left) : to_the_right;
}

std::vector<Flags::Flag> Flags::placed(std::vector<Flag> flags) const {
    std::vector<Flag> done;
    const auto find_row = [&](Flag& flag) {
        for (const bool cut : {false, true})
            for (int side = 0; side < 2; ++side, flag.to_the_left = !flag.to_the_left) {
                hoist(flag, cut);
                for (flag.row = 0; flag.row < kRows; ++flag.row)
                    if (fits(flag, done, true)) return;
            }
        for (flag.row = 0; !fits(flag, done, false); ++flag.row) continue;
    };
    for (Flag& flag : flags) {
        find_row(flag);
        done.push_back(flag);
    }
    return done;
}

std::vector<Flags::Crowd> Flags::crowds() const {
    std::vector<Crowd> all;
    for (std::size_t i = 0; i < flags_.size(); ++i) {
        if (i == 0 || flags_[i].x - flags_[i - 1].x >= kCrowd) all.push_back({i, i});
        all.back().end = i + 1;
    }
    return all;
}

void Flags::line_up(const Crowd& crowd, std::vector<Flag>& line) const {
    const auto add = [&](std::size_t index, bool to_the_left) {
        line.push_back(flags_[index]);
        line.back().to_the_left = to_the_left;
    };
    std::size_t left = crowd.begin, right = crowd.end;
    while (left < right) {
        if (crowd.way != Crowd::Way::from_left) add(--right, false);
        if (left < right && crowd.way != Crowd::Way::from_right) add(left++, true);
    }
}

Flags::Placing Flags::place(const std::vector<Crowd>& crowds, bool rightmost_first) const {
    std::vector<Flag> line;
    for (std::size_t i = 0; i < crowds.size(); ++i) line_up(crowds[rightmost_first ? crowds.size() - 1 - i : i], line);
    Placing placing{placed(line), 0, 0};
    for (const Flag& flag : placing.flags) {
        placing.cut += flag.cut ? 1 : 0;
        placing.rows = std::max(placing.rows, flag.row + 1);
    }
    return placing;
}

Flags::Placing Flags::best_placing() const {
    using enum Crowd::Way;
    const auto better = [](const Placing& a, const Placing& b) {
        return std::tie(a.cut, a.rows) < std::tie(b.cut, b.rows);
    };
    std::optional<Placing> best;
    for (const bool rightmost_first : {true, false})
        for (const auto way : {from_right, from_left, outside_in}) {
            std::vector<Crowd> all = crowds();
            for (Crowd& crowd : all) crowd.way = way;
            Placing placing = place(all, rightmost_first);
            for (Crowd& crowd : all)
                for (const auto other : {from_right, from_left, outside_in}) {
                    const auto before = std::exchange(crowd.way, other);
                    Placing tried = place(all, rightmost_first);
                    if (better(tried, placing))
                        placing = std::move(tried);
                    else
                        crowd.way = before;
                }
            if (!best || better(placing, *best)) best = std::move(placing);
        }
    return *best;
}

double Flags::draw_at(double y, std::string& body) {
    std::stable_sort(flags_.begin(), flags_.end(), [](const Flag& a, const Flag& b) { return a.x < b.x; });
    const Placing best = best_placing();
    std::string poles, names;
    for (const Flag& flag : best.flags) {
        const double foot = y + kRow * static_cast<double>(flag.row) + 12;
        poles +=
            fmt::format(R"(<line class="pole" x1="{0:.1f}" x2="{0:.1f}" y1="{1:.1f}" y2="{2:.1f}"/>)", flag.x, y, foot);
        names += fmt::format(R"(<text class="{}" x="{:.1f}" y="{:.1f}">{}</text>)",
                             flag.left < flag.x ? "collected" : "beside",
                             flag.left < flag.x ? flag.left + flag.width : flag.left, foot, escape(flag.said()));
    }
    body += poles + names;
    return y + kRow * static_cast<double>(best.rows) + 3;
}

}  // namespace oventide::sheet
