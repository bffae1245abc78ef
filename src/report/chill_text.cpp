/// The question of the night before: how long does it take to get cold, and what if it is spread thinner?

#include <fmt/format.h>

#include <cmath>

#include "oventide/watch.hpp"
#include "report/chill_words.hpp"
#include "report/page.hpp"
#include "report/words.hpp"

namespace oventide::report {
namespace {

std::string figures(const cooling::Range& range, const char* unit) {
    if (range.low == range.high) return fmt::format("{:g} {}", range.usual, unit);
    return fmt::format("{:g} {} ({:g} to {:g})", range.usual, unit, range.low, range.high);
}

std::string question_text(const ChillQuestion& question) {
    const Cools& cools = question.cools;
    const std::string mass = question.milligrams > 0 ? ", " + mass_text(question.milligrams) : std::string();
    return fmt::format("{}{}, {}{}, from {} to {} {}", food_text(cools), mass,
                       vessel_text(cools, question.answer->lines.front().depth), cools.stirred ? ", stirred" : "",
                       temperature_text(cools.from), temperature_text(cools.to), where_text(cools.where));
}

/// What the plan gives it, held against the estimate.
std::string planned_text(Minutes planned, const chill::Duration& takes) {
    const std::string given = "The plan gives it " + duration_text(planned);
    if (!takes.likely) return given + ".";
    if (takes.earliest && planned < *takes.earliest) return given + ": too short by this estimate.";
    if (planned < *takes.likely) return given + ": likely too short.";
    if (!takes.latest || planned < *takes.latest) return given + ": likely enough, not certainly.";
    return given + ": long enough by this estimate.";
}

void add_answer(const ChillQuestion& question, Page& page) {
    const chill::Answer& answer = *question.answer;
    const chill::Duration& takes = answer.lines.front().takes;
    page.paragraph(question_text(question), 0, 2);
    page.blank();
    if (takes.likely) {
        page.prominent("ABOUT " + about(*takes.likely));
        page.paragraph(interval_text(takes) + ", nine chances in ten", 2, 2);
    } else {
        page.prominent("NEVER: what it stands in is not colder than that");
    }
    if (question.planned) page.paragraph(planned_text(*question.planned, takes), 2, 2);
}

void add_thinner(const ChillQuestion& question, Page& page) {
    const auto& lines = question.answer->lines;
    if (lines.size() < 2 || !lines.front().takes.likely) return;
    page.heading("If it is spread thinner");
    Table table(
        {{"over", Align::right, 4}, {"depth", Align::right, 7}, {"about", Align::left, 14}, {"", Align::left, 0}});
    for (const chill::Line& line : lines)
        table.row({std::to_string(line.vessels), length_text(line.depth), about(*line.takes.likely),
                   interval_text(line.takes)});
    page.table(table, 2);
}

const char* verdict(const chill::Stage& stage) {
    if (!stage.likely_kept) return "likely too late";
    return stage.surely_kept ? "in time by this estimate" : "likely in time, but it may be too late";
}

std::string about_of(double minutes) { return about(Minutes{static_cast<std::int64_t>(std::ceil(minutes))}); }

/// "21 C after 1 h 40 min, 2 h 30 min at the slowest"
std::string course_text(const chill::Stage& stage) {
    if (!stage.likely) return fmt::format("never at {} C", stage.to);
    return fmt::format("{} C after {}, {}", stage.to, about_of(*stage.likely),
                       stage.latest ? about_of(*stage.latest) + " at the slowest" : "perhaps never");
}

void add_rule(const ChillQuestion& question, const std::optional<SafetyRule>& rule, Page& page) {
    page.heading("Mind");
    if (!rule) {
        page.paragraph("Food: no food-safety rule was applied, as was asked.", 2, 2);
    } else {
        page.paragraph(fmt::format("Food: {} [{}] Rule '{}'.", rule->text, rule->source, rule->key), 2, 2);
        if (question.answer->stages.empty())
            page.paragraph("It says when a chill begins, not how fast food must cool.", 4);
    }
    for (const chill::Stage& stage : question.answer->stages)
        page.paragraph(fmt::format("{}: {}: {}", stage.text, course_text(stage), verdict(stage)), 4, 2);
    if (!question.answer->stages.empty()) page.paragraph("(the chill begins at once when it is cooked)", 4);
    page.paragraph(std::string(kWatchCaution), 4);
}

void add_basis(const ChillQuestion& question, Page& page) {
    const chill::Basis& basis = question.answer->basis;
    const double air_share = basis.food.air;
    page.heading("Worked out with");
    page.paragraph(
        fmt::format("{}: air of {}, takes {} [{}]", question.cools.where.name, figures(basis.where.celsius, "C"),
                    figures(basis.where.transfer, "W/m2K"), basis.where.source),
        2, 2);
    page.paragraph(
        fmt::format("{}: {:.0f} % water, {:.0f} % fat{}; conducts {:.2f} to {:.2f} W/mK, holds {:.1f} kJ/kgK, {:.0f} "
                    "kg/m3 [Choi and Okos 1986]",
                    food_text(question.cools), 100 * basis.food.water, 100 * basis.food.fat,
                    air_share > 0 ? fmt::format(", {:.0f} % of it air", 100 * air_share) : "",
                    basis.properties.perpendicular, basis.properties.parallel, basis.properties.heat_capacity / 1000,
                    basis.properties.density),
        2, 2);
    page.paragraph(question.answer->lines.front().even
                       ? "The same temperature throughout, as in food that is stirred or thin."
                       : "At its warmest point, by conduction; steam and currents are left out, and make it quicker. A "
                         "lid, or a full fridge, makes it slower.",
                   2, 2);
}

void add_unknown(const ChillQuestion& question, Page& page) {
    page.paragraph(fmt::format("from {} to {} {}: nobody said how deep it is", temperature_text(question.cools.from),
                               temperature_text(question.cools.to), where_text(question.cools.where)),
                   0, 2);
    page.paragraph("Write how deep (depth), or what stands on which floor (a weight, across, wide).", 2, 2);
}

}  // namespace

std::string chill_text(const ChillQuestions& questions, const Style& style) {
    Page page(style);
    bool first = true;
    for (const ChillQuestion& question : questions.asked) {
        if (!first) page.blank();
        first = false;
        page.title(text::clean(question.name.empty() ? "How long until it is cold" : question.name, style.ascii),
                   "Chill");
        if (!question.answer) {
            add_unknown(question, page);
            continue;
        }
        add_answer(question, page);
        add_thinner(question, page);
        add_basis(question, page);
        add_rule(question, questions.rule, page);
    }
    return page.text();
}

}  // namespace oventide::report
