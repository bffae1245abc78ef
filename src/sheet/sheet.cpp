#include "oventide/sheet.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "sheet/layout.hpp"
#include "sheet/look.hpp"
#include "sheet/paper.hpp"
#include "sheet/picture.hpp"
#include "sheet/source.hpp"
#include "sheet/station.hpp"
#include "sheet/weigh_section.hpp"

namespace oventide::sheet {
namespace {

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

std::string ready(const Source& source, const Notes& notes, const PickupLine& line) {
    const auto order = static_cast<std::size_t>(line.order);
    if (order < notes.unready.size() && !notes.unready[order].empty()) return escape(notes.unready[order]);
    return source.time_from(line.done, line.pickup) + (line.done > line.pickup ? " LATE" : "");
}

/// Under the order whose they are: whoever hands it over has them before their eyes.
std::string allergens(const Notes& notes, std::int32_t order) {
    const auto index = static_cast<std::size_t>(order);
    if (index >= notes.allergens.size() || notes.allergens[index].empty()) return "";
    std::string out = "<tr class=\"contains\"><td colspan=\"4\"><ul class=\"mind\">\n";
    for (const std::string& line : notes.allergens[index]) out += "<li>" + sentence(line) + "</li>\n";
    return out + "</ul></td></tr>\n";
}

/// In one piece: what is not stated of an order is never torn from what is.
std::string order_rows(const Source& source, const Notes& notes, const PickupLine& line) {
    return fmt::format(
        "<tbody><tr><td>{} <span class=\"time\">{}</span></td><th scope=\"row\">{}</th>"
        "<td class=\"items\">{}</td><td class=\"time done\">{}</td></tr>\n{}</tbody>\n",
        source.day(line.pickup), source.time(line.pickup), name(source.plan.orders[line.order].name),
        source.items(line, "<br>"), ready(source, notes, line), allergens(notes, line.order));
}

std::string heading(const Source& source, const Notes& notes) {
    std::string out =
        "<header><h1>" + name(source.plan.title) + "</h1>\n<p class=\"dates\">" +
        dates_of(source.zone, source.timetable) + "</p>\n" + alarm_list(source) +
        "<h2>Pickups</h2>\n<table class=\"pickups\"><thead><tr><th scope=\"col\">Pickup</th>"
        "<th scope=\"col\">Order</th><th scope=\"col\">What</th><th scope=\"col\">Ready</th></tr></thead>\n";
    for (const PickupLine* const line : pickups_of(source.timetable)) out += order_rows(source, notes, *line);
    out += "</table>\n";
    if (!notes.allergens.empty())
        out += "<p class=\"slips\">Allergens: only what the plan declares. Look at the label of every pack.</p>\n";
    return out + "</header>\n";
}

// -------------------------------------------------------------------------------------------------- timetable

/// A cook who is alone knows.
bool tells_who(const Source& source) { return source.plan.kitchen.crew.size() > 1; }

std::string who_cell(const Source& source, const std::string& people) {
    return tells_who(source) ? cell(people) : std::string();
}

std::string put_out_by(const Source& source, const Row& row) {
    const auto& jobs = source.timetable.jobs;
    const auto job = std::find_if(jobs.begin(), jobs.end(), [&](const Job& each) {
        return each.kind == Job::Kind::put_out && &source.row(each.row) == &row;
    });
    return job == jobs.end() ? "" : source.person(job->person);
}

/// How far a step can slip; of a day under way how far it has come.
std::string last_cell(const Source& source, const Row* row) {
    if (!source.now || source.has_slips()) return slip_cell(source, row);
    const bool begun = row != nullptr && row->start < *source.now;
    return cell(!begun ? "" : row->ready <= *source.now ? "done" : "begun");
}

void add_row(const Source& source, const Row& row, std::vector<Line>& lines) {
    std::vector<HandsUse> workers;
    for (const HandsUse& hands : row.hands) {
        if (!hands.washing) {
            workers.push_back(hands);
            continue;
        }
        lines.push_back({hands.span.from, 1,
                         when(source, hands.span) +
                             what_cell("wash up after " + source.what(row) + source.with(row.equipment, hands.span)) +
                             cell("") + who_cell(source, source.person(hands.person)) + last_cell(source, nullptr)});
    }
    const std::string people =
        workers.empty() ? put_out_by(source, row) : names_of(workers, [&](const HandsUse& use) -> const std::string& {
            return source.plan.kitchen.crew[use.person].name;
        });
    const std::string ready = row.ready < row.end ? "; ready " + source.time_from(row.ready, row.start) : "";
    const std::string with = source.with(row.equipment, {row.start, std::max(row.end, row.start + Minutes{1})});
    lines.push_back({row.start, 1,
                     when(source, {row.start, row.end}) +
                         what_cell(source.what(row) + source.heat(row) + ready + also(source.cold_of(row).wanted) +
                                   with + id(row)) +
                         cell(amount_text(source.plan.components[row.component], row.amount)) +
                         who_cell(source, people) + last_cell(source, &row)});
}

/// A turn of an oven or the setting of its timer.
Line oven_line(const Source& source, Instant at, const std::string& what, std::optional<PersonIndex> person) {
    return {at, 0,
            when(source, {at, at}) + what_cell(what, 2) + who_cell(source, source.person(person)) +
                last_cell(source, nullptr)};
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
    for (const PickupLine& line : source.timetable.pickups)
        lines.push_back(
            pickup_line(source, line, 2 + (tells_who(source) ? 1 : 0) + (source.has_slips() || source.now ? 1 : 0)));
    sort(lines);
    return lines;
}

/// The lists have those of their steps; what wants no hands stands here alone.
std::string how_to_note(const Timetable& timetable) {
    if (timetable.rows.empty()) return "";
    return "<p class=\"slips paper\">A note of what happened (oventide note) names a step by its component, batch, "
           "step "
           "and load: " +
           name(timetable.rows.front().id) + "</p>\n";
}

std::string timetable_section(const Source& source) {
    std::vector<Column> columns{{"when", "When"}, {"what", "What"}, {"much", "Amount"}};
    if (tells_who(source)) columns.push_back({"who", "Who"});
    if (source.has_slips())
        columns.push_back({"slips", "Slip"});
    else if (source.now)
        columns.push_back({"state", "State"});
    return "<section><h2>Timetable</h2>\n" + source.slip_words() + how_to_note(source.timetable) +
           day_tables(source, lines_of(source), "steps", "Timetable", columns) + "</section>\n";
}

// ------------------------------------------------------------------------------------------------------ lists

/// Lines of a report: names stand inside them, and lie apart from the page's own words by their whole line.
std::string list_section(const std::string& title, const std::vector<std::string>& lines, bool boxes) {
    if (lines.empty()) return "";
    std::string out = "<h2>" + title + "</h2>\n<ul class=\"" + (boxes ? "ready" : "mind") + "\">\n";
    for (const std::string& line : lines) out += "<li>" + std::string(boxes ? kBox : "") + sentence(line) + "</li>\n";
    return out + "</ul>\n";
}

/// What the cook is to see before anything else. On paper who works alone has on a page of their own what is to be
/// ready.
std::string before_section(const Source& source, const Notes& notes) {
    std::vector<std::string> mind;
    for (const Mind& each : notes.mind) mind.push_back(each.text);
    const std::string lists = list_section("Have ready", notes.ready, true) +
                              list_section("Have weighed out, batch by batch", notes.weighed, true);
    return "<section class=\"before\">" + list_section("Mind", mind, false) +
           (tells_who(source) ? lists : "<div class=\"twice\">" + lists + "</div>") + nobodys_list(source) +
           "</section>\n";
}

/// With the picture cut as it is liked best, or as it lies better on paper.
Front front_of(const Source& source, const Notes& notes) {
    constexpr int kLongest[] = {180, 210, 240, 150, 120};
    Front front{heading(source, notes) +
                    (notes.as_of.empty() ? std::string() : "<p>" + sentence(notes.as_of) + "</p>\n") +
                    before_section(source, notes),
                "", timetable_section(source)};
    const Area page = area_of(source.paper);
    std::optional<int> least;
    std::string best;
    for (const int longest : kLongest) {
        front.picture = "<section><h2 class=\"glance\">The day at a glance</h2>\n" +
                        picture(source.plan, source.zone, source.timetable, notes.solved, Minutes{longest}) +
                        "</section>\n";
        front.picture = fitted(front, page);
        const int cost = cost_of(front, page);
        if (least && *least <= cost) continue;
        least = cost;
        best = front.picture;
    }
    front.picture = best;
    return front;
}

/// The weigh sheet, after a crew's lists on a page of its own; its rows stand closer where that saves a page.
std::string after_lists(const Source& source, const std::string& weights, double used) {
    if (weights.empty()) return "";
    const bool apart = tells_who(source);
    const auto pages = [&](bool close) { return weigh_pages(weights, apart ? 0 : used, area_of(source.paper), close); };
    return fmt::format("<div class=\"after{}{}\">\n{}</div>\n", apart ? " apart" : "",
                       pages(true) < pages(false) ? " close" : "", weights);
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

/// The width of the column 'Who', which depends on the plan's names.
std::string widths(const Plan& plan) {
    std::vector<std::string> who;
    for (const Person& person : plan.kitchen.crew) who.push_back(person.name);
    return fmt::format(".steps .who {{ width: {}; }}\n", column_width(who, 4));
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

std::string write(const Plan& plan, const clock::Zone& zone, const Timetable& timetable, const Notes& notes,
                  Paper paper) {
    const Source source{plan,      zone,  timetable,   Numbers(timetable), weigh(plan, timetable),
                        notes.now, paper, &notes.cold, notes.no_slips};
    const Front front = front_of(source, notes);
    std::string out =
        "<!DOCTYPE html>\n<html lang=\"en\"><head><meta charset=\"utf-8\">\n"
        "<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n<title>";
    out += escape(plan.title) + ": day sheet</title>\n<style>\n" + widths(plan) + std::string(kLook) +
           page_rules(paper, plan.title, dates_of(zone, timetable), notes.as_of.substr(0, notes.as_of.find(": "))) +
           "</style></head>\n<body>\n<main>\n";
    const std::string weights = weigh_section(source);
    const Lists lists = stations_section(source, notes.mind, weights);
    return out + front.words + front.picture + front.timetable + lists.html + after_lists(source, weights, lists.used) +
           std::string(kFoot) + "</main>\n</body></html>\n";
}

}  // namespace oventide::sheet
