/// What has to be bought; for paper.

#include <fmt/format.h>

#include "report/figures.hpp"
#include "report/shared.hpp"

namespace oventide::report {
namespace {

/// Nobody buys 36.8 eggs.
std::string counted(const Figure& figure) { return figure_text(whole_pieces(figure, true)); }

std::string packs_text(const ShopLine& line) {
    const Figure left = whole_pieces(line.over, false);
    const std::string over = left.millionths > 0 ? ", " + figure_text(left) + " over" : "";
    if (line.pack)
        return fmt::format("{} {} of {}{}", grouped(line.packs), line.packs == 1 ? "pack" : "packs",
                           figure_text(*line.pack), over);
    return figure_text(line.buy) + (line.mass ? " (" + figure_text(*line.mass) + ")" : "") + over;
}

/// Parts of one piece that are needed, so that nobody buys eggs twice.
void add_parts(const Subject& subject, const Words& words, const Shopping& shopping, Page& page) {
    const auto& all = subject.plan.ingredients;
    for (const ShopLine& line : shopping.lines) {
        std::vector<std::string> parts;
        for (const DayNeed& day : shopping.days)
            for (const DayNeed::Line& need : day.lines)
                if (all[need.ingredient].of == line.ingredient) parts.push_back(words.name(all[need.ingredient].name));
        const std::string named = joined(parts, " and ");
        if (!named.empty())
            page.paragraph(fmt::format("{}: those for {} are counted in; parts that differ share their pieces.",
                                       words.name(all[line.ingredient].name), named));
    }
}

void add_days(const Subject& subject, const Words& words, const Days& days, const Shopping& shopping, Page& page) {
    if (shopping.days.size() < 2) return;
    Table table({{"", Align::left, 30}, {"", Align::right, 10}, {"", Align::left, 0}});
    for (const DayNeed& day : shopping.days) {
        table.heading("For what is begun on " + days.day(day.first));
        for (const DayNeed::Line& line : day.lines)
            table.row({words.name(subject.plan.ingredients[line.ingredient].name), counted(line.needed), ""});
    }
    page.table(table);
}

}  // namespace

std::string shop_text(const Subject& subject, const Style& style) {
    if (subject.timetable == nullptr) return no_timetable_text(subject, style);
    const Words words(subject, style.ascii);
    const Days days(subject.zone, span_of(subject));
    const Shopping shopping = shop(subject.plan, *subject.timetable, subject.zone);
    Page page(style);
    page.title(words.name(subject.plan.title), "Shopping");
    Table buy({{"", Align::left, 3},
               {"To buy", Align::left, 22},
               {"needed", Align::right, 9},
               {"there", Align::right, 9},
               {"missing", Align::right, 9},
               {"buy", Align::left, 0}});
    Table there({{"", Align::left, 3},
                 {"In the larder", Align::left, 22},
                 {"needed", Align::right, 9},
                 {"there", Align::right, 9},
                 {"", Align::left, 0}});
    for (const ShopLine& line : shopping.lines) {
        const std::string name = words.name(subject.plan.ingredients[line.ingredient].name);
        const std::string have = line.have.millionths > 0 ? figure_text(line.have) : "";
        if (line.missing.millionths > 0)
            buy.row({"[ ]", name, counted(line.needed), have, counted(line.missing), packs_text(line)});
        else
            there.row({"", name, counted(line.needed), have, ""});
    }
    page.blank();
    if (!buy.empty()) page.table(buy);
    if (!buy.empty() && !there.empty()) page.blank();
    if (!there.empty()) page.table(there);
    add_days(subject, words, days, shopping, page);
    if (!shopping.lines.empty()) {
        page.blank();
        page.paragraph(
            "needed: as it is bought, with what is trimmed off. Packs are rounded up to whole packs, and pieces to "
            "whole pieces; 'over' is what that leaves, in whole pieces.");
        page.paragraph(std::string(kRounding));
        add_parts(subject, words, shopping, page);
    }
    add_unsaid(subject, words, page);
    return page.text();
}

}  // namespace oventide::report
