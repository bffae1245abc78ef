#include "sheet/paper.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "common/text.hpp"

namespace oventide::sheet {
namespace {

// In millimetres.
constexpr double kTop = 15, kSide = 12, kBottom = 13;
constexpr int kMostColumns = 50;  ///< beside the dates, on the narrower of the two papers

std::string shortened(const std::string& title) {
    const std::string clean = text::clean(title);
    return text::columns(clean) <= kMostColumns ? clean : text::wrap(clean, kMostColumns - 4).front() + " ...";
}

}  // namespace

std::string css_string(std::string_view text) {
    std::string out = "\"";
    for (const char c : text) {
        const auto byte = static_cast<unsigned char>(c);
        const bool plain = byte >= 0x80U || (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') ||
                           (c >= '0' && c <= '9') || std::string_view(" .,:-").find(c) != std::string_view::npos;
        out += plain ? std::string(1, c) : fmt::format("\\{:x} ", byte);
    }
    return out + "\"";
}

std::string dates_of(const clock::Zone& zone, const Timetable& timetable) {
    if (timetable.pickups.empty()) return "";
    Instant first = timetable.pickups.front().pickup;
    Instant last = first;
    for (const PickupLine& line : timetable.pickups) {
        first = std::min(first, line.pickup);
        last = std::max(last, line.pickup);
    }
    for (const Row& row : timetable.rows) first = std::min(first, row.start);
    for (const OvenEvent& event : timetable.oven) first = std::min(first, event.at);
    const clock::LocalTime from = zone.local(first), to = zone.local(last);
    const std::string end = fmt::format("{} {}", clock::date_text(to), to.year);
    if (from.year != to.year) return fmt::format("{} {} to {}", clock::date_text(from), from.year, end);
    return clock::date_text(from) == clock::date_text(to) ? end : clock::date_text(from) + " to " + end;
}

Area area_of(Paper paper) {
    constexpr double kInch = 25.4, kPoints = 72 / kInch;
    const Area sheet = paper == Paper::a4 ? Area{210, 297} : Area{8.5 * kInch, 11 * kInch};  // ISO 216; ASME Y14.1
    return {(sheet.width - 2 * kSide) * kPoints, (sheet.height - kTop - kBottom) * kPoints};
}

std::string page_rules(Paper paper, const std::string& title, const std::string& dates, const std::string& as_of) {
    return fmt::format(
        "@page {{ size: {}; margin: {}mm {}mm {}mm;\n"
        "  @top-left {{ content: {}; }} @top-right {{ content: {}; }}\n"
        "  @bottom-left {{ content: {}; font-size: 9pt; }}\n"
        "  @bottom-right {{ content: \"page \" counter(page) \" of \" counter(pages); white-space: nowrap; }} }}\n"
        "@page :first {{ @top-left {{ content: none; }} }}\n",
        paper == Paper::a4 ? "A4" : "letter", kTop, kSide, kBottom, css_string(shortened(title)), css_string(dates),
        css_string(as_of));
}

}  // namespace oventide::sheet
