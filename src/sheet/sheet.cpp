#include "oventide/sheet.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <tuple>

#include "sheet/look.hpp"
#include "sheet/paper.hpp"
#include "sheet/picture.hpp"
#include "sheet/weigh_section.hpp"
#include "timetable/job_words.hpp"

namespace oventide::sheet {
namespace {

std::string name(const std::string& text) { return "<bdi>" + escape(text) + "</bdi>"; }

std::string clock_of(const clock::Zone& zone, Instant at) { return clock::clock_text(zone.local(at)); }
std::string day_of(const clock::Zone& zone, Instant at) { return clock::date_text(zone.local(at)); }

/// The name that a note of what happened knows the step by.
std::string id(const Row& row) { return " <span class=\"id\">" + name(row.id) + "</span>"; }

std::string soft(const std::string& text) {
    return text.empty() ? "" : "<span class=\"soft\">" + escape(text) + "</span>";
}

/// What the page is made from.
struct Source {
    const Plan& plan;
    const clock::Zone& zone;
    const Timetable& timetable;
    Numbers numbers;
    std::optional<Instant> now;

    const Row& row(std::int32_t index) const { return timetable.rows[static_cast<std::size_t>(index)]; }
    std::string time(Instant at) const { return clock_of(zone, at); }
    std::string day(Instant at) const { return day_of(zone, at); }
    /// With the weekday where it is another day.
    std::string time_from(Instant at, Instant seen_from) const {
        return (day(at) == day(seen_from) ? "" : day(at).substr(0, 3) + " ") + time(at);
    }
    std::string person(std::optional<PersonIndex> index) const {
        return index ? name(plan.kitchen.crew[*index].name) : "";
    }
    std::string what(const Row& row) const {
        const Component& component = plan.components[row.component];
        return name(component.name) + ": " + name(component.steps[row.step].name) + soft(numbers.which(row));
    }
    std::string job(const Job& job) const {
        if (job.kind == Job::Kind::timer) return timer(job);
        if (job.event >= 0) return oven(job.event);
        const std::string done = doing(plan, timetable, job, [&](Instant at) { return time_from(at, job.span.from); });
        return (job.kind == Job::Kind::washing ? "wash up after " : "") + what(row(job.row)) +
               (done.empty() ? "" : " - " + escape(done));
    }
    /// The oven comes on when somebody has set its timer.
    std::string timer(const Job& job) const {
        const OvenEvent& turn = timetable.oven[static_cast<std::size_t>(job.event)];
        return name(plan.kitchen.equipment[turn.oven].name) + ": set its timer to come on at " +
               time_from(turn.at, job.span.from) +
               (turn.temperature ? " for " + heat_text(plan, *turn.temperature) : "");
    }
    std::string oven(std::int32_t event) const {
        const OvenEvent& turn = timetable.oven[static_cast<std::size_t>(event)];
        return name(plan.kitchen.equipment[turn.oven].name) + ": " +
               escape(turning(plan, timetable, event, [&](Instant at) { return time_from(at, turn.at); }));
    }
    /// " at 180 C, 30 min", for a bake.
    std::string heat(const Row& row) const {
        const std::string text = baking(plan, row, [&](Instant at) { return time_from(at, row.start); });
        return text.empty() ? "" : " at " + escape(text);
    }
};

/// "oven x3", each once, in the order of first use.
std::string with_of(const Source& source, const std::vector<EquipmentUse>& uses, Span during) {
    std::vector<EquipmentIndex> seen;
    std::string joined;
    for (const EquipmentUse& use : uses) {
        if (use.span.from >= during.to || use.span.to <= during.from) continue;
        if (std::find(seen.begin(), seen.end(), use.equipment) != seen.end()) continue;
        seen.push_back(use.equipment);
        joined += (joined.empty() ? "" : ", ") + name(source.plan.kitchen.equipment[use.equipment].name) +
                  (use.amount > 1 ? fmt::format(" x{}", use.amount) : "");
    }
    return joined;
}

/// Names without repeats, in the order of first use.
template <class Uses, class NameOf>
std::string names_of(const Uses& uses, NameOf name_of) {
    std::vector<std::string> seen;
    for (const auto& use : uses)
        if (const std::string& text = name_of(use); std::find(seen.begin(), seen.end(), text) == seen.end())
            seen.push_back(text);
    std::string joined;
    for (const std::string& text : seen) joined += (joined.empty() ? "" : ", ") + name(text);
    return joined;
}

// ---------------------------------------------------------------------------------------------------- sections

std::string alarm_list(const Source& source) {
    std::string out;
    for (const Shift& shift : source.timetable.shifts)
        out += fmt::format("<li><strong>{}</strong> {} {}, until {}; first {}</li>\n", source.time(shift.span.from),
                           source.day(shift.span.from), source.person(shift.person),
                           source.time_from(shift.span.to, shift.span.from),
                           source.job(source.timetable.jobs[static_cast<std::size_t>(shift.first)]));
    return out.empty() ? "" : "<h2 class=\"rise\">Alarm clock</h2>\n<ul class=\"alarm\">\n" + out + "</ul>\n";
}

/// "24 pear tart from batch 1: 12, batch 2: 12"
std::string item_text(const Source& source, const PickupLine& line, std::int32_t index) {
    const Item& item = source.plan.orders[line.order].items[static_cast<std::size_t>(index)];
    std::string out = amount_text(source.plan.components[item.component], item.pieces) + " " +
                      name(source.plan.components[item.component].name);
    if (!source.numbers.several_batches(item.component)) return out;
    const auto of_item = [&](const PickupLine::Serving& serving) { return serving.item == index; };
    const bool several = std::count_if(line.servings.begin(), line.servings.end(), of_item) > 1;
    std::string batches;
    for (const PickupLine::Serving& serving : line.servings)
        if (of_item(serving))
            batches +=
                fmt::format("{}batch {}{}", batches.empty() ? "" : ", ", serving.batch,
                            several ? ": " + amount_text(source.plan.components[item.component], serving.amount) : "");
    return out + " " + soft("from " + batches);
}

std::string items_text(const Source& source, const PickupLine& line, const char* between) {
    std::string out;
    for (std::size_t i = 0; i < source.plan.orders[line.order].items.size(); ++i)
        out += (i == 0 ? "" : between) + item_text(source, line, static_cast<std::int32_t>(i));
    return out;
}

std::string heading(const Source& source) {
    std::string out = "<header><h1>" + name(source.plan.title) + "</h1>\n<p class=\"dates\">" +
                      dates_of(source.zone, source.timetable) + "</p>\n" + alarm_list(source);
    out +=
        "<h2>Pickups</h2>\n<table class=\"pickups\"><thead><tr><th scope=\"col\">Pickup</th>"
        "<th scope=\"col\">Order</th><th scope=\"col\">What</th><th scope=\"col\">Ready</th></tr></thead><tbody>\n";
    for (const PickupLine& line : source.timetable.pickups)
        out += fmt::format(
            "<tr><td>{} <span class=\"time\">{}</span></td><th scope=\"row\">{}</th>"
            "<td class=\"items\">{}</td><td class=\"time done\">{}</td></tr>\n",
            source.day(line.pickup), source.time(line.pickup), name(source.plan.orders[line.order].name),
            items_text(source, line, "<br>"), source.time_from(line.done, line.pickup));
    return out + "</tbody></table></header>\n";
}

/// "13:14-13:56"
std::string when(const Source& source, Span span, const std::string& before = "") {
    const std::string until =
        span.to > span.from ? "\u2013<wbr>" + source.time_from(span.to, span.from) : std::string();
    return "<td class=\"time\">" + before + source.time(span.from) + until + "</td>";
}

std::string what_cell(const std::string& what, int columns = 1) {
    const std::string wide = columns > 1 ? fmt::format(" colspan=\"{}\"", columns) : "";
    return "<th scope=\"row\"" + wide + ">" + what + "</th>";
}

std::string cell(const std::string& what) { return "<td>" + what + "</td>"; }

struct Column {
    const char* look;
    const char* name;
};

/// A heading that comes back on every page that the table goes on to.
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

// -------------------------------------------------------------------------------------------------- timetable

/// A line of the timetable. Lines of one minute: the ovens, the steps, the pickups.
struct Line {
    Instant at;
    int rank = 0;
    std::string cells;
};

void add_row(const Source& source, const Row& row, std::vector<Line>& lines) {
    const std::string equipment =
        with_of(source, row.equipment, {row.start, std::max(row.end, row.start + Minutes{1})});
    std::vector<HandsUse> workers;
    for (const HandsUse& hands : row.hands) {
        if (!hands.washing) {
            workers.push_back(hands);
            continue;
        }
        lines.push_back({hands.span.from, 1,
                         when(source, hands.span) + what_cell("wash up after " + source.what(row)) + cell("") +
                             cell(with_of(source, row.equipment, hands.span)) + cell(source.person(hands.person))});
    }
    const std::string people = names_of(
        workers, [&](const HandsUse& use) -> const std::string& { return source.plan.kitchen.crew[use.person].name; });
    const std::string ready = row.ready < row.end ? "; ready " + source.time_from(row.ready, row.start) : "";
    lines.push_back(
        {row.start, 1,
         when(source, {row.start, row.end}) + what_cell(source.what(row) + source.heat(row) + ready + id(row)) +
             cell(amount_text(source.plan.components[row.component], row.amount)) + cell(equipment) + cell(people)});
}

/// A turn of an oven or the setting of its timer.
Line oven_line(const Source& source, Instant at, const std::string& what, std::optional<PersonIndex> person) {
    return {at, 0, when(source, {at, at}) + what_cell(what, 3) + cell(source.person(person))};
}

Line pickup_line(const Source& source, const PickupLine& line, int columns, const std::string& before = "") {
    return {line.pickup, 2,
            when(source, {line.pickup, line.pickup}, before) +
                what_cell("<strong>Pickup " + name(source.plan.orders[line.order].name) +
                              "</strong>: " + items_text(source, line, ", "),
                          columns)};
}

std::vector<Line> lines_of(const Source& source) {
    std::vector<Line> lines;
    for (const Row& row : source.timetable.rows) add_row(source, row, lines);
    for (std::size_t i = 0; i < source.timetable.oven.size(); ++i) {
        const OvenEvent& event = source.timetable.oven[i];
        if (event.kind != OvenEvent::Kind::hot)
            lines.push_back(oven_line(source, event.at, source.oven(static_cast<std::int32_t>(i)), event.by));
    }
    for (const Job& job : source.timetable.jobs)
        if (job.kind == Job::Kind::timer)
            lines.push_back(oven_line(source, job.span.from, source.job(job), job.person));
    for (const PickupLine& line : source.timetable.pickups) lines.push_back(pickup_line(source, line, 4));
    std::stable_sort(lines.begin(), lines.end(),
                     [](const Line& a, const Line& b) { return a.at != b.at ? a.at < b.at : a.rank < b.rank; });
    return lines;
}

std::string timetable_section(const Source& source) {
    std::string out = "<section><h2>Timetable</h2>\n";
    std::string day;
    for (const Line& line : lines_of(source)) {
        if (const std::string today = source.day(line.at); today != day) {
            if (!day.empty()) out += "</tbody></table>\n";
            out +=
                "<table class=\"steps\">" +
                table_head("<span class=\"of\">Timetable, </span>" + today,
                           {{"when", "When"}, {"what", "What"}, {"much", "Amount"}, {"with", "With"}, {"who", "Who"}}) +
                "<tbody>\n";
            day = today;
        }
        out += "<tr>" + line.cells + "</tr>\n";
    }
    if (!day.empty()) out += "</tbody></table>\n";
    return out + "</section>\n";
}

// -------------------------------------------------------------------------------------------------- checklist

constexpr std::string_view kBox = "<span class=\"box\" aria-hidden=\"true\"></span>";

constexpr std::string_view kTicked = "<span class=\"box\">\u2713</span>";

std::string chore(const Source& source, const Job& job) {
    const bool over = source.now && job.span.from < *source.now && job.span.to <= *source.now;
    const std::string start = when(source, job.span, std::string(over ? kTicked : kBox));
    if (job.row < 0) return start + what_cell(source.job(job), 3);
    const Row& row = source.row(job.row);
    const Minutes aside{job.span.from == job.span.to ? 1 : 0};
    const std::string with = with_of(source, row.equipment, {job.span.from - aside, job.span.to + aside});
    if (job.kind == Job::Kind::washing) return start + what_cell(source.job(job)) + cell("") + cell(with);
    return start + what_cell(source.job(job) + id(row)) +
           cell(amount_text(source.plan.components[row.component], row.amount)) + cell(with);
}

/// A list that a page can hold is not broken over two; a longer one begins where the page has room.
constexpr std::size_t kOnOnePage = 30;

/// What falls to one person, and when it is all collected on the days on which something does.
std::vector<Line> chores_of(const Source& source, std::optional<PersonIndex> person) {
    std::vector<Line> lines;
    for (const Job& job : source.timetable.jobs)
        if (job.person == person) lines.push_back({job.span.from, 1, chore(source, job)});
    if (!person) return lines;
    const std::size_t jobs = lines.size();
    for (const PickupLine& line : source.timetable.pickups) {
        const bool there =
            std::any_of(lines.begin(), lines.begin() + static_cast<std::ptrdiff_t>(jobs),
                        [&](const Line& each) { return source.day(each.at) == source.day(line.pickup); });
        if (there) lines.push_back(pickup_line(source, line, 3, std::string(kBox)));
    }
    std::stable_sort(lines.begin(), lines.end(),
                     [](const Line& a, const Line& b) { return std::tie(a.at, a.rank) < std::tie(b.at, b.rank); });
    return lines;
}

/// Day by day; empty where nothing falls to them.
std::string boxes(const Source& source, std::optional<PersonIndex> person, const std::string& title) {
    const std::vector<Line> lines = chores_of(source, person);
    if (lines.empty()) return "";
    std::string out;
    std::string day;
    for (const Line& line : lines) {
        if (const std::string today = source.day(line.at); today != day) {
            if (!day.empty()) out += "</tbody></table>\n";
            out += "<table class=\"steps boxes\">" +
                   table_head("<span class=\"of\">" + title + ", </span>" + today,
                              {{"when", "When"}, {"what", "What"}, {"much", "Amount"}, {"with", "With"}}) +
                   "<tbody>\n";
            day = today;
        }
        out += "<tr>" + line.cells + "</tr>\n";
    }
    const char* const look = lines.size() <= kOnOnePage ? "person whole" : "person";
    return "<div class=\"" + std::string(look) + "\"><h3>" + title + "</h3>\n" + out + "</tbody></table></div>\n";
}

std::string checklist_section(const Source& source) {
    std::string out = "<section class=\"checklist\"><h2>Checklist</h2>\n";
    for (std::size_t person = 0; person < source.plan.kitchen.crew.size(); ++person)
        out += boxes(source, static_cast<PersonIndex>(person), name(source.plan.kitchen.crew[person].name));
    return out + boxes(source, std::nullopt, "In nobody's hours") + "</section>\n";
}

// ------------------------------------------------------------------------------------------------------ lists

/// Lines of a report: names stand inside them, and lie apart from the page's own words by their whole line.
std::string list_section(const std::string& title, const std::vector<std::string>& lines, bool boxes) {
    if (lines.empty()) return "";
    std::string out = "<h2>" + title + "</h2>\n<ul class=\"" + (boxes ? "ready" : "mind") + "\">\n";
    for (const std::string& line : lines) out += "<li>" + std::string(boxes ? kBox : "") + name(line) + "</li>\n";
    return out + "</ul>\n";
}

std::string allergens_section(const Plan& plan, const Notes& notes) {
    if (notes.allergens.empty()) return "";
    std::string out = "<section><h2>Allergens</h2>\n";
    for (std::size_t order = 0; order < notes.allergens.size(); ++order) {
        // In one piece: what is not stated is never to be torn from what is.
        out += "<div class=\"whole\"><h3>" + name(plan.orders[order].name) + "</h3>\n<ul class=\"mind\">\n";
        for (const std::string& line : notes.allergens[order]) out += "<li>" + name(line) + "</li>\n";
        out += "</ul></div>\n";
    }
    return out + "<p>Only what the plan declares. Look at the label of every pack.</p></section>\n";
}

constexpr std::string_view kFoot =
    "<footer><p>This sheet plans times; it does not judge food. Your local rules and a trained person decide. "
    "Ovens, sugar and steam burn.</p></footer>\n";

/// As wide as the longest word that stands in it, so that no name is broken; longer ones are.
std::string column_width(const std::vector<std::string>& texts, std::size_t least) {
    constexpr std::size_t kMost = 14;
    std::size_t longest = least;
    for (const std::string& text : texts) {
        std::size_t length = 0;
        for (const char c : text) {
            const bool starts_character = (static_cast<unsigned char>(c) & 0xC0U) != 0x80U;
            length = c == ' ' ? 0 : length + (starts_character ? 1 : 0);
            longest = std::max(longest, std::min(length, kMost));
        }
    }
    return fmt::format("{}ch", longest + 2);
}

/// The widths of the columns 'With' and 'Who', which depend on the plan's names.
std::string widths(const Plan& plan) {
    std::vector<std::string> with, who;
    for (const Equipment& equipment : plan.kitchen.equipment)
        with.push_back(equipment.name + (equipment.capacity > 1 ? " x00" : ""));
    for (const Person& person : plan.kitchen.crew) who.push_back(person.name);
    return fmt::format(".steps .with {{ width: {}; }} .steps .who {{ width: {}; }}\n", column_width(with, 6),
                       column_width(who, 4));
}

}  // namespace

std::string escape(std::string_view text) {
    std::string out;
    for (const char c : text) {
        switch (c) {
            case '&':
                out += "&amp;";
                break;
            case '<':
                out += "&lt;";
                break;
            case '>':
                out += "&gt;";
                break;
            case '"':
                out += "&quot;";
                break;
            case '\'':
                out += "&#39;";
                break;
            case '\n':
            case '\t':
                out += ' ';
                break;
            default:
                out += static_cast<unsigned char>(c) < 0x20U || c == 0x7F ? "\xEF\xBF\xBD" : std::string(1, c);
        }
    }
    return out;
}

std::string write(const Plan& plan, const clock::Zone& zone, const Timetable& timetable, const Notes& notes) {
    std::string out =
        "<!DOCTYPE html>\n<html lang=\"en\"><head><meta charset=\"utf-8\">\n"
        "<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n<title>";
    const Source source{plan, zone, timetable, Numbers(timetable), notes.now};
    out += escape(plan.title) + ": day sheet</title>\n<style>\n" + widths(plan) + std::string(kLook) +
           margin_boxes(plan.title, dates_of(zone, timetable), notes.as_of) + "</style></head>\n<body>\n<main>\n";
    out += heading(source);
    if (!notes.as_of.empty()) out += "<p>" + name(notes.as_of) + "</p>\n";
    out += "<section><h2 class=\"glance\">The day at a glance</h2>\n" + picture(plan, zone, timetable, notes.solved) +
           "</section>\n";
    out += timetable_section(source);
    out += checklist_section(source);
    out += "<section class=\"before\">" + list_section("Mind", notes.mind, false) +
           list_section("Have ready", notes.ready, true) +
           list_section("Have weighed out, batch by batch", notes.weighed, true) + "</section>\n";
    out += weigh_section(plan, zone, timetable);
    out += allergens_section(plan, notes);
    return out + std::string(kFoot) + "</main>\n</body></html>\n";
}

}  // namespace oventide::sheet
