#include "sheet/flags.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <tuple>

#include "common/text.hpp"
#include "oventide/sheet.hpp"

namespace oventide::sheet {
namespace {

constexpr double kColumn = 7.2;
constexpr double kRow = 14;
constexpr double kAside = 3;   ///< from pole to name
constexpr double kGap = 4;     ///< between what stands in one row
constexpr double kCrowd = 75;  ///< flags that are closer to each other than this are in each other's way
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
        for (const bool cut : {false, true}) {
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

std::vector<Flags::Flag> Flags::from_left() const {
    std::vector<Flag> all = flags_;
    for (Flag& flag : all) flag.to_the_left = true;
    return all;
}

/// Of each crowd the outermost first; the left half of them fly to the left.
std::vector<Flags::Flag> Flags::outside_in() const {
    std::vector<Flag> all;
    for (std::size_t begin = 0, end = 0; begin < flags_.size(); begin = end) {
        for (end = begin + 1; end < flags_.size() && flags_[end].x - flags_[end - 1].x < kCrowd;) ++end;
        for (std::size_t left = begin, right = end; left < right;) {
            all.push_back(flags_[--right]);
            if (left == right) break;
            all.push_back(flags_[left++]);
            all.back().to_the_left = true;
        }
    }
    return all;
}

double Flags::draw_at(double y, std::string& body) {
    std::stable_sort(flags_.begin(), flags_.end(), [](const Flag& a, const Flag& b) { return a.x < b.x; });
    const std::vector<Flag> from_right(flags_.rbegin(), flags_.rend());
    const auto cost = [](const std::vector<Flag>& flags) {
        std::size_t cut = 0, rows = 0;
        for (const Flag& flag : flags) {
            cut += flag.cut ? 1 : 0;
            rows = std::max(rows, flag.row + 1);
        }
        return std::tuple(cut, rows);
    };
    std::vector<Flag> best = placed(from_right);
    for (const auto& order : {from_left(), outside_in()})
        if (auto other = placed(order); cost(other) < cost(best)) best = std::move(other);
    std::string poles, names;
    for (const Flag& flag : best) {
        const double foot = y + kRow * static_cast<double>(flag.row) + 12;
        poles +=
            fmt::format(R"(<line class="pole" x1="{0:.1f}" x2="{0:.1f}" y1="{1:.1f}" y2="{2:.1f}"/>)", flag.x, y, foot);
        names += fmt::format(R"(<text class="{}" x="{:.1f}" y="{:.1f}">{}</text>)",
                             flag.left < flag.x ? "collected" : "beside",
                             flag.left < flag.x ? flag.left + flag.width : flag.left, foot, escape(flag.said()));
    }
    body += poles + names;
    return y + kRow * static_cast<double>(std::get<1>(cost(best))) + 3;
}

}  // namespace oventide::sheet
