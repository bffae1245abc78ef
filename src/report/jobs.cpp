#include "report/jobs.hpp"

namespace oventide::report {

std::string job_text(const Job& job, const Subject& subject, const Words& words, const Days& days) {
    const std::string where = job.place ? words.equipment(*job.place) : "";
    if (job.event >= 0)
        return where + ": " +
               (job.kind == Job::Kind::timer ? timer_text(job, subject, days)
                                             : oven_turn_text(job.event, subject, days)) +
               turned_for(*subject.timetable, job.event,
                          [&](ComponentIndex component) { return words.component(component); });
    const Row& row = subject.timetable->rows[static_cast<std::size_t>(job.row)];
    const std::string task = words.task(row.component, row.step, row.batch, row.load);
    if (job.kind == Job::Kind::washing) return "wash up after " + words.step(row.component, row.step);
    const std::string done =
        doing(subject.plan, *subject.timetable, job, [&](Instant at) { return days.time_from(at, job.span.from); });
    return task + (done.empty() ? "" : " - " + words.name(done));
}

const char* job_name(Job::Kind kind) {
    switch (kind) {
        case Job::Kind::work:
            return "work";
        case Job::Kind::into:
            return "into";
        case Job::Kind::out:
            return "out";
        case Job::Kind::begin:
            return "begin";
        case Job::Kind::end:
            return "finish";
        case Job::Kind::afterwards:
            return "afterwards";
        case Job::Kind::washing:
            return "washing";
        case Job::Kind::oven:
            return "oven";
        case Job::Kind::timer:
            return "timer";
        case Job::Kind::put_out:
            return "put out";
    }
    return "";
}

}  // namespace oventide::report
