#pragma once
/// What stands where in a drawing of the day sheet.

#include <string>
#include <vector>

namespace oventide::test {

struct Label {
    double left, right, y;
    std::string text;
};

inline double number_after(const std::string& tag, const std::string& name) {
    return std::stod(tag.substr(tag.find(" " + name + "=\"") + name.size() + 3));
}

/// Every text of a figure but for those in its bars, as wide as its letters may be (7.2 units each).
inline std::vector<Label> labels_of(const std::string& svg) {
    std::vector<Label> labels;
    for (std::size_t at = svg.find("<text class="); at != std::string::npos; at = svg.find("<text class=", at + 1)) {
        const std::size_t close = svg.find('>', at);
        const std::string tag = svg.substr(at, close - at);
        const std::string text = svg.substr(close + 1, svg.find('<', close) - close - 1);
        const double x = number_after(tag, "x"), wide = 7.2 * static_cast<double>(text.size());
        const bool to_the_left = tag.find("\"collected\"") != std::string::npos;
        const bool centred = tag.find("\"clock\"") != std::string::npos;
        const double left = to_the_left ? x - wide : centred ? x - wide / 2 : x;
        labels.push_back({left, left + wide, number_after(tag, "y"), text});
    }
    return labels;
}

}  // namespace oventide::test
