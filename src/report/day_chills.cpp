/// What is cooling, and when it will be cold enough.
#include <fmt/format.h>

#include <algorithm>

#include "oventide/safety.hpp"
#include "oventide/watch.hpp"
#include "report/day_part.hpp"
#include "report/page.hpp"
#include "report/shared.hpp"

namespace oventide::report {
namespace {

class Chills : DayPart {
public:
    using DayPart::DayPart;

    /// What is expected is in the middle: as likely as not it takes longer.
    void add_what_a_chill_can_do() {
        for (const ChillUnderWay& chill : day_.chills)
            for (const replan::WayOut::Late& late : chill.late_if_latest) {
                const Order& order = day_.situation.today.orders[late.order];
                page_.paragraph(fmt::format("If {} takes until {}, {} is {} late ({}).", task(chill.step),
                                            at(*chill.running->latest), words_.name(order.name), duration_text(late.by),
                                            at(order.pickup)),
                                0, 2);
            }
    }

    void add_chills() {
        bool limited = false;
        bool any = false;
        for (const ChillUnderWay& chill : day_.chills) {
            if (!worth_a_word(chill)) continue;
            if (!any) page_.heading("Chills under way");
            any = true;
            add_chill(chill);
            limited = limited || !chill.limits.empty();
        }
        const auto rule = find_safety_rule(day_.situation.today.safety.rule);
        if (rule && limited)
            page_.paragraph(fmt::format("Rule '{}' [{}]. {}", rule->key, rule->source, kWatchCaution), 2, 2);
    }

private:
    /// A chill that nobody has measured is worth a word only where a limit of the rule is in danger.
    static bool worth_a_word(const ChillUnderWay& chill) {
        return !chill.readings.empty() || std::ranges::any_of(chill.limits, [](const chill::Limit& limit) {
            return limit.standing != Standing::met && limit.standing != Standing::on_course;
        });
    }

    void add_chill(const ChillUnderWay& chill) {
        page_.paragraph(task(chill.step) + ": " + cold_by(chill), 2, 2);
        if (chill.running)
            for (const std::size_t doubted : chill.running->doubted)
                page_.paragraph(doubt(chill.readings[doubted]), 4, 2);
        for (const chill::Limit& limit : chill.limits) page_.paragraph(limit_text(limit, chill.step), 4, 2);
    }

    std::string cold_by(const ChillUnderWay& chill) const {
        const std::size_t left_out = chill.running ? chill.running->doubted.size() : 0;
        const std::size_t used = chill.readings.size() - left_out;
        std::string basis =
            used > 0 ? fmt::format("{} reading{}", used, used == 1 ? "" : "s")
                     : fmt::format("by its depth and the plan, no reading {}", left_out > 0 ? "that counts" : "yet");
        if (!chill.running) return basis + "; the plan does not say how it cools.";
        const chill::Running& running = *chill.running;
        if (running.since > day_.situation.steps[chill.step].start) basis += ", spread thinner " + at(running.since);
        if (!running.likely) return "never as cold as the plan wants it, as things are; " + basis + ".";
        std::string between =
            "not before " + (running.earliest ? at(*running.earliest) : at(day_.situation.now)) + ", perhaps never";
        if (running.earliest && running.latest)
            between = fmt::format("between {} and {}, nine chances in ten", at(*running.earliest), at(*running.latest));
        return fmt::format("cold enough about {}, {}; {}.", at(*running.likely), between, basis);
    }

    std::string doubt(const chill::Probed& reading) const {
        return fmt::format(
            "{:.1f} C at {} does not fit the other readings, or what the plan says, and is left out: measure again. If "
            "it was mistyped, note 'undo' with its number; if not, it cools otherwise since: look at where it stands.",
            reading.celsius, at(reading.at));
    }

    /// What the readings and the forecast make of a limit of the rule.
    std::string limit_text(const chill::Limit& limit, ActivityId step) const {
        const std::string due = limit.due ? ", by " + at(*limit.due) : "";
        const std::string happens = limit.happens ? " " + at(*limit.happens) : "";
        switch (limit.standing) {
            case Standing::met:
                return limit.text + due + ": met" + (limit.happens ? "," + happens : "") + ".";
            case Standing::on_course:
                return limit.text + due + ": expected" + happens + ", in time by this estimate.";
            case Standing::open:
                return limit.text + due + ": nothing can be expected yet; measure.";
            case Standing::unrecorded:
                return limit.text + due + ": NOT RECORDED whether it was met.";
            case Standing::will_break:
                return limit.text + due + ": expected" + (limit.happens ? happens : " never") +
                       fmt::format(
                           ": LIKELY TOO LATE. Spread it thinner, or somewhere colder, now; 'spread {} DEPTH' notes "
                           "how deep it lies then, 'ready {} TIME' when it will be cold.",
                           id_of(step), id_of(step));
            case Standing::broken:
                break;
        }
        return limit.text + due + ": BROKEN.";
    }
};

}  // namespace

void add_late_by_chills(const DayText& day, Page& page) { Chills(day, page).add_what_a_chill_can_do(); }

void add_chills(const DayText& day, Page& page) { Chills(day, page).add_chills(); }

}  // namespace oventide::report
