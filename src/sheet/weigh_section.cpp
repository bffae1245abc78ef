#include "sheet/weigh_section.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "oventide/quantities.hpp"
#include "oventide/sheet.hpp"

namespace oventide::sheet {
namespace {

std::string name(const std::string& text) { return "<bdi>" + escape(text) + "</bdi>"; }

std::string amount_text(const Component& component, std::int64_t amount) {
    if (component.makes.unit == Amount::Unit::pieces) return std::to_string(amount);
    return figure_text({Measure::mass, amount * 1000});
}

std::string row(const std::string& what, const std::string& amount, const std::string& mass,
                const std::optional<std::int64_t>& of_flour) {
    return fmt::format("<tr><th scope=\"row\">{}</th><td>{}</td><td>{}</td><td>{}</td></tr>\n", what, amount, mass,
                       of_flour ? percent_text(*of_flour) : "");
}

std::string box(const std::string& what) { return "<span class=\"box\" aria-hidden=\"true\"></span> " + what; }

std::string batch_table(const Plan& plan, const clock::Zone& zone, const WeighedBatch& batch, bool several) {
    const Component& component = plan.components[batch.component];
    const clock::LocalTime needed = zone.local(batch.needed);
    std::string out = fmt::format(
        "<table class=\"weigh\"><caption>{}{}, for {}: weighed by {} {}</caption><thead><tr><th scope=\"col\">What</th>"
        "<th scope=\"col\">Goes in</th><th scope=\"col\">That is</th><th scope=\"col\">Of "
        "flour</th></tr></thead><tbody>\n",
        name(component.name), several ? fmt::format(", batch {}", batch.batch) : "",
        amount_text(component, batch.amount), clock::date_text(needed), clock::clock_text(needed));
    for (const WeighLine& line : batch.lines)
        out += row(box(name(plan.ingredients[line.ingredient].name)), figure_text(line.amount),
                   line.mass && line.amount.measure != Measure::mass ? figure_text(*line.mass) : "", line.of_flour);
    for (const DrawnLine& line : batch.drawn)
        out += row(box(fmt::format("{}, batch {}, to {}", name(plan.components[line.component].name), line.batch,
                                   name(component.steps[line.step].name))),
                   amount_text(plan.components[line.component], line.amount), "", std::nullopt);
    if (batch.lines.empty()) return out + "</tbody></table>\n";
    out += row(batch.drawn.empty() ? "In all" : "In all, without what was made before",
               batch.mass ? figure_text(*batch.mass) : "not known", "", batch.of_flour);
    return out + "</tbody></table>\n";
}

}  // namespace

std::string weigh_section(const Plan& plan, const clock::Zone& zone, const Timetable& timetable) {
    const auto sheets = weigh(plan, timetable);
    if (sheets.empty()) return "";
    std::string out = "<section><h2>Weigh sheet</h2>\n<div class=\"weights\">\n";
    for (const WeighedBatch& batch : sheets) {
        const bool several = std::any_of(sheets.begin(), sheets.end(), [&](const WeighedBatch& other) {
            return other.component == batch.component && other.batch > 1;
        });
        out += batch_table(plan, zone, batch, several);
    }
    return out + fmt::format("</div>\n<p class=\"soft\">{}</p></section>\n", escape(kRounding));
}

}  // namespace oventide::sheet
