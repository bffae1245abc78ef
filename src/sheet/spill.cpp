#include "sheet/spill.hpp"

#include <algorithm>
#include <initializer_list>

namespace oventide::sheet {
namespace {

constexpr double kTableHead = 40;  ///< points: the day and the names of the columns
constexpr double kFewRows = 0.3;   ///< of a page
constexpr double kLetter = 0.48;   ///< of the font's height, on average
constexpr double kColumns = 131;   ///< points: amount and slip
constexpr double kWhen = 113;      ///< points

struct Paper {
    double width, height;  ///< points inside the margins
};
constexpr Paper kA4{527, 762}, kUsLetter{544, 712};  // ISO 216; ANSI/ASME Y14.1; less the style's margins

struct Setting {
    double font, time, padding;  ///< points
};
constexpr Setting kRoomy{12, 13, 6.1}, kClose{11, 12, 3.2};  // as in look.hpp, with the rule below a row

double height_of(const ListedRow& row, const Setting& setting, const Paper& paper) {
    const double room = paper.width - kWhen - (row.wide ? 0 : kColumns);
    const double lines =
        std::max(1.0, static_cast<double>(static_cast<int>(row.letters * setting.font * kLetter / room + 1)));
    constexpr double kLine = 1.2;
    return std::max(setting.time, setting.font * lines) * kLine + setting.padding;
}

struct Filled {
    int pages = 1;
    double last = 0;  ///< points on the last page
};

Filled filled(double head, const std::vector<ListedRow>& rows, const Setting& setting, const Paper& paper) {
    Filled now{1, head};
    for (const ListedRow& row : rows) {
        const double height = height_of(row, setting, paper);
        if (row.new_day) now.last += kTableHead;
        if (now.last + height > paper.height) now = {now.pages + 1, kTableHead};
        now.last += height;
    }
    return now;
}

}  // namespace

bool spills(double head, const std::vector<ListedRow>& rows) {
    const auto on = [&](const Paper& paper) {
        const Filled roomy = filled(head, rows, kRoomy, paper);
        return roomy.pages > 1 && roomy.last < kFewRows * paper.height &&
               filled(head, rows, kClose, paper).pages < roomy.pages;
    };
    return on(kA4) || on(kUsLetter);
}

}  // namespace oventide::sheet
