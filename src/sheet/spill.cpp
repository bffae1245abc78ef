#include "sheet/spill.hpp"

#include <algorithm>
#include <cmath>

namespace oventide::sheet {
namespace {

constexpr double kTableHead = 40;  ///< points: the day and the names of the columns
constexpr double kFewRows = 0.45;  ///< of a page; reckoned a little high, they are a third at most
constexpr double kLetter = 0.46;   ///< of the font's height, on average
constexpr double kAmount = 54;     ///< points
constexpr double kSlip = 63;       ///< points

struct Setting {
    double font, time, padding, when;  ///< points
};
constexpr Setting kRoomy{12, 13, 6.1, 107}, kClose{11, 12, 3.2, 104};  // as in look.hpp, with the rule below a row

double height_of(const ListedRow& row, const Setting& setting, const Area& page, bool slips) {
    const double columns = kAmount + (slips ? kSlip : 0);
    const double room = page.width - setting.when - (row.wide ? 0 : columns);
    const double lines =
        std::max(1.0, static_cast<double>(static_cast<int>(row.letters * setting.font * kLetter / room + 1)));
    constexpr double kLine = 1.2;
    return std::max(setting.time, setting.font * lines) * kLine + setting.padding;
}

int letters_between(const std::string& html, std::size_t from, std::size_t to) {
    return letters_of(std::string_view(html).substr(std::min(from, html.size()), to - from));
}

}  // namespace

int letters_of(std::string_view html) {
    int letters = 0;
    bool inside = false;
    for (const char c : html) {
        const bool starts_character = (static_cast<unsigned char>(c) & 0xC0U) != 0x80U;
        if (c == '<') inside = true;
        if (!inside && starts_character) ++letters;
        if (c == '>') inside = false;
    }
    return letters;
}

double head_height(const std::string& html) {
    constexpr double kName = 132, kItem = 16, kSmallLine = 12.8, kHeading = 22, kLetters = 46;
    const std::size_t mind = std::min(html.find("<h4>Mind</h4>"), html.size());
    double left = 0, right = -kHeading;
    for (std::size_t at = html.find("<li>"); at != std::string::npos; at = html.find("<li>", at + 1)) {
        if (at < mind)
            left += kItem;
        else
            right += kSmallLine * (1 + std::floor(letters_between(html, at, html.find("</li>", at)) / kLetters));
    }
    return kName + std::max(left, right);
}

int letters_of_cell(const std::string& cells) {
    return letters_between(cells, cells.find("<th"), std::min(cells.find("<span class=\"id\""), cells.find("</th>")));
}

Filled filled(double head, const std::vector<ListedRow>& rows, bool slips, const Area& page, bool close) {
    Filled now{1, head};
    for (const ListedRow& row : rows) {
        const double height = height_of(row, close ? kClose : kRoomy, page, slips);
        if (row.new_day) now.last += kTableHead;
        if (now.last + height > page.height) now = {now.pages + 1, kTableHead};
        now.last += height;
    }
    return now;
}

bool spills(double head, const std::vector<ListedRow>& rows, bool slips, const Area& page) {
    const Filled roomy = filled(head, rows, slips, page, false);
    return roomy.pages > 1 && roomy.last < kFewRows * page.height &&
           filled(head, rows, slips, page, true).pages < roomy.pages;
}

}  // namespace oventide::sheet
