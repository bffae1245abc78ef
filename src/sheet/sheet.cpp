#include "oventide/sheet.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "oventide/safety.hpp"
#include "sheet/look.hpp"
#include "sheet/picture.hpp"
#include "sheet/weigh_section.hpp"

namespace oventide::sheet {
namespace {

std::string name(const std::string& text) { return "<bdi>" + escape(text) + "</bdi>"; }

std::string clock_of(const clock::Zone& zone, Instant at) { return clock::clock_text(zone.local(at)); }
std::string day_of(const clock::Zone& zone, Instant at) { return clock::date_text(zone.local(at)); }

std::string amount_text(const Plan& plan, const Row& row) {
    if (plan.components[row.component].makes.unit == Amount::Unit::pieces) return std::to_string(row.amount);
    const std::int64_t grams = (row.amount + 500) / 1000;
    return grams < 1000 ? fmt::format("{} g", grams) : fmt::format("{}.{:02} kg", grams / 1000, grams % 1000 / 10);
}

std::string which(const Row& row, bool several) {
    std::string text;
    if (several) text += fmt::format(" <span class=\"soft\">batch {}</span>", row.batch);
    if (row.load > 0) text += fmt::format(" <span class=\"soft\">load {}</span>", row.load);
    return text;
}

bool several_batches(const Timetable& timetable, ComponentIndex component) {
    return std::any_of(timetable.rows.begin(), timetable.rows.end(),
                       [&](const Row& row) { return row.component == component && row.batch > 1; });
}

std::string what(const Plan& plan, const Timetable& timetable, const Row& row) {
    const Component& component = plan.components[row.component];
    return name(component.name) + ": " + name(component.steps[row.step].name) +
           which(row, several_batches(timetable, row.component));
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

std::string heading(const Plan& plan, const clock::Zone& zone, const Timetable& timetable) {
    std::string out = "<header><h1>" + name(plan.title) + "</h1>\n";
    if (timetable.alarm)
        out += fmt::format("<p class=\"alarm\">Alarm clock <strong>{}</strong> {}</p>\n",
                           clock_of(zone, *timetable.alarm), day_of(zone, *timetable.alarm));
    out +=
        "<table class=\"pickups\"><caption>Pickups</caption><thead><tr><th scope=\"col\">Pickup</th>"
        "<th scope=\"col\">Order</th><th scope=\"col\">Done by</th></tr></thead><tbody>\n";
    for (const PickupLine& line : timetable.pickups)
        out += fmt::format("<tr><td>{} {}</td><th scope=\"row\">{}</th><td>{}</td></tr>\n", day_of(zone, line.pickup),
                           clock_of(zone, line.pickup), name(plan.orders[line.order].name), clock_of(zone, line.done));
    return out + "</tbody></table></header>\n";
}

std::string table_row(const Plan& plan, const clock::Zone& zone, const Timetable& timetable, std::size_t index) {
    const Row& row = timetable.rows[index];
    const std::string equipment = names_of(row.equipment, [&](const EquipmentUse& use) -> const std::string& {
        return plan.kitchen.equipment[use.equipment].name;
    });
    const std::string people = names_of(
        row.hands, [&](const HandsUse& use) -> const std::string& { return plan.kitchen.crew[use.person].name; });
    const bool overnight = day_of(zone, row.start) != day_of(zone, row.end);
    return fmt::format(
        "<tr><td class=\"number\">{}</td><td class=\"time\">{}</td><td class=\"time\">{}{}</td>"
        "<th scope=\"row\">{}</th><td>{}</td><td>{}</td><td>{}</td></tr>\n",
        index + 1, clock_of(zone, row.start), overnight ? day_of(zone, row.end).substr(0, 3) + " " : "",
        clock_of(zone, row.end), what(plan, timetable, row), amount_text(plan, row), equipment, people);
}

constexpr std::string_view kColumns =
    "<thead><tr><th scope=\"col\">No.</th><th scope=\"col\">From</th><th scope=\"col\">To</th><th "
    "scope=\"col\">What</th>"
    "<th scope=\"col\">How much</th><th scope=\"col\">With</th><th scope=\"col\">Who</th></tr></thead>\n";

std::string timetable_section(const Plan& plan, const clock::Zone& zone, const Timetable& timetable) {
    std::string out = "<section><h2>Timetable</h2>\n";
    std::string day;
    for (std::size_t i = 0; i < timetable.rows.size(); ++i) {
        const std::string today = day_of(zone, timetable.rows[i].start);
        if (today != day) {
            if (!day.empty()) out += "</tbody></table>\n";
            out += fmt::format("<table class=\"steps\"><caption>{}</caption>{}<tbody>\n", today, kColumns);
            day = today;
        }
        out += table_row(plan, zone, timetable, i);
    }
    if (!day.empty()) out += "</tbody></table>\n";
    return out + "</section>\n";
}

struct Chore {
    Span span;
    std::string text;  ///< HTML
};

std::vector<Chore> chores_of(const Plan& plan, const Timetable& timetable, PersonIndex person) {
    std::vector<Chore> chores;
    for (std::size_t i = 0; i < timetable.rows.size(); ++i)
        for (const HandsUse& hands : timetable.rows[i].hands)
            if (hands.person == person)
                chores.push_back({hands.span, (hands.washing ? "wash up after " : "") +
                                                  what(plan, timetable, timetable.rows[i]) +
                                                  fmt::format(" <span class=\"soft\">no. {}</span>", i + 1)});
    std::stable_sort(chores.begin(), chores.end(),
                     [](const Chore& a, const Chore& b) { return a.span.from < b.span.from; });
    return chores;
}

std::vector<Chore> oven_chores(const Plan& plan, const Timetable& timetable) {
    std::vector<Chore> chores;
    for (const OvenEvent& event : timetable.oven) {
        if (event.kind == OvenEvent::Kind::hot) continue;
        const std::string oven = name(plan.kitchen.equipment[event.oven].name);
        std::string text = event.kind == OvenEvent::Kind::off  ? oven + " off"
                           : event.kind == OvenEvent::Kind::on ? oven + " on"
                                                               : "set " + oven;
        if (event.temperature) text += fmt::format(", {} C", (*event.temperature + 500) / 1000);
        chores.push_back({{event.at, event.at}, std::move(text)});
    }
    return chores;
}

std::string boxes(const clock::Zone& zone, const std::string& title, const std::vector<Chore>& chores) {
    if (chores.empty()) return "";
    std::string out = "<section class=\"boxes\"><h3>" + title + "</h3>\n";
    std::string day;
    for (const Chore& chore : chores) {
        if (const std::string today = day_of(zone, chore.span.from); today != day) {
            if (!day.empty()) out += "</ul>\n";
            out += "<h4>" + today + "</h4><ul>\n";
            day = today;
        }
        const std::string until = chore.span.to > chore.span.from ? "-" + clock_of(zone, chore.span.to) : "";
        out += fmt::format(
            "<li><span class=\"box\" aria-hidden=\"true\"></span><span class=\"time\">{}{}</span> {}</li>\n",
            clock_of(zone, chore.span.from), until, chore.text);
    }
    return out + "</ul></section>\n";
}

std::string checklist_section(const Plan& plan, const clock::Zone& zone, const Timetable& timetable) {
    std::string out = "<section><h2>Checklist</h2>\n";
    for (std::size_t person = 0; person < plan.kitchen.crew.size(); ++person)
        out += boxes(zone, name(plan.kitchen.crew[person].name),
                     chores_of(plan, timetable, static_cast<PersonIndex>(person)));
    out += boxes(zone, "Ovens: whoever is nearest", oven_chores(plan, timetable));
    return out + "</section>\n";
}

std::string cautions(const Plan& plan) {
    std::string out = "<footer><p>";
    if (const auto rule = find_safety_rule(plan.safety.rule))
        out += fmt::format("Food-safety rule applied: {} ({}). {} Source: {}. ", escape(rule->key),
                           escape(rule->region), escape(rule->text), escape(rule->source));
    else
        out += "No food-safety rule was applied. ";
    return out +
           "This sheet plans times; it does not judge food. Your local rules and a trained person decide. "
           "Ovens, sugar and steam burn.</p></footer>\n";
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

std::string write(const Plan& plan, const clock::Zone& zone, const Timetable& timetable) {
    std::string out =
        "<!DOCTYPE html>\n<html lang=\"en\"><head><meta charset=\"utf-8\">\n"
        "<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n<title>";
    out += escape(plan.title) + ": day sheet</title>\n<style>\n" + std::string(kLook) +
           "</style></head>\n<body>\n<main>\n";
    out += heading(plan, zone, timetable);
    out += "<section><h2>The day at a glance</h2>\n" + picture(plan, zone, timetable) + "</section>\n";
    out += timetable_section(plan, zone, timetable);
    out += checklist_section(plan, zone, timetable);
    out += weigh_section(plan, zone, timetable);
    return out + cautions(plan) + "</main>\n</body></html>\n";
}

}  // namespace oventide::sheet
