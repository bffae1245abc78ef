#include "report/jobs.hpp"

namespace oventide::report {

std::string job_text(const Job& job, const Subject& subject, const Words& words, const Days& days) {
    const std::string where = job.place ? words.equipment(*job.place) : "";
    if (job.kind == Job::Kind::timer) return where + ": " + timer_text(job, subject, days);
    if (job.event >= 0) return where + ": " + oven_turn_text(job.event, subject, days);
    const Row& row = subject.timetable->rows[static_cast<std::size_t>(job.row)];
    const std::string task = words.task(row.component, row.step, row.batch, row.load);
    const auto& bake = subject.plan.components[row.component].steps[row.step].bake;
    switch (job.kind) {
        case Job::Kind::work:
            return task;
        case Job::Kind::into:
            return task + " - into " + where +
                   (bake && bake->programme.front().temperature
                        ? " at " + heat_text(subject.plan, *bake->programme.front().temperature)
                        : "");
        case Job::Kind::out:
            return task + " - out of " + where;
        case Job::Kind::begin:
            return task + " - begin";
        case Job::Kind::end:
            return task + " - finish";
        case Job::Kind::afterwards:
            return task + " - afterwards";
        case Job::Kind::washing:
            return "wash up after " + words.step(row.component, row.step);
        case Job::Kind::oven:
        case Job::Kind::timer:
            break;
    }
    return "";
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
    }
    return "";
}

}  // namespace oventide::report
