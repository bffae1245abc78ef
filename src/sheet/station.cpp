#include "sheet/station.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "common/spans.hpp"
#include "sheet/layout.hpp"
#include "sheet/spill.hpp"
#include "sheet/weigh_section.hpp"
#include "timetable/signals.hpp"

namespace oventide::sheet {
namespace {

constexpr double kBelowList = 22;  ///< points: the space below it, and how to note

/// The pages of one person, or the list of what falls to nobody.
class Station {
public:
    Station(const Source& source, const std::vector<Signal>& signals, std::optional<PersonIndex> person)
        : source_(source), signals_(signals), person_(person) {
        for (const Job& job : source.timetable.jobs)
            if (job.person == person) jobs_.push_back(&job);
        for (const Shift& shift : source.timetable.shifts)
            if (shift.person == person) shifts_.push_back(shift.span);
    }

    bool empty() const { return jobs_.empty(); }

    Lists page(const std::vector<Mind>& mind, const std::string& weights) const {
        const std::string whose = person_ ? source_.person(person_) : "In nobody's hours";
        const std::vector<Line> lines = lines_of();
        const std::string top = person_ ? head(mind) : "";
        const bool close = person_ && is_close(top, lines, weights);
        return {fmt::format("<div class=\"{}\"><h3>{}</h3>\n{}{}{}</div>\n",
                            !person_ ? "nobody"
                            : close  ? "person close"
                                     : "person",
                            whose, top, list(whose, lines), how_to_note()),
                filled(head_height(top), listed(lines), source_.has_slips(), area_of(source_.paper), close).last +
                    kBelowList};
    }

private:
    /// Whoever holds the paper alone knows from it what a note calls a step.
    std::string how_to_note() const {
        if (!person_) return "";
        const auto first = std::find_if(jobs_.begin(), jobs_.end(), [](const Job* job) { return job->row >= 0; });
        if (first == jobs_.end()) return "";
        return "<p class=\"slips paper\">The small names are for notes of what happens: oventide note PLAN started " +
               name(source_.row((*first)->row).id) + "</p>\n";
    }

    /// On paper the weigh sheet of a cook who is alone goes on where the list ends.
    bool is_followed() const { return source_.plan.kitchen.crew.size() == 1 && !source_.weighed.empty(); }

    /// Where that saves a page.
    bool is_close(const std::string& top, const std::vector<Line>& lines, const std::string& weights) const {
        const Area page = area_of(source_.paper);
        const double height = head_height(top);
        const std::vector<ListedRow> rows = listed(lines);
        if (!is_followed()) return spills(height, rows, source_.has_slips(), page);
        const auto pages = [&](bool close) {
            const Filled list = filled(height, rows, source_.has_slips(), page, close);
            return list.pages + weigh_pages(weights, list.last + kBelowList, page, true);
        };
        return pages(true) < pages(false);
    }

    // ------------------------------------------------------------------------------------------------ at the head

    std::string head(const std::vector<Mind>& mind) const {
        std::vector<std::string> here, orders;
        for (const Span& shift : shifts_)
            here.push_back(source_.day(shift.from) + " <strong>" + source_.time(shift.from) + "</strong> to " +
                           source_.time_from(shift.to, shift.from));
        for (const PickupLine* const line : pickups_of(source_.timetable))
            orders.push_back(source_.day(line->pickup).substr(0, 3) + " <strong>" + source_.time(line->pickup) +
                             "</strong> " + name(source_.plan.orders[line->order].name) +
                             (line->done > line->pickup ? " (LATE)" : ""));
        std::string out =
            fmt::format("<p class=\"here\">{}</p>\n<p>For {}</p>\n", fmt::join(here, "; "), fmt::join(orders, "; "));
        const std::string left = ready_list(), right = mind_list(mind);
        if (!left.empty() || !right.empty()) out += "<div class=\"first\">" + left + right + "</div>\n";
        return out + source_.slip_words();
    }

    /// Equipment that they use, and what they start from, by when.
    std::string ready_list() const {
        const std::string equipment = equipment_item(), weighed = weighed_items();
        if (equipment.empty() && weighed.empty()) return "";
        std::string out = "<div>";
        if (!equipment.empty()) out += "<h4>Have ready</h4>\n<ul class=\"ready\">\n" + equipment + "</ul>\n";
        if (!weighed.empty()) out += "<h4>Have weighed out, by</h4>\n<ul class=\"ready\">\n" + weighed + "</ul>\n";
        return out + "</div>\n";
    }

    /// What they use; who works alone, all that is used.
    std::vector<const Row*> rows_of() const {
        std::vector<const Row*> rows;
        if (source_.plan.kitchen.crew.size() == 1)
            for (const Row& row : source_.timetable.rows) rows.push_back(&row);
        else
            for (const Job* const job : jobs_)
                if (job->row >= 0) rows.push_back(&source_.row(job->row));
        return rows;
    }

    std::string equipment_item() const {
        std::vector<std::string> names;
        Instant last{};  // of their first uses
        for (const Row* const row : rows_of())
            for (const EquipmentUse& use : row->equipment) {
                const std::size_t known = names.size();
                add(names, name(source_.plan.kitchen.equipment[use.equipment].name));
                if (names.size() > known) last = std::max(last, use.span.from);
            }
        return names.empty() ? "" : item(fmt::format("clean and free: {}", fmt::join(names, ", ")), last);
    }

    std::string weighed_items() const {
        std::vector<std::string> items;
        for (const Job* const job : jobs_) {
            if (job->row < 0 || job->span.from != source_.row(job->row).start) continue;
            const Row& row = source_.row(job->row);
            const Component& component = source_.plan.components[row.component];
            if (!begins_batch(row) || !is_weighed(component)) continue;
            const std::string day = shifts_.size() > 1 ? source_.day(row.start).substr(0, 3) + " " : "";
            add(items, item(day + source_.time(row.start) + ": " + name(component.name) +
                                (job->kind == Job::Kind::put_out ? ", to put out" + put_out(row)
                                                                 : " for " + amount_of(component, row.amount)),
                            row.start));
        }
        return fmt::format("{}", fmt::join(items, ""));
    }

    /// ": 633.6 g butter", where the plan says.
    std::string put_out(const Row& row) const {
        const std::string food = begins_batch(row) ? goes_in(source_, row) : "";
        return food.empty() ? "" : ": " + food;
    }

    std::string item(const std::string& html, Instant by) const {
        return "<li>" + std::string(box(source_, by, by)) + html + "</li>\n";
    }

    static void add(std::vector<std::string>& seen, const std::string& text) {
        if (std::find(seen.begin(), seen.end(), text) == seen.end()) seen.push_back(text);
    }

    bool begins_batch(const Row& row) const {
        return std::none_of(source_.timetable.rows.begin(), source_.timetable.rows.end(), [&](const Row& other) {
            return other.component == row.component && other.batch == row.batch && other.start < row.start;
        });
    }

    /// What is made of nothing but what was made before is not weighed out.
    static bool is_weighed(const Component& component) {
        if (component.ingredients) return !component.ingredients->empty();
        return std::all_of(component.steps.begin(), component.steps.end(),
                           [](const Step& step) { return step.draws.empty(); });
    }

    std::string mind_list(const std::vector<Mind>& mind) const {
        std::string lines;
        for (const Mind& each : mind)
            if (std::find(each.people.begin(), each.people.end(), *person_) != each.people.end())
                lines += "<li>" + sentence(each.text) + "</li>\n";
        return lines.empty() ? "" : "<div><h4>Mind</h4>\n<ul class=\"mind\">\n" + lines + "</ul></div>\n";
    }

    // -------------------------------------------------------------------------------------------------- the list

    std::vector<Line> lines_of() const {
        std::vector<Line> lines;
        for (const Job* const job : jobs_) lines.push_back({job->span.from, 1, chore(*job)});
        if (person_) {
            for (const Signal& signal : signals_)
                if (signal.person == person_) lines.push_back({signal.row->ready, 0, ready_line(signal)});
            for (const PickupLine& line : source_.timetable.pickups)
                if (sees(line.pickup))
                    lines.push_back(pickup_line(source_, line, columns() - 1, box(source_, line.done, line.pickup)));
        }
        sort(lines);
        return lines;
    }

    std::string list(const std::string& whose, const std::vector<Line>& lines) const {
        std::vector<Column> heads{{"when", "When"}, {"what", "What"}, {"much", "Amount"}};
        if (source_.has_slips()) heads.push_back({"slips", "Slip"});
        return day_tables(source_, lines, "steps boxes", whose, heads);
    }

    std::vector<ListedRow> listed(const std::vector<Line>& lines) const {
        std::vector<ListedRow> rows;
        std::string day;
        for (const Line& line : lines) {
            const std::string today = source_.day(line.at);
            const bool wide = line.cells.find("colspan") != std::string::npos;
            rows.push_back({letters_of_cell(line.cells), wide, today != day});
            day = today;
        }
        return rows;
    }

    int columns() const { return source_.has_slips() ? 4 : 3; }

    std::string chore(const Job& job) const {
        const std::string start = when(source_, job.span, box(source_, job.span.from, job.span.to));
        if (job.row < 0) return start + what_cell(source_.job(job), columns() - 1);
        const Row& row = source_.row(job.row);
        const Minutes aside{job.span.from == job.span.to ? 1 : 0};
        const std::string with =
            source_.with(row.equipment, {job.span.from - aside, job.span.to + aside}, said_place(job));
        if (job.kind == Job::Kind::washing)
            return start + what_cell(source_.job(job) + with) + cell("") + slip_cell(source_, nullptr);
        const bool begins = job.span.from == row.start;
        if (job.kind == Job::Kind::put_out) return start + put_out_cells(job, row);
        return start +
               what_cell(source_.job(job) + cold(job, row) + (begins ? out_of_fridge(row) : "") + with +
                         id(row, begins)) +
               cell(amount_text(source_.plan.components[row.component], row.amount)) +
               slip_cell(source_, begins ? &row : nullptr);
    }

    /// Where food that cools goes in, and where it comes out.
    std::string cold(const Job& job, const Row& row) const {
        const Cold must = source_.cold_of(row);
        if (job.span.from == row.start) return also(must.in_by) + also(must.wanted);
        return job.kind == Job::Kind::out ? also(must.inside) : "";
    }

    std::string put_out_cells(const Job& job, const Row& row) const {
        const std::string food = put_out(row);
        const std::string amount =
            food.empty() ? amount_text(source_.plan.components[row.component], row.amount) : std::string();
        return what_cell(source_.job(job) + food + out_of_fridge(row) + id(row, true)) + cell(amount) +
               slip_cell(source_, &row);
    }

    /// The place that the words of the job name.
    static std::optional<EquipmentIndex> said_place(const Job& job) {
        return job.kind == Job::Kind::into || job.kind == Job::Kind::out ? job.place : std::nullopt;
    }

    /// Where it is used the minute that it is cold no line of its own says how cold that is.
    std::string cold_enough(const Row& food, const Row& user) const {
        const std::string inside = food.ready == user.start ? source_.cold_of(food).inside : std::string();
        return inside.empty() ? "" : ", " + escape(inside);
    }

    /// What has waited in the cold for it.
    std::string out_of_fridge(const Row& user) const {
        std::vector<std::string> foods;
        for (const Row& food : source_.timetable.rows)
            if (const Equipment* const place = cold_place(source_.plan, food, user.start);
                place != nullptr && goes_into(source_.plan, source_.timetable, food, user))
                add(foods,
                    (food.component == user.component ? "" : name(source_.plan.components[food.component].name) + " ") +
                        "from " + name(place->name) + cold_enough(food, user));
        return foods.empty() ? "" : fmt::format(" ({})", fmt::join(foods, ", "));
    }

    std::string ready_line(const Signal& signal) const {
        const Row& row = *signal.row;
        const Row* const user = signal.user;
        std::string text = source_.what(row) + " - ready";
        if (const Cold must = source_.cold_of(row); !must.inside.empty()) text += ", " + escape(must.inside);
        if (user != nullptr)
            text +=
                "; for " +
                (user->component == row.component ? "" : name(source_.plan.components[user->component].name) + ": ") +
                name(step_name(*user)) + " at " + source_.time_from(user->start, row.ready);
        return when(source_, {row.ready, row.ready}, box(source_, row.start, row.ready)) +
               what_cell(text + source_.with(row.equipment, {row.ready - Minutes{1}, row.ready}) + id(row)) +
               cell(amount_text(source_.plan.components[row.component], row.amount)) + slip_cell(source_, nullptr);
    }

    std::string step_name(const Row& row) const { return source_.plan.components[row.component].steps[row.step].name; }

    /// Whoever works past it; where nobody does, whoever has worked that day and is there.
    bool sees(Instant pickup) const {
        const auto at_work = [&](const auto& spans, auto span_of) {
            return std::any_of(spans.begin(), spans.end(),
                               [&](const auto& each) { return covers(span_of(each), pickup); });
        };
        const auto itself = [](const Span& span) { return span; };
        if (at_work(shifts_, itself)) return true;
        if (at_work(source_.timetable.shifts, [](const Shift& shift) { return shift.span; })) return false;
        const bool that_day = std::any_of(jobs_.begin(), jobs_.end(), [&](const Job* job) {
            return source_.day(job->span.from) == source_.day(pickup);
        });
        return that_day && at_work(source_.plan.kitchen.crew[*person_].hours, itself);
    }

    const Source& source_;
    const std::vector<Signal>& signals_;
    std::optional<PersonIndex> person_;
    std::vector<const Job*> jobs_;
    std::vector<Span> shifts_;
};

}  // namespace

std::string nobodys_list(const Source& source) {
    const std::vector<Signal> none;
    const Station nobody(source, none, std::nullopt);
    return nobody.empty() ? "" : nobody.page({}, "").html;
}

Lists stations_section(const Source& source, const std::vector<Mind>& mind, const std::string& weights) {
    const std::vector<Signal> all = signals(source.plan, source.timetable);
    Lists lists{"<section class=\"checklist\"><h2>Checklist</h2>\n"};
    for (std::size_t person = 0; person < source.plan.kitchen.crew.size(); ++person) {
        const Station one(source, all, static_cast<PersonIndex>(person));
        if (one.empty()) continue;
        const Lists page = one.page(mind, weights);
        lists.html += page.html;
        lists.used = page.used;
    }
    lists.html += "</section>\n";
    return lists;
}

}  // namespace oventide::sheet
