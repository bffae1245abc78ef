#include "report/page.hpp"

#include <algorithm>
#include <numeric>

namespace oventide::report {
namespace {

constexpr int kLeastWidth = 60;
constexpr int kGap = 1;
constexpr int kLeastFlexible = 14;  ///< columns of a table that the flexible one gets before the others shrink
constexpr int kLeastColumn = 6;

std::string spaces(int count) { return std::string(static_cast<std::size_t>(std::max(0, count)), ' '); }

constexpr std::string_view kNoBreak = "\u00a0";  // clean text has none

bool is_digit(char c) { return c >= '0' && c <= '9'; }

/// "1 of 2" is not broken.
std::string kept_together(std::string text) {
    constexpr std::string_view kOf = " of ";
    for (std::size_t at = text.find(kOf); at != std::string::npos; at = text.find(kOf, at + 1)) {
        const std::size_t end = at + kOf.size();
        if (at == 0 || end == text.size() || !is_digit(text[at - 1]) || !is_digit(text[end])) continue;
        text.replace(end - 1, 1, kNoBreak);
        text.replace(at, 1, kNoBreak);
    }
    return text;
}

void trim_end(std::string& text) { text.erase(text.find_last_not_of(' ') + 1); }

}  // namespace

/// As wide as the widest cell, up to what a column may take; the flexible one fills the page.
std::vector<int> Table::widths(int page_width) const {
    std::vector<int> widths;
    int flexible = -1;
    for (std::size_t k = 0; k < columns_.size(); ++k) {
        int natural = columns(columns_[k].head);
        for (const Row& row : rows_)
            if (k + 1 < row.cells.size() || row.cells.size() == columns_.size())
                natural = std::max(natural, columns(row.cells[k]));
        if (columns_[k].most == 0) flexible = static_cast<int>(k);
        widths.push_back(columns_[k].most == 0 ? 0 : std::min(natural, columns_[k].most));
    }
    const int gaps = kGap * (static_cast<int>(columns_.size()) - 1);
    const auto rest = [&] { return page_width - gaps - std::accumulate(widths.begin(), widths.end(), 0); };
    while (rest() < kLeastFlexible) {
        const auto widest = std::max_element(widths.begin(), widths.end());
        if (*widest <= kLeastColumn) break;
        --*widest;
    }
    if (flexible >= 0) widths[static_cast<std::size_t>(flexible)] = std::max(kLeastFlexible, rest());
    return widths;
}

Page::Page(const Style& style) : style_(style) { style_.width = std::max(style_.width, kLeastWidth); }

void Page::line(const std::string& text, bool bold) {
    if (bold && style_.colour) text_ += "\x1b[1m";
    const std::size_t from = text_.size();
    text_ += text;
    for (std::size_t at = from; (at = text_.find(kNoBreak, at)) != std::string::npos;)
        text_.replace(at, kNoBreak.size(), " ");
    trim_end(text_);
    if (bold && style_.colour) text_ += "\x1b[0m";
    text_ += '\n';
}

void Page::blank() {
    if (!text_.empty()) text_ += '\n';
}

void Page::title(const std::string& left, const std::string& right) {
    const int room = style_.width - columns(right) - 2;
    const auto lines = wrap(left, std::max(room, kLeastFlexible));
    for (std::size_t k = 0; k < lines.size(); ++k) line(k == 0 ? pad(lines[k], room + 2) + right : lines[k], true);
    line(std::string(static_cast<std::size_t>(style_.width), '='));
}

void Page::heading(const std::string& text) {
    blank();
    for (const std::string& part : wrap(text, style_.width)) line(part, true);
}

void Page::prominent(const std::string& text) {
    for (const std::string& part : wrap(text, style_.width)) line(part, true);
}

void Page::paragraph(const std::string& text, int indent, int hanging) {
    const auto lines = wrap(kept_together(text), style_.width - indent - hanging, hanging);
    for (std::size_t k = 0; k < lines.size(); ++k) line(spaces(k == 0 ? indent : indent + hanging) + lines[k]);
}

void Page::table(const Table& table, int indent) {
    const auto all = table.widths(style_.width - indent);
    const auto print = [&](const std::vector<std::string>& cells, bool bold) {
        auto widths = all;
        for (std::size_t k = cells.size(); k < all.size(); ++k) widths[cells.size() - 1] += kGap + all[k];
        std::vector<std::vector<std::string>> wrapped;
        std::size_t height = 0;
        for (std::size_t k = 0; k < cells.size(); ++k) {
            wrapped.push_back(wrap(kept_together(cells[k]), widths[k]));
            height = std::max(height, wrapped.back().size());
        }
        for (std::size_t row = 0; row < height; ++row) {
            std::string text = spaces(indent);
            for (std::size_t k = 0; k < cells.size(); ++k) {
                if (k > 0) text += spaces(kGap);
                text += pad(row < wrapped[k].size() ? wrapped[k][row] : "", widths[k], table.columns_[k].align);
            }
            trim_end(text);
            line(text, bold);
        }
    };
    std::vector<std::string> heads;
    for (const Column& column : table.columns_) heads.push_back(column.head);
    if (std::any_of(heads.begin(), heads.end(), [](const std::string& head) { return !head.empty(); }))
        print(heads, true);
    for (const Table::Row& row : table.rows_) {
        if (row.cells.empty())
            heading(row.heading);
        else
            print(row.cells, false);
    }
}

}  // namespace oventide::report
