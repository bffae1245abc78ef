#include "sheet/layout.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <charconv>
#include <cmath>
#include <string_view>
#include <vector>

#include "sheet/spill.hpp"

namespace oventide::sheet {
namespace {

// Points, as in look.hpp: lines at 1.2 of their font, and the space around them.
constexpr double kLine = 13.2, kSmallLine = 12, kTitle = 21.6, kHeading = 23.4, kItem = 16, kAlarm = 20.8;
constexpr double kSmallItem = 14.4, kNote = 10.5, kNoteSpace = 5, kParagraph = 35.2, kRow = 15.7, kTwoLines = 12.7;
constexpr double kTableHead = 34, kTableSpace = 6;
constexpr double kLetter = 5.06, kSmallLetter = 4.6;  ///< on average, at 11 and 10 points
constexpr double kKeyItem = 8, kSwatch = 17;          ///< the space before the next item
constexpr double kPanelSpace = 26;                    ///< around a stretch, with its caption
constexpr double kWhen = 81, kAmount = 52, kSlips = 61, kWho = 49;
constexpr double kDrawn = 580;  ///< units across a drawing

/// Where it stands in `html`, up to where its tag is closed.
std::string_view element(std::string_view html, std::size_t at, std::string_view tag) {
    const std::size_t end = html.find("</" + std::string(tag) + ">", at);
    return html.substr(at, end == std::string_view::npos ? end : end - at);
}

template <class Add>
void each(std::string_view html, std::string_view opening, std::string_view tag, Add add) {
    for (std::size_t at = html.find(opening); at != std::string_view::npos; at = html.find(opening, at + 1))
        add(element(html, at, tag));
}

int lines(std::string_view html, double letter, double width) {
    return 1 + static_cast<int>(letters_of(html) * letter / width);
}

// ------------------------------------------------------------------------------------------------------- words

/// Those of it that paper shows.
std::string on_paper(const std::string& words) {
    constexpr std::string_view kTwice = "<div class=\"twice\">";
    const std::size_t at = words.find(kTwice);
    if (at == std::string::npos) return words;
    return words.substr(0, at) + words.substr(std::min(words.find("</div>", at), words.size()));
}

double list_height(std::string_view list, const Area& page) {
    const bool alarm = list.find("<ul class=\"alarm\"") == 0, small = list.find("<ul class=\"mind\"") == 0;
    double height = 0;
    each(list, "<li>", "li", [&](std::string_view item) {
        const int more = lines(item, small ? kSmallLetter : kLetter, page.width - (alarm ? 90 : 24)) - 1;
        height += alarm ? kAlarm + kLine * more : small ? kSmallItem + kSmallLine * more : kItem + kLine * more;
    });
    return height;
}

/// Of a table of orders or of a list.
double table_height(std::string_view table, const Area& page) {
    double height = 0;
    each(table, "<tr", "tr", [&](std::string_view row) {
        int count = 0;
        for (std::size_t from = 0; from < row.size();) {
            const std::size_t to = std::min(row.find("<br>", from), row.size());
            count += lines(row.substr(from, to - from), kLetter, page.width * 0.8);
            from = to + 1;
        }
        if (row.find("class=\"contains\"") == std::string_view::npos) height += kRow + kLine * (count - 1);
    });
    return height + kTableSpace;
}

double words_height(const std::string& html, const Area& page) {
    const std::string words = on_paper(html);
    double height = kTitle;
    each(words, "<h2>", "h2", [&](std::string_view) { height += kHeading; });
    each(words, "<ul", "ul", [&](std::string_view list) { height += list_height(list, page); });
    each(words, "<table", "table", [&](std::string_view table) { height += table_height(table, page); });
    each(words, "<p class=\"slips\">", "p",
         [&](std::string_view note) { height += kNoteSpace + kNote * lines(note, kSmallLetter, page.width); });
    each(words, "<p>", "p",
         [&](std::string_view text) { height += kParagraph + kLine * (lines(text, kLetter, page.width) - 1); });
    return height;
}

// ------------------------------------------------------------------------------------------------------- picture

double drawn_height(std::string_view html) {
    constexpr std::string_view kBox = "viewBox=\"0 0 ";
    double units = 0;
    for (std::size_t at = html.find(kBox); at != std::string_view::npos; at = html.find(kBox, at + 1)) {
        const std::string_view high = html.substr(html.find(' ', at + kBox.size()) + 1);
        double one = 0;
        std::from_chars(high.data(), high.data() + high.size(), one);
        units += one;
    }
    return units;
}

double key_height(std::string_view panel, const Area& page) {
    double across = 0;
    each(element(panel, std::min(panel.find("<div class=\"paper\">"), panel.size()), "ul"), "<li>", "li",
         [&](std::string_view item) {
             across +=
                 kKeyItem + kLetter * letters_of(item) + (item.find("swatch") == std::string_view::npos ? 0 : kSwatch);
         });
    return kLine * (1 + std::floor(across / page.width));
}

// ------------------------------------------------------------------------------------------------------- pages

/// Of what hands do.
int only_letters(std::string_view picture) {
    int count = 0;
    for (const std::string_view flag : {"<text class=\"beside\"", "<text class=\"collected\""})
        each(picture, flag, "text", [&](std::string_view text) {
            const std::string_view said = text.substr(text.find('>'));
            if (said.find(' ') == std::string_view::npos && said.find(':') == std::string_view::npos) ++count;
        });
    return count;
}

double words_of_panel(std::string_view panel, const Area& page) { return kPanelSpace + key_height(panel, page); }

constexpr std::string_view kPanel = "<div class=\"panel\"";

constexpr std::string_view kWide = " style=\"--wide: ";

/// How much of the page's width it takes.
double share_of(std::string_view panel) {
    if (panel.substr(kPanel.size()).find(kWide) != 0) return 1;
    int percent = 100;
    const std::string_view figure = panel.substr(kPanel.size() + kWide.size());
    std::from_chars(figure.data(), figure.data() + figure.size(), percent);
    return percent / 100.0;
}

double panel_height(std::string_view panel, const Area& page) {
    return words_of_panel(panel, page) + share_of(panel) * drawn_height(panel) * page.width / kDrawn;
}

/// So that it goes into that room; as it is where it does, or letters of 9 points do not.
std::string drawn_smaller(std::string panel, const Area& page, double room) {
    constexpr double kLeast = 0.85;
    const double share = (room - words_of_panel(panel, page)) / (drawn_height(panel) * page.width / kDrawn);
    if (share < 1 && share >= kLeast)
        panel.insert(kPanel.size(), fmt::format("{}{:.0f}%\"", kWide, std::floor(100 * share)));
    return panel;
}

template <class Add>
void each_panel(const std::string& picture, Add add) {
    for (std::size_t at = picture.find(kPanel); at != std::string::npos;) {
        const std::size_t next = picture.find(kPanel, at + 1);
        add(picture.substr(at, next - at));
        at = next;
    }
}

class Filling {
public:
    explicit Filling(const Area& page) : page_(page) {}

    void words(double height) {
        used_ += height;
        while (used_ > page_.height) {
            used_ -= page_.height;
            ++pages_;
        }
    }

    void whole(double height) {
        if (height > page_.height) {
            ++torn_;
            return words(height);
        }
        row(height, 0);
    }

    /// `head`: what comes back on the next page.
    void row(double height, double head) {
        if (used_ + height > page_.height) {
            used_ = head;
            ++pages_;
        }
        used_ += height;
    }

    double room() const { return page_.height - used_; }
    int pages() const { return pages_; }
    int torn() const { return torn_; }

private:
    Area page_;
    int pages_ = 1;
    int torn_ = 0;
    double used_ = 0;
};

// ----------------------------------------------------------------------------------------------- the weigh sheet

/// Two of them stand side by side.
double weigh_height(std::string_view table, const Area& page, bool close) {
    constexpr double kGap = 22.7, kNames = 0.55;  // between the columns; of a table's width
    const double width = (page.width - kGap) / 2;
    double height =
        (close ? 4 : 7.2) + kLine * lines(element(table, table.find("<caption>"), "caption"), kLetter, width);
    each(table, "<tr>", "tr", [&](std::string_view row) {
        const std::string_view what = element(row, std::min(row.find("<th"), row.size()), "th");
        height += kLine * lines(what, kLetter, kNames * width) + (close ? 1.2 : 2.7);
    });
    return height + 4;
}

void add_timetable(const std::string& html, const Area& page, Filling& filling) {
    each(html, "<p class=\"slips", "p",
         [&](std::string_view note) { filling.words(kNoteSpace + kNote * lines(note, kSmallLetter, page.width)); });
    const bool slips = html.find("<col class=\"slips\">") != std::string::npos;
    const bool who = html.find("<col class=\"who\">") != std::string::npos;
    const double what = page.width - kWhen - kAmount - (slips ? kSlips : 0) - (who ? kWho : 0);
    each(html, "<table", "table", [&](std::string_view table) {
        filling.row(kTableHead + kRow, 0);
        each(element(table, table.find("<tbody>"), "tbody"), "<tr>", "tr", [&](std::string_view row) {
            const bool wide = row.find("colspan") != std::string_view::npos;
            const int count =
                1 + static_cast<int>(letters_of_cell(std::string(row)) * kLetter / (what + (wide ? kAmount : 0)));
            filling.row(kRow + kTwoLines * (count - 1), kTableHead);
        });
    });
}

}  // namespace

constexpr double kSurely = 0.985;  // reckoned, and not measured

int weigh_pages(const std::string& weights, double used, const Area& page, bool close) {
    std::vector<double> tables;
    each(weights, "<table", "table",
         [&](std::string_view table) { tables.push_back(weigh_height(table, page, close)); });
    int further = 0;
    double room = page.height - used - kHeading - 2 * kNote - kNoteSpace;
    for (std::size_t next = 0; next < tables.size();) {
        const std::size_t before = next;
        for (int column = 0; column < 2; ++column)
            for (double height = 0; next < tables.size() && height + tables[next] <= room; ++next)
                height += tables[next];
        if (next == tables.size()) break;
        if (next == before && further > 0) ++next;  // one that no page can hold
        ++further;
        room = page.height;
    }
    return further;
}

std::string fitted(const Front& front, const Area& page) {
    constexpr double kWordsSurely = 1.03;  // drawings are reckoned closer than words
    const Area surely{page.width, kSurely * page.height};
    Filling filling(surely);
    filling.words(kWordsSurely * words_height(front.words, page));
    std::string out = front.picture.substr(0, front.picture.find(kPanel));
    each_panel(front.picture, [&](std::string panel) {
        if (panel_height(panel, page) > filling.room()) panel = drawn_smaller(panel, page, filling.room());
        if (panel_height(panel, page) > filling.room()) panel = drawn_smaller(panel, page, surely.height);
        filling.whole(panel_height(panel, page));
        out += panel;
    });
    return out;
}

int cost_of(const Front& front, const Area& page) {
    constexpr double kOff[] = {0.985, 1, 1.03};  // reckoned, and not measured
    constexpr int kPage = 3, kTorn = 4;          // as bad as so many steps without their names
    int most = 0;
    for (const double off : kOff) {
        Filling filling({page.width, page.height * off});
        filling.words(words_height(front.words, page));
        each_panel(front.picture, [&](const std::string& panel) { filling.whole(panel_height(panel, page)); });
        add_timetable(front.timetable, page, filling);
        most = std::max(most, kPage * filling.pages() + kTorn * filling.torn());
    }
    return most + only_letters(front.picture);
}

}  // namespace oventide::sheet
