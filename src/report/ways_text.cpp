/// Why there is no timetable and what would help; or what changes would win.

#include <fmt/format.h>

#include <algorithm>

#include "oventide/report.hpp"
#include "report/conditions.hpp"

namespace oventide::report {
namespace {

const char* aim_text(Aim aim) {
    switch (aim) {
        case Aim::freshness:
            return "past their best";
        case Aim::alarm:
            return "alarm clock";
        case Aim::waiting:
            return "waiting";
    }
    return "";
}

/// "alarm clock 50 min later, Sat 3 Oct 06:10"
std::string difference_text(const GoalLine& now, const GoalLine& then, std::int64_t pieces, const Days& days) {
    const std::int64_t more = then.value - now.value;
    const Minutes apart{std::abs(more)};
    if (now.aim == Aim::alarm)
        return fmt::format("alarm clock {} {}, {}", duration_text(apart), more > 0 ? "later" : "earlier",
                           days.day_time(Instant{Minutes{then.value}}));
    const char* way = more > 0 ? "more" : "less";
    if (now.aim == Aim::waiting && pieces > 0)
        return fmt::format("each piece waits {} {} on average",
                           apart.count() < pieces ? "less than a minute" : duration_text(apart / pieces), way);
    return fmt::format("{} {} {}", aim_text(now.aim), duration_text(apart), way);
}

/// Promises are many; those that did not help are counted, not named.
void list_changes(const char* heading, const std::vector<ways::Change>& changes, const ConditionWords& say,
                  Page& page) {
    if (changes.empty()) return;
    page.heading(heading);
    std::size_t promises = 0;
    for (const ways::Change& change : changes)
        if (std::holds_alternative<ways::EasierPromise>(change))
            ++promises;
        else
            page.paragraph("- " + say.text(change), 2, 2);
    if (promises > 0)
        page.paragraph(fmt::format("- more time for any other `within`, `keeps` or `rest` ({})", promises), 2, 2);
}

}  // namespace

std::string ways_text(const Subject& subject, const ways::WhyNot& why, const ways::WaysOut& out, const Style& style) {
    const Words words(subject, style.ascii);
    const Days days(subject.zone, span_with_room(subject));
    const ConditionWords say(subject, words, days);
    Page page(style);
    page.title(words.name(subject.plan.title), "Ways out");
    page.blank();
    page.prominent("NO TIMETABLE");
    if (why.proven)
        add_why_not(subject, why, words, days, page);
    else
        page.paragraph(subject.outcome.infeasible
                           ? "There is none, which is proven; which promises contradict each other could not be "
                             "worked out in the time that was allowed."
                           : "None was found, which is no proof that there is none: why could not be worked out.",
                       2);

    page.heading("What would help, each by itself, the least upset first");
    if (out.ways.empty())
        page.paragraph(fmt::format("Nothing by itself, of {} changes that were tried{}.", out.tried,
                                   out.undecided.empty() ? ": it takes two or more of them" : " and decided"),
                       2);
    for (const ways::WayOut& way : out.ways) {
        page.paragraph("- " + say.text(way.change), 2, 2);
        std::string note = way.alarm ? "alarm clock " + days.day_time(*way.alarm) : "";
        if (!way.least) note += (note.empty() ? "" : "; ") + std::string("that less will not do is not proven");
        if (!note.empty()) page.paragraph(note, 4);
    }
    list_changes("Could not be decided in the time that was allowed", out.undecided, say, page);
    return page.text();
}

std::string gains_text(const Subject& subject, const ways::Gains& gains, const Style& style) {
    const Words words(subject, style.ascii);
    const Days days(subject.zone, span_with_room(subject));
    const ConditionWords say(subject, words, days);
    Page page(style);
    page.title(words.name(subject.plan.title), "What would be gained");
    page.blank();
    if (subject.timetable->alarm) page.prominent("ALARM CLOCK: " + days.day_time(*subject.timetable->alarm));
    page.paragraph("There is a timetable. Each change was planned by itself; what it wins is at least this.", 2);
    page.heading("What would win something, the most first");
    if (gains.gains.empty()) page.paragraph("Nothing that was tried.", 2);
    for (const ways::Gain& gain : gains.gains) {
        page.paragraph("- " + say.text(gain.change), 2, 2);
        std::vector<std::string> differences;
        for (std::size_t i = 0; i < gains.now.size(); ++i)
            if (gain.goals[i].value != gains.now[i].value)
                differences.push_back(difference_text(gains.now[i], gain.goals[i], subject.timetable->pieces, days));
        page.paragraph(joined(differences, "; "), 4);
    }
    list_changes("What would win nothing, as far as was searched", gains.nothing, say, page);
    return page.text();
}

}  // namespace oventide::report
