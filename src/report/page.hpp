#pragma once
/// A page of text, line by line: headings, paragraphs, and tables whose cells are wrapped.

#include <string>
#include <vector>

#include "common/text.hpp"
#include "oventide/report.hpp"

namespace oventide::report {

using text::Align;
using text::clean;
using text::columns;
using text::pad;
using text::wrap;

struct Column {
    std::string head;
    Align align = Align::left;
    int most = 0;  ///< columns; 0: takes what the others leave
};

class Table {
public:
    explicit Table(std::vector<Column> columns) : columns_(std::move(columns)) {}
    /// Where cells are missing, the last one takes the room of the rest.
    void row(std::vector<std::string> cells) { rows_.push_back({std::move(cells), ""}); }
    /// A line across the whole table.
    void heading(std::string text) { rows_.push_back({{}, std::move(text)}); }
    bool empty() const { return rows_.empty(); }

private:
    friend class Page;
    struct Row {
        std::vector<std::string> cells;
        std::string heading;
    };
    std::vector<int> widths(int page_width) const;

    std::vector<Column> columns_;
    std::vector<Row> rows_;
};

class Page {
public:
    explicit Page(const Style& style);

    void title(const std::string& left, const std::string& right);
    void heading(const std::string& text);
    /// Wrapped; the lines after the first are indented by `hanging` more than the first.
    void paragraph(const std::string& text, int indent = 0, int hanging = 0);
    void prominent(const std::string& text);
    void blank();
    /// A line as it is: it fits the page.
    void verbatim(const std::string& text) { line(text); }
    void table(const Table& table, int indent = 0);

    std::string text() const { return text_; }

private:
    void line(const std::string& text, bool bold = false);

    Style style_;
    std::string text_;
};

}  // namespace oventide::report
