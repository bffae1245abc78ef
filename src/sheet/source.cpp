#include "sheet/source.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cctype>
#include <tuple>

#include "common/duration_text.hpp"
#include "oventide/sheet.hpp"
#include "sheet/weigh_section.hpp"

namespace oventide::sheet {
namespace {

std::string in_words(const std::vector<std::string>& names) { return fmt::format("{}", fmt::join(names, ", ")); }

}  // namespace

std::string name(const std::string& text) { return "<bdi>" + escape(text) + "</bdi>"; }

std::string sentence(const std::string& text) { return "<bdi dir=\"ltr\">" + escape(text) + "</bdi>"; }

std::string soft(const std::string& text) {
    return text.empty() ? "" : "<span class=\"soft\">" + escape(text) + "</span>";
}

std::string Source::time_from(Instant at, Instant seen_from) const {
    return (day(at) == day(seen_from) ? "" : day(at).substr(0, 3) + " ") + time(at);
}

std::string Source::person(std::optional<PersonIndex> index) const {
    return index ? name(plan.kitchen.crew[*index].name) : "";
}

std::string Source::what(const Row& row) const {
    const Component& component = plan.components[row.component];
    return name(component.name) + ": " + name(component.steps[row.step].name) + soft(numbers.which(row));
}

std::string Source::job(const Job& job) const {
    if (job.kind == Job::Kind::timer) return timer(job);
    if (job.event >= 0) return oven(job.event);
    const std::string done = doing(plan, timetable, job, [&](Instant at) { return time_from(at, job.span.from); });
    return (job.kind == Job::Kind::washing ? "wash up after " : "") + what(row(job.row)) +
           (done.empty() ? "" : " - " + escape(done));
}

std::string Source::timer(const Job& job) const {
    const OvenEvent& turn = timetable.oven[static_cast<std::size_t>(job.event)];
    return name(plan.kitchen.equipment[turn.oven].name) + ": set its timer to come on at " +
           time_from(turn.at, job.span.from) + (turn.temperature ? " for " + heat_text(plan, *turn.temperature) : "") +
           food_of(job.event);
}

std::string Source::oven(std::int32_t event) const {
    const OvenEvent& turn = timetable.oven[static_cast<std::size_t>(event)];
    return name(plan.kitchen.equipment[turn.oven].name) + ": " +
           escape(turning(plan, timetable, event, [&](Instant at) { return time_from(at, turn.at); })) + food_of(event);
}

std::string Source::food_of(std::int32_t event) const {
    return turned_for(timetable, event, [&](ComponentIndex food) { return name(plan.components[food].name); });
}

std::string Source::heat(const Row& row) const {
    const std::string text = baking(plan, row, [&](Instant at) { return time_from(at, row.start); });
    return text.empty() ? "" : " at " + escape(text);
}

std::string Source::with(const std::vector<EquipmentUse>& uses, Span during, std::optional<EquipmentIndex> said) const {
    std::vector<EquipmentIndex> seen;
    std::vector<std::string> parts;
    for (const EquipmentUse& use : uses) {
        if (use.span.from >= during.to || use.span.to <= during.from) continue;
        if (std::find(seen.begin(), seen.end(), use.equipment) != seen.end()) continue;
        seen.push_back(use.equipment);
        const Equipment& equipment = plan.kitchen.equipment[use.equipment];
        const bool oven = equipment.kind == EquipmentKind::oven;
        if (said != use.equipment)
            parts.push_back(name(equipment.name) + (use.amount > 1 ? fmt::format(" x{}", use.amount) : ""));
        else if (use.amount > 1)
            parts.push_back(fmt::format("{} {}", use.amount, oven ? "trays" : "shelves"));
    }
    return parts.empty() ? "" : " <span class=\"with\">\u00b7 " + in_words(parts) + "</span>";
}

std::string Source::item(const PickupLine& line, std::int32_t index) const {
    const Item& item = plan.orders[line.order].items[static_cast<std::size_t>(index)];
    const Component& component = plan.components[item.component];
    std::string out = amount_text(component, item.pieces) + " " + name(component.name);
    if (!numbers.several_batches(item.component)) return out;
    const auto of_item = [&](const PickupLine::Serving& serving) { return serving.item == index; };
    const bool several = std::count_if(line.servings.begin(), line.servings.end(), of_item) > 1;
    std::vector<std::string> batches;
    for (const PickupLine::Serving& serving : line.servings)
        if (of_item(serving))
            batches.push_back(fmt::format("batch {}", serving.batch) +
                              (several ? ": " + amount_text(component, serving.amount) : ""));
    return out + " " + soft("from " + in_words(batches));
}

std::string Source::items(const PickupLine& line, const char* between) const {
    std::string out;
    for (std::size_t i = 0; i < plan.orders[line.order].items.size(); ++i)
        out += (i == 0 ? "" : between) + item(line, static_cast<std::int32_t>(i));
    return out;
}

bool Source::has_slips() const {
    return std::any_of(timetable.rows.begin(), timetable.rows.end(),
                       [](const Row& row) { return row.slip.has_value(); });
}

std::string Source::slip_words() const {
    const bool late = std::any_of(timetable.pickups.begin(), timetable.pickups.end(),
                                  [](const PickupLine& line) { return line.done > line.pickup; });
    const std::string words =
        has_slips() ? std::string(kSlipWords) + (late ? " What is late is made no later." : "") : no_slips;
    return words.empty() ? "" : "<p class=\"slips\">" + escape(words) + "</p>\n";
}

std::string Source::slip(const Row& row) const {
    if (!row.slip) return "free";
    std::string text = short_duration(*row.slip);
    if (row.slip_to_pickup && *row.slip_to_pickup > *row.slip)
        text += " <small>+" + short_duration(*row.slip_to_pickup - *row.slip) + "</small>";
    return text;
}

Cold Source::cold_of(const Row& row) const {
    const auto index = static_cast<std::size_t>(&row - timetable.rows.data());
    return cold == nullptr || index >= cold->size() ? Cold{} : (*cold)[index];
}

// -------------------------------------------------------------------------------------------------------- tables

void sort(std::vector<Line>& lines) {
    std::stable_sort(lines.begin(), lines.end(),
                     [](const Line& a, const Line& b) { return std::tie(a.at, a.rank) < std::tie(b.at, b.rank); });
}

namespace {

std::string table_head(const std::string& title, const std::vector<Column>& columns) {
    std::string widths, names;
    for (const Column& column : columns) {
        widths += fmt::format("<col class=\"{}\">", column.look);
        names += fmt::format("<th scope=\"col\">{}</th>", column.name);
    }
    return fmt::format(
        "<colgroup>{}</colgroup><thead><tr class=\"title\"><th colspan=\"{}\" scope=\"colgroup\">{}</th></tr>\n"
        "<tr>{}</tr></thead>\n",
        widths, columns.size(), title, names);
}

}  // namespace

std::string day_tables(const Source& source, const std::vector<Line>& lines, const std::string& look,
                       const std::string& title, const std::vector<Column>& columns) {
    std::string out;
    std::string day;
    for (const Line& line : lines) {
        if (const std::string today = source.day(line.at); today != day) {
            if (!day.empty()) out += "</tbody></table>\n";
            out += "<table class=\"" + look + "\">" +
                   table_head("<span class=\"of\">" + title + ", </span>" + today, columns) + "<tbody>\n";
            day = today;
        }
        out += "<tr>" + line.cells + "</tr>\n";
    }
    return day.empty() ? out : out + "</tbody></table>\n";
}

std::string_view box(const Source& source, Instant from, Instant to) {
    return source.now && from < *source.now && to <= *source.now ? kTicked : kBox;
}

std::string when(const Source& source, Span span, std::string_view before) {
    const std::string until =
        span.to > span.from ? "\u2013<wbr>" + source.time_from(span.to, span.from) : std::string();
    return "<td class=\"time\">" + std::string(before) + source.time(span.from) + until + "</td>";
}

namespace {

/// "180 C" and "25 min" are not broken.
std::string units_kept(std::string html) {
    for (const std::string_view unit : {" C", " F", " min", " h"})
        for (std::size_t at = html.find(unit); at != std::string::npos; at = html.find(unit, at + 1)) {
            const std::size_t end = at + unit.size();
            const auto is_letter = [](char c) { return std::isalnum(static_cast<unsigned char>(c)) != 0; };
            if (at == 0 || html[at - 1] < '0' || html[at - 1] > '9' || (end < html.size() && is_letter(html[end])))
                continue;
            html.replace(at, 1, "\u00a0");
        }
    return html;
}

}  // namespace

std::string what_cell(const std::string& what, int columns) {
    const std::string wide = columns > 1 ? fmt::format(" colspan=\"{}\"", columns) : "";
    return "<th scope=\"row\"" + wide + ">" + units_kept(what) + "</th>";
}

std::string cell(const std::string& what) { return "<td>" + what + "</td>"; }

std::string slip_cell(const Source& source, const Row* row) {
    if (!source.has_slips()) return "";
    const bool begun = row != nullptr && source.now && row->start < *source.now;
    const std::string told = row == nullptr              ? ""
                             : !begun                    ? source.slip(*row)
                             : row->ready <= *source.now ? "done"
                                                         : "begun";
    return "<td class=\"slip\">" + told + "</td>";
}

std::string also(const std::string& said) { return said.empty() ? "" : "; " + escape(said); }

std::string id(const Row& row, bool on_paper) {
    return std::string(" <span class=\"id") + (on_paper ? " kept" : "") + "\">" + name(row.id) + "</span>";
}

std::vector<const PickupLine*> pickups_of(const Timetable& timetable) {
    std::vector<const PickupLine*> lines;
    for (const PickupLine& line : timetable.pickups) lines.push_back(&line);
    std::stable_sort(lines.begin(), lines.end(),
                     [](const PickupLine* a, const PickupLine* b) { return a->pickup < b->pickup; });
    return lines;
}

Line pickup_line(const Source& source, const PickupLine& line, int columns, std::string_view before) {
    const std::string late =
        line.done > line.pickup ? " - LATE, ready " + source.time_from(line.done, line.pickup) : "";
    return {line.pickup, 2,
            when(source, {line.pickup, line.pickup}, before) +
                what_cell("<strong>Pickup " + name(source.plan.orders[line.order].name) + late +
                              "</strong>: " + source.items(line, ", "),
                          columns)};
}

}  // namespace oventide::sheet
