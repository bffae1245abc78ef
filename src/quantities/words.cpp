#include <fmt/format.h>

#include "oventide/quantities.hpp"

namespace oventide {
namespace {

/// `count` of which `whole` are one, without noughts at the end.
std::string decimal(std::int64_t count, std::int64_t whole) {
    std::string text = fmt::format("{}.{}", count / whole, std::to_string(whole + count % whole).substr(1));
    text.erase(text.find_last_not_of('0') + 1);
    if (text.back() == '.') text.pop_back();
    return text;
}

std::int64_t rounded(std::int64_t value, std::int64_t by) { return (value + by / 2) / by; }

std::string measured(std::int64_t millionths, const char* small, const char* large) {
    const std::int64_t hundredths = rounded(millionths, 10'000);
    if (hundredths < 1'000) return decimal(hundredths, 100) + " " + small;
    const std::int64_t tenths = rounded(millionths, 100'000);
    if (tenths < 10'000) return decimal(tenths, 10) + " " + small;
    return decimal(rounded(millionths, 1'000'000), 1'000) + " " + large;
}

}  // namespace

std::string figure_text(const Figure& figure) {
    switch (figure.measure) {
        case Measure::mass:
            return measured(figure.millionths, "g", "kg");
        case Measure::volume:
            return measured(figure.millionths, "ml", "l");
        case Measure::pieces:
            break;
    }
    return decimal(rounded(figure.millionths, 10'000), 100);
}

std::string taken_text(const Figure& figure) {
    const std::string text = figure_text(figure);
    return figure.measure == Measure::pieces && text.find('.') != std::string::npos
               ? text + " of " + figure_text(whole_pieces(figure, true))
               : text;
}

Figure whole_pieces(const Figure& figure, bool up) {
    constexpr std::int64_t kPiece = 1'000'000;
    if (figure.measure != Measure::pieces) return figure;
    return {figure.measure, (figure.millionths + (up ? kPiece - 1 : 0)) / kPiece * kPiece};
}

std::string percent_text(std::int64_t millionths) {
    if (millionths < 10'000) return decimal(rounded(millionths, 100), 100) + " %";
    return decimal(rounded(millionths, 1'000), 10) + " %";
}

}  // namespace oventide
