#include "sheet/weigh_section.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "oventide/sheet.hpp"
#include "sheet/source.hpp"
#include "timetable/job_words.hpp"

namespace oventide::sheet {
namespace {

/// How to read the figures that there are, as short as a wall wants it; `weigh` says to what they are rounded.
std::string reading(const std::vector<WeighedBatch>& sheets) {
    const auto any = [&](auto has) {
        return std::any_of(sheets.begin(), sheets.end(), [&](const WeighedBatch& batch) {
            return std::any_of(batch.lines.begin(), batch.lines.end(), has);
        });
    };
    const auto is_part = [](const WeighLine& line) { return taken_text(line.amount) != figure_text(line.amount); };
    std::string text = "Figures are rounded for print alone.";
    if (any(is_part)) text += " 8.4 of 9: nine are taken, and of those so much; 'that is' says what to weigh.";
    if (any([](const WeighLine& line) { return line.of_flour.has_value(); }))
        text += " Of flour: for 100 of its own flour.";
    return text;
}

std::string box(const std::string& what, bool over) { return std::string(over ? kTicked : kBox) + what; }

/// One table; a column that would be empty is left out.
class BatchTable {
public:
    BatchTable(const Plan& plan, const WeighedBatch& batch, std::optional<Instant> now)
        : plan_(plan),
          batch_(batch),
          now_(now),
          that_is_(std::any_of(batch.lines.begin(), batch.lines.end(),
                               [](const WeighLine& line) { return !that_is(line).empty(); })),
          of_flour_(batch.of_flour.has_value()) {}

    std::string html(const std::string& caption, const Numbers& numbers, const clock::Zone& zone) const {
        std::string out = "<table class=\"weigh\"><caption>" + caption +
                          "</caption><thead><tr><th scope=\"col\">What</th><th scope=\"col\">Goes in</th>";
        if (that_is_) out += "<th scope=\"col\">That is</th>";
        if (of_flour_) out += "<th scope=\"col\">Of flour</th>";
        out += "</tr></thead><tbody>\n";
        for (const WeighLine& line : batch_.lines)
            out += row(box(name(plan_.ingredients[line.ingredient].name), over(batch_.needed)), taken_text(line.amount),
                       that_is(line), line.of_flour);
        for (const DrawnLine& line : batch_.drawn)
            out += row(box(drawn(line, numbers, zone), over(line.at)),
                       amount_text(plan_.components[line.component], line.amount), "", std::nullopt);
        if (!batch_.lines.empty())
            out += row(batch_.drawn.empty() ? "In all" : "In all, without what was made before",
                       batch_.mass ? figure_text(*batch_.mass) : "not known", "", batch_.of_flour);
        return out + "</tbody></table>\n";
    }

private:
    bool over(Instant at) const { return now_ && at < *now_; }

    static std::string that_is(const WeighLine& line) {
        return line.mass && line.amount.measure != Measure::mass ? figure_text(*line.mass) : "";
    }

    static std::string date_of(const clock::Zone& zone, Instant at) { return clock::date_text(zone.local(at)); }

    std::string drawn(const DrawnLine& line, const Numbers& numbers, const clock::Zone& zone) const {
        return name(plan_.components[line.component].name) +
               (numbers.several_batches(line.component) ? fmt::format(", batch {}", line.batch) : "") + ", to " +
               name(plan_.components[batch_.component].steps[line.step].name) + " at " +
               (date_of(zone, line.at) == date_of(zone, batch_.needed) ? "" : date_of(zone, line.at) + " ") +
               clock::clock_text(zone.local(line.at));
    }

    std::string row(const std::string& what, const std::string& amount, const std::string& mass,
                    const std::optional<std::int64_t>& of_flour) const {
        std::string out = "<tr><th scope=\"row\">" + what + "</th><td>" + amount + "</td>";
        if (that_is_) out += "<td>" + mass + "</td>";
        if (of_flour_) out += "<td>" + (of_flour ? percent_text(*of_flour) : "") + "</td>";
        return out + "</tr>\n";
    }

    const Plan& plan_;
    const WeighedBatch& batch_;
    std::optional<Instant> now_;
    bool that_is_;
    bool of_flour_;
};

/// It is put out to stand: of that nothing is made yet that could have a weight of its own.
bool is_put_out(const Timetable& timetable, const WeighedBatch& batch) {
    return std::any_of(timetable.jobs.begin(), timetable.jobs.end(), [&](const Job& job) {
        if (job.kind != Job::Kind::put_out) return false;
        const Row& row = timetable.rows[static_cast<std::size_t>(job.row)];
        return row.component == batch.component && row.batch == batch.batch && row.start == batch.needed;
    });
}

/// On one line.
std::string kept(const std::string& text) {
    std::string out;
    for (const char c : text) out += c == ' ' ? std::string("\u00a0") : std::string(1, c);
    return out;
}

/// "custard, batch 2, for 4 kg, by Sat 10:58", "soft butter, to put out by 11:29"; the day only where there are
/// several. What was made before is weighed at the steps that it goes into.
std::string caption(const Plan& plan, const clock::Zone& zone, const WeighedBatch& batch, const Numbers& numbers,
                    bool put_out, const std::string& day) {
    const Component& component = plan.components[batch.component];
    const bool several = numbers.several_batches(batch.component);
    return fmt::format("{}{}, {} {}\u00a0{}{}", name(component.name),
                       several ? fmt::format(", batch {}", batch.batch) : std::string(),
                       put_out ? "to put out" : "for " + amount_of(component, batch.amount) + ",",
                       batch.lines.empty() ? "from" : "by", kept(day), clock::clock_text(zone.local(batch.needed)));
}

}  // namespace

std::string goes_in(const Source& source, const Row& row) {
    std::string text;
    for (const WeighedBatch& batch : source.weighed)
        if (batch.component == row.component && batch.batch == row.batch)
            for (const WeighLine& line : batch.lines)
                text += (text.empty() ? "" : ", ") + taken_text(line.amount) + " " +
                        name(source.plan.ingredients[line.ingredient].name);
    return text;
}

std::string amount_text(const Component& component, std::int64_t amount) {
    if (component.makes.unit == Amount::Unit::pieces) return std::to_string(amount);
    return figure_text({Measure::mass, amount * 1000});
}

std::string amount_of(const Component& component, std::int64_t amount) {
    const bool pieces = component.makes.unit == Amount::Unit::pieces;
    return amount_text(component, amount) + (!pieces ? "" : amount == 1 ? " piece" : " pieces");
}

std::string weigh_section(const Source& source) {
    const std::vector<WeighedBatch>& sheets = source.weighed;
    if (sheets.empty()) return "";
    std::string out = "<section><h2>Weigh sheet</h2>\n<p class=\"slips\">" + escape(reading(sheets)) +
                      "</p>\n<div class=\"weights\">\n";
    // By the weekday within a week; sheets stand by their times.
    const auto day = [&](const WeighedBatch& batch) {
        const std::string date = source.day(batch.needed);
        if (date == source.day(sheets.front().needed) && date == source.day(sheets.back().needed)) return std::string();
        return (sheets.back().needed - sheets.front().needed < std::chrono::days{6} ? date.substr(0, 3) : date) + " ";
    };
    for (const WeighedBatch& batch : sheets)
        out += BatchTable(source.plan, batch, source.now)
                   .html(caption(source.plan, source.zone, batch, source.numbers, is_put_out(source.timetable, batch),
                                 day(batch)),
                         source.numbers, source.zone);
    return out + "</div></section>\n";
}

}  // namespace oventide::sheet
